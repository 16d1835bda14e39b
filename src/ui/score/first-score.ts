/** Milliseconds after which a score that was put into the page counts as seen: a hidden page paints nothing. */
const HIDDEN = 500;

let release = () => {};
let drawn = false;

/** Fulfilled once the first score is on the screen, or once nobody waits for one. */
export const firstScore: Promise<void> = new Promise((done) => {
  release = done;
});

/** Nobody waits for a score: there is none to come, or the page is at rest. */
export function noScoreAwaited(): void {
  release();
}

/** A score is in the page now; it is on the screen a frame later. */
export function scoreDrawn(): void {
  if (drawn) return;
  drawn = true;
  requestAnimationFrame(() => setTimeout(release));
  setTimeout(release, HIDDEN);
}

/** Has a part of the program fetched behind the first score, so that it takes nothing from that. */
export async function behindFirstScore<T>(load: () => Promise<T>): Promise<T> {
  await firstScore;
  return load();
}

import type { Page } from 'playwright';

/** Frames of a block of the Web Audio API. */
const BLOCK = 128;
/** Milliseconds for which the two clocks are compared before and after. */
const LOOK = 400;

/**
 * How many blocks of sound were missing while something was done: what the sound card needed and did not get.
 * A context counts the frames that were computed (W3C Web Audio API, `currentTime`), a card takes them at an even
 * rate, and plays silence where there are none; so each block that comes too late leaves the context's clock
 * behind that of the wall for good. Jitter does not: of each look the nearest the clocks come is taken.
 * The page keeps its contexts in `window.contexts`. Beside ours runs a bare one with a tone that nobody hears: what
 * is missing there too is the machine's.
 */
export async function missingBlocks(
  page: Page,
  work: () => Promise<void>,
): Promise<{ readonly ours: number; readonly bare: number }> {
  const before = await behind(page);
  await work();
  const after = await behind(page);
  const missing = (who: 'ours' | 'bare') =>
    Math.max(0, Math.round((after[who] - before[who]) / ((1000 * BLOCK) / after.rate)));
  return { ours: missing('ours'), bare: missing('bare') };
}

/** How far the clocks of the sound are behind that of the page, but for a constant, in ms. */
function behind(page: Page): Promise<{ ours: number; bare: number; rate: number }> {
  return page.evaluate(async (look) => {
    const w = window as unknown as { contexts: AudioContext[]; bare?: AudioContext };
    if (w.bare === undefined) {
      w.bare = new AudioContext();
      const tone = w.bare.createOscillator();
      const quiet = w.bare.createGain();
      Object.assign(quiet, { bare: true });
      quiet.gain.value = 0;
      tone.connect(quiet).connect(w.bare.destination);
      tone.start();
      await new Promise((done) => setTimeout(done, 300));
    }
    const { bare } = w;
    const ours = w.contexts.find((c) => c !== bare && c.state === 'running');
    if (ours === undefined) throw new Error('nothing sounds');
    const end = performance.now() + look;
    const least = { ours: Number.POSITIVE_INFINITY, bare: Number.POSITIVE_INFINITY };
    while (performance.now() < end) {
      least.ours = Math.min(least.ours, performance.now() - 1000 * ours.currentTime);
      least.bare = Math.min(least.bare, performance.now() - 1000 * bare.currentTime);
      await new Promise((done) => setTimeout(done, 1));
    }
    return { ...least, rate: ours.sampleRate };
  }, LOOK);
}

/** Milliseconds of work after which the page may do something else. */
const SLICE = 8;

/** Lets the page go on between small pieces of work, however many there are. */
export function breathing(): () => Promise<void> | void {
  let begun = performance.now();
  return () => {
    if (performance.now() - begun < SLICE) return;
    return turn().then(() => {
      begun = performance.now();
    });
  };
}

/** The next turn of the page, after what waits for it. */
function turn(): Promise<void> {
  const { scheduler } = globalThis as { scheduler?: { yield?: () => Promise<void> } };
  if (scheduler?.yield !== undefined) return scheduler.yield();
  return new Promise((resolve) => setTimeout(resolve, 0));
}

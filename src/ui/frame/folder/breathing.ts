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

/**
 * Breathing in which something else is done now and then, once at a time.
 * @param every Milliseconds from its end to the next.
 */
export function nowAndThen(
  every: number,
  work: () => Promise<void>,
  breathe: () => Promise<void> | void,
): () => Promise<void> | void {
  let last = performance.now();
  let busy = false;
  return () => {
    if (busy || performance.now() - last < every) return breathe();
    busy = true;
    return work().finally(() => {
      busy = false;
      last = performance.now();
    });
  };
}

/** The next turn of the page, after what waits for it. */
function turn(): Promise<void> {
  const { scheduler } = globalThis as { scheduler?: { yield?: () => Promise<void> } };
  if (scheduler?.yield !== undefined) return scheduler.yield();
  return new Promise((resolve) => setTimeout(resolve, 0));
}

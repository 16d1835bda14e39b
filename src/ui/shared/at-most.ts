/** Waits until something has ended, well or not, but no longer than `ms` milliseconds. */
export function atMost(work: Promise<unknown>, ms: number): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    const end = () => {
      clearTimeout(timer);
      resolve();
    };
    work.then(end, end);
  });
}

/** Thrown where something took longer than anybody should wait. */
export class Late extends Error {
  constructor(ms: number) {
    super(`nothing came within ${ms} ms`);
    this.name = 'Late';
  }
}

/** The work's end, or `Late` after so many milliseconds; what is late may still end. */
export function within<T>(ms: number, work: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Late(ms)), ms);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/** Does something that nobody waits for, a process that ends least of all. */
export function later(work: () => void, wait: number): void {
  const timer: unknown = setTimeout(work, wait);
  if (typeof timer === 'object' && timer !== null && 'unref' in timer) Object(timer).unref();
}

/** The answer of a browser that may also refuse to answer: null then. */
export async function settle(answer: Promise<boolean> | undefined): Promise<boolean | null> {
  try {
    return (await answer) ?? null;
  } catch {
    return null;
  }
}

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

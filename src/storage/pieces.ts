/**
 * So many things are asked of the database at a time: each is copied on the way, and a page must be
 * able to answer in between.
 */
const PIECE = 64;

/** Does something to each of a list, in order, a piece at a time. */
export async function inPieces<A, B>(
  list: readonly A[],
  work: (one: A, at: number) => B | Promise<B>,
  size = PIECE,
): Promise<B[]> {
  const done: B[] = [];
  for (let at = 0; at < list.length; at += size) {
    const piece = list.slice(at, at + size);
    done.push(...(await Promise.all(piece.map((one, i) => work(one, at + i)))));
  }
  return done;
}

/** Milliseconds of work after which the page gets a chance to answer. */
const SLICE = 12;

/** Lets the page answer. */
export function pause(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}

/** Does something to each of a list, and lets the page answer in between where it takes long. */
export async function inSlices<A, B>(list: readonly A[], work: (one: A) => B): Promise<B[]> {
  const done: B[] = [];
  let end = performance.now() + SLICE;
  for (const one of list) {
    if (performance.now() > end) {
      await pause();
      end = performance.now() + SLICE;
    }
    done.push(work(one));
  }
  return done;
}

import type { Backend, Records } from './backend';
import type { RawRecord } from './record';
import type { View } from './view';
import type { Written } from './writes';

/** Records looked at in one go where all of them are, and milliseconds between two. */
const PIECE = 32;
const NEXT = 250;
/** Milliseconds from one look at all of them to the next: a week. */
const AGAIN = 7 * 24 * 60 * 60 * 1000;

/** What a connection gives to work that is done while the page is at rest. */
export interface Desk {
  readonly backend: Backend;
  readonly view: View;
  now(): number;
  /** Whether the library is still open as it was. */
  current(): boolean;
  /** The revision up to which everything has been seen. */
  seen(): number;
  inSlices(raws: readonly RawRecord[], take: (some: readonly RawRecord[]) => void): Promise<void>;
  write(run: (records: Records) => Promise<Written<null>>): Promise<unknown>;
}

/**
 * Reads all records anew, a few at a time: the last to find what is damaged, or what is known of and
 * not there.
 * @param wait Milliseconds between two pieces.
 */
export async function lookThrough(desk: Desk, wait: number): Promise<void> {
  const { backend, view } = desk;
  const known = new Set(view.keys());
  let wrong = false;
  for (let after: string | null = null; ; ) {
    const raws: readonly RawRecord[] = await backend.page(after, PIECE);
    if (!desk.current()) return;
    for (const { key } of raws) {
      if (!view.knows(key)) wrong = true;
      known.delete(key);
    }
    await desk.inSlices(raws, (few) => view.takeLooked(few));
    after = raws.at(-1)?.key ?? null;
    if (raws.length < PIECE || after === null) break;
    await new Promise((resolve) => setTimeout(resolve, wait));
  }
  // What was removed for good meanwhile is not known any more.
  const ghosts = [...known].filter((key) => view.knows(key));
  const still = new Set((await backend.read(ghosts)).map((r) => r.key));
  const gone = ghosts.filter((key) => !still.has(key));
  view.forget(gone);
  view.publishRecords();
  if (wrong || gone.length > 0) await backend.forgetHeads?.();
}

/** Where more or fewer records lie there than are known, all are looked at as soon as can be. */
export async function count(desk: Desk): Promise<void> {
  const before = desk.seen();
  const lie = await desk.backend.count?.();
  // What is written meanwhile, here or in another window, would look like a difference.
  if (!desk.current() || before !== desk.seen() || lie === undefined) return;
  if (lie !== desk.view.size) await lookThrough(desk, 0);
}

/** Tidies the log of heads; once a week all records are looked at, slowly. */
export async function tend(desk: Desk): Promise<void> {
  const { backend } = desk;
  await backend.tidyHeads?.();
  const looked = await backend.looked?.();
  if (typeof looked === 'number' && Math.abs(desk.now() - looked) < AGAIN) return;
  await lookThrough(desk, NEXT);
  if (!desk.current()) return;
  await desk.write(async (r) => {
    await r.setMeta('looked', desk.now());
    return { value: null, changes: [] };
  });
}

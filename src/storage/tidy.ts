import { copyRange, type Read } from './copy-range';
import type { Db } from './schema';
import { type CopyFile, FULL, MANY, type SecondCopy, SLACK, type Span } from './second-copy';

/** A file of fewer characters is small. */
const SMALL = FULL / 4;
/** About so many characters are written anew at a time, and lie there twice meanwhile. */
const RUN = 8 * FULL;

/** A file with what of it is still the newest, in bytes, about. */
export interface Weighed extends CopyFile {
  readonly live: number;
}

/** Files that one range of the database is to stand for. */
export interface Run extends Span {
  readonly names: readonly string[];
}

/**
 * Keeps the copy near the size of the library: where past versions outweigh what is alive, or many
 * small files lie there, they are written anew from the database, a run of neighbours at a time; a
 * file goes only when others stand for it.
 * @param alone Lets one window at a time at the copy.
 * @param go Asked before each run.
 * @param many So many files may lie there.
 */
export async function tidy(
  db: () => Db,
  read: Read,
  copy: SecondCopy,
  alone: <T>(work: () => Promise<T>) => Promise<T>,
  go: () => boolean,
  many = MANY,
): Promise<void> {
  const runs = await alone(async () => {
    if (!(await allNumbered(db()))) return [];
    const files = await weigh(db(), await copy.list());
    await copy.sweep((files.at(-1)?.last ?? 0) - MANY);
    return isUntidy(files, many) ? runsOf(files) : [];
  });
  for (const run of runs) {
    if (!go()) return;
    await alone(async () => {
      const names = await copyRange(db(), read, copy, run, true);
      if (names !== null) await copy.remove(run.names.filter((n) => !names.includes(n)));
    });
  }
}

/** Whether there is enough to be gained. */
export function isUntidy(files: readonly Weighed[], many = MANY): boolean {
  const size = files.reduce((sum, f) => sum + f.size, 0);
  const live = files.reduce((sum, f) => sum + f.live, 0);
  return files.length > many || size > 2 * live + SLACK;
}

/** Neighbours that are small or mostly past, in runs; a single small file gains nothing. */
export function runsOf(files: readonly Weighed[]): readonly Run[] {
  const runs: Weighed[][] = [];
  let run: Weighed[] = [];
  let live = 0;
  const end = () => {
    if (run.length > 0) runs.push(run);
    [run, live] = [[], 0];
  };
  for (const f of files) {
    if (f.size >= SMALL && f.live >= f.size / 2) {
      end();
      continue;
    }
    run.push(f);
    live += f.live;
    if (live > RUN) end();
  }
  end();
  return runs
    .filter((r) => r.length > 1 || r.some((f) => f.size >= SMALL))
    .map((r) => ({
      first: Math.min(...r.map((f) => f.first)),
      last: Math.max(...r.map((f) => f.last)),
      names: r.map((f) => f.name),
    }));
}

async function weigh(db: Db, files: readonly CopyFile[]): Promise<readonly Weighed[]> {
  const index = db.transaction('records').store.index('revision');
  const counts = await Promise.all(
    files.map(async (f) => index.count(IDBKeyRange.bound(f.first, f.last))),
  );
  return files.map((f, i) => {
    const held = f.records ?? f.last - f.first + 1;
    return { ...f, live: held === 0 ? f.size : f.size * Math.min(1, counts[i]! / held) };
  });
}

/** Whether every record has a revision: one that has lost it would be in no range. */
async function allNumbered(db: Db): Promise<boolean> {
  const { store } = db.transaction('records');
  const [all, numbered] = await Promise.all([
    store.count(),
    store.index('revision').count(IDBKeyRange.bound(1, Number.MAX_SAFE_INTEGER)),
  ]);
  return all === numbered;
}

/** Milliseconds that a page which is being left may still hold its work. */
const LEAVES = 1500;

const NAME = 'degreewise-caught ';

/** Missing on pages that are not served securely. */
const locks = (): LockManager | undefined => globalThis.navigator?.locks;

/** Lets it go; resolves when another window can have it. */
export type Release = () => Promise<void>;

/**
 * Holds what was caught for this window alone, so that two never write over each other.
 * @returns what lets it go; null where another window has it.
 */
export function holdWork(id: string): Promise<Release | null> {
  const all = locks();
  if (all === undefined) return Promise.resolve(() => Promise.resolve());
  return new Promise((done) => {
    const over = all
      .request(
        NAME + id,
        { signal: AbortSignal.timeout(LEAVES) },
        () =>
          new Promise<void>((letGo) =>
            done(() => {
              letGo();
              return over;
            }),
          ),
      )
      .catch(() => done(null));
  });
}

/** Ids of what a window holds, this one or another. */
export async function heldOnes(): Promise<ReadonlySet<string>> {
  const held =
    (
      await locks()
        ?.query()
        .catch(() => null)
    )?.held ?? [];
  return new Set(
    held.flatMap(({ name }) => (name?.startsWith(NAME) === true ? [name.slice(NAME.length)] : [])),
  );
}

/** Runs something while no window has what was caught on its page, and none can open it; where one has it, nothing. */
export async function whileFree(id: string, work: () => Promise<void>): Promise<void> {
  const all = locks();
  if (all === undefined) return work();
  await all.request(NAME + id, { ifAvailable: true }, async (lock) => {
    if (lock !== null) await work();
  });
}

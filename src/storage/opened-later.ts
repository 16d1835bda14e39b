/** Something that is fetched and opened at its first use, and asked in the order of the calls. */
export interface OpenedLater<S> {
  /** Asks it; gives `otherwise` where it cannot be opened or fails, and opens it anew the next time. */
  readonly run: <T>(otherwise: T, use: (opened: S) => T | Promise<T>) => Promise<T>;
  /** Asks it only if it was opened. */
  readonly ifOpen: (use: (opened: S) => void | Promise<void>) => Promise<void>;
}

/** Opens something at its first use: a page that only shows music does without what keeps it. */
export function openedLater<S>(open: () => Promise<S>): OpenedLater<S> {
  let opened: Promise<S> | null = null;
  const run: OpenedLater<S>['run'] = async (otherwise, use) => {
    opened ??= open();
    try {
      // Answers come in the order asked, since all wait for the same promise.
      return await use(await opened);
    } catch {
      opened = null;
      return otherwise;
    }
  };
  return {
    run,
    ifOpen: async (use) => {
      if (opened !== null) await run(undefined, use);
    },
  };
}

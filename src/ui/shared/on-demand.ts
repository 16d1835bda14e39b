/**
 * A part of the program that comes over the network when it is asked for, or ahead of that. What has
 * come once is kept; what did not come is asked for again the next time.
 */
export interface OnDemand<T> {
  /** Resolves with the part. @throws NotThere with what to do, in words. */
  readonly get: () => Promise<T>;
  /** The part, if it has come. */
  readonly known: () => T | null;
}

/** Why a part did not come, as far as it can be found out. */
export type WhyMissing = 'no network' | 'new version' | 'unknown';

/** A part of the program did not come; the message says what to do. */
export class NotThere extends Error {
  override readonly name = 'NotThere';

  constructor(
    readonly what: string,
    readonly why: WhyMissing,
    cause: unknown,
  ) {
    super(`${what} could not be fetched. ${WAY_OUT[why]}`, { cause });
  }
}

const WAY_OUT: Readonly<Record<WhyMissing, string>> = {
  'no network': 'There is no network: connect once, and try again. Nothing of yours is lost.',
  'new version':
    'A newer Degreewise has taken the place of this one: load the page again. Nothing of yours is lost.',
  unknown: 'Try again, or load the page again once there is a network. Nothing of yours is lost.',
};

/** What this window may still have to fetch. */
const all = new Set<OnDemand<unknown>>();

/**
 * @param what Begins a sentence: `The page for writing`.
 * @param load Is called until it has succeeded once.
 */
export function onDemand<T>(what: string, load: () => Promise<T>): OnDemand<T> {
  let value: { readonly is: T } | null = null;
  let coming: Promise<T> | null = null;
  const part: OnDemand<T> = {
    get: () => {
      coming ??= load().then(
        (is) => {
          value = { is };
          return is;
        },
        async (cause: unknown) => {
          const why = await whyMissing();
          coming = null;
          throw new NotThere(what, why, cause);
        },
      );
      return coming;
    },
    known: () => value?.is ?? null,
  };
  all.add(part);
  return part;
}

/**
 * Fetches everything ahead of its use, and what comes to light by that. A part that does not come
 * holds nothing up; it is asked for again when it is needed.
 * @returns whether all of it has come.
 */
export async function fetchAhead(): Promise<boolean> {
  const tried = new Set<OnDemand<unknown>>();
  for (;;) {
    const next = [...all].filter((p) => !tried.has(p) && p.known() === null);
    if (next.length === 0) return [...all].every((p) => p.known() !== null);
    const coming: Promise<unknown>[] = [];
    for (const p of next) {
      tried.add(p);
      coming.push(p.get().catch(() => null));
      // A hundred at once would be a task of their own that holds up the page.
      await new Promise((resolve) => setTimeout(resolve));
    }
    await Promise.all(coming);
  }
}

/** Asks the host for the page as it is now: whether it answers, and whether it is still ours. */
export async function whyMissing(): Promise<WhyMissing> {
  // A service worker may answer for a host that cannot be reached.
  if (globalThis.navigator?.onLine === false) return 'no network';
  const own = document.querySelector('script[type="module"][src]')?.getAttribute('src');
  try {
    const page = await fetch('./', { cache: 'no-store' });
    if (!page.ok || own === null || own === undefined) return 'unknown';
    return (await page.text()).includes(own) ? 'unknown' : 'new version';
  } catch {
    return 'no network';
  }
}

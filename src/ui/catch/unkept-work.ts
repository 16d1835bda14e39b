import type { TakenOut, UnkeptHead, UnkeptStore } from '../../storage/unkept';
import { titleOf } from '../shared/facts';
import { type Corrected, correctedPhrase, type SoundKey } from './corrections';
import type { Kept, KeptBefore } from './keep-caught';
import type { CaughtTake } from './messages';
import { type Resumed, takeData, textOf, workData } from './unkept-data';

/** What stands on the page. */
export interface WorkNow {
  readonly take: CaughtTake;
  readonly all: readonly Corrected[];
  readonly right: ReadonlySet<SoundKey>;
  readonly kept: KeptBefore;
}

/** What was written of it last. */
interface Written extends Omit<WorkNow, 'kept'> {
  readonly kept: readonly (Kept | null)[];
}

/** Milliseconds after a change in which others come along; a frame is drawn before. */
const SOON = 60;
/** Milliseconds after which a task leaves the rest to the next one. */
const SLICE = 8;

/** What was caught, set aside while somebody works on it, so that leaving the page loses nothing. */
export class UnkeptWork {
  #now: WorkNow | null = null;
  #written: Written | null;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #gone = false;
  /** When it was caught, where it was resumed. */
  readonly #of: string | null;

  /**
   * @param from What it was resumed from; null where it is new.
   * @param told Is told whether what was written last is on the disk.
   */
  constructor(
    readonly id: string,
    private readonly store: UnkeptStore,
    from: Resumed | null,
    private readonly clock: () => number,
    private readonly told: (safe: boolean) => void,
  ) {
    this.#written = from === null ? null : { ...from, kept: keptOf(from) };
    this.#of = from?.take.recorded.now ?? null;
  }

  /** Takes what stands on the page now, to be written soon. */
  follow(now: WorkNow): void {
    // Another recording that was still being written as this one was shown: not in its place.
    if (this.#of !== null && now.take.recorded.now !== this.#of) return;
    this.#now = now;
    now.kept.onKept = () => this.#soon();
    this.#soon();
  }

  #soon(): void {
    if (this.#gone) return;
    this.#timer ??= setTimeout(() => this.#write(), SOON);
  }

  /** Makes what is to be written in tasks that are short, and writes it in the last of them. */
  #write(): void {
    const begun = performance.now();
    const { take, all } = this.#now ?? {};
    const phrases = [...(take?.phrases ?? []), ...(all ?? []).map(correctedPhrase)];
    for (const { phrase } of phrases) {
      textOf(phrase);
      if (performance.now() - begun < SLICE) continue;
      this.#timer = setTimeout(() => this.#write());
      // Those that are made are known: each task goes on where the last one ended.
      return;
    }
    void this.flush();
  }

  /** Writes at once what is not written yet; resolves when that has ended. */
  async flush(): Promise<void> {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    const { take, all, right, kept } = this.#now ?? {};
    if (this.#gone || take === undefined || !all || !right || !kept) return;
    const now: Written = { take, all, right, kept: keptOf({ all, kept }) };
    const before = this.#written;
    const anew = before?.take !== take;
    const parts = new Map(
      all.flatMap((c, i) =>
        anew || !isSame(before.all[i]!, c) || before.kept[i] !== now.kept[i]
          ? [[i, workData(c, now.kept[i]!)] as const]
          : [],
      ),
    );
    if (!anew && parts.size === 0 && before.right === right) return;
    // Taken for written meanwhile: what changes now is written after it.
    this.#written = now;
    const head = headOf(this.id, now, this.clock());
    const safe = await this.store.put({ head, parts, ...(anew && { take: takeData(take) }) });
    if (!safe) {
      this.#written = null;
      // What it was added to may be gone: then all of it is written.
      if (!anew) return this.flush();
    }
    this.told(safe);
  }

  /** Throws it away. @returns what it was; null where it is still there. */
  async forget(): Promise<TakenOut | null> {
    this.#gone = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    const taken = await this.store.takeOut(this.id);
    // What is still there goes on being written.
    this.#gone = taken !== null;
    return taken;
  }
}

function keptOf({ all, kept }: Pick<WorkNow, 'all' | 'kept'>): readonly (Kept | null)[] {
  return all.map((c) => kept.get(c.caught.phrase.id) ?? null);
}

/** Moving the cursor is nothing to be written. */
const isSame = (a: Corrected, b: Corrected) =>
  a === b || (a.history === b.history && a.caught === b.caught && a.made === b.made);

function headOf(id: string, { take, all, right, kept }: Written, at: number): UnkeptHead {
  const inLibrary = all.flatMap((c, i) => {
    const k = kept[i];
    return k?.caught === correctedPhrase(c).phrase ? [k.phrase.id] : [];
  });
  return {
    id,
    at,
    title: take.recorded.title === '' ? titleOf(all[0]!.caught.phrase) : take.recorded.title,
    phrases: all.length,
    corrected: all.filter((c) => c.history.done > 0).length,
    open: all.length - inLibrary.length,
    kept: inLibrary,
    right: [...right],
  };
}

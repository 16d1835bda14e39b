import { SITTING } from '../core/library/versions';
import type { AnyKind } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import type { Backend, NoteName, Records } from './backend';
import { partsOf, type StoredRecord } from './record';
import { isFull } from './room';
import type { VersionKeeper } from './versions';
import type { Written } from './writes';

/** What a write wrote over, as its transaction notes it. */
export interface Note {
  /** Milliseconds since 1970. */
  readonly now: number;
  readonly replaced: readonly {
    readonly id: string;
    readonly text: string;
    readonly sum: number | undefined;
  }[];
}

/** More phrases in one write are a bulk edit, for which a note would be as much again to write. */
const MOST_PHRASES = 16;

/**
 * Earlier versions lie in a database of their own and are written after the save. So that none is lost with
 * a window that ends in between, the transaction of the save notes what it writes over; the next one crosses
 * out what was kept meanwhile, and what is left an opening takes (`takeNoted`). What follows another change
 * within a sitting is no version (`isWorthKeeping`) and is not noted.
 */
export class Notes {
  /** When something was noted of a key last. */
  private readonly last = new Map<string, number>();
  private done: readonly NoteName[] = [];

  constructor(
    private readonly backend: Backend,
    private readonly versions: VersionKeeper | undefined,
    private readonly kinds: readonly AnyKind[],
  ) {}

  /** One transaction, with a note where there is room for it. */
  async write<T>(run: (records: Records) => Promise<Written<T>>, now: number): Promise<Written<T>> {
    let note: readonly [NoteName, Note] | null = null;
    const crossed = this.done;
    const attempt = (withNote: boolean) =>
      this.backend.write(async (records) => {
        const written = await run(records);
        note = withNote ? this.noteOf(written, now) : null;
        for (const name of crossed) await records.setMeta(name, undefined);
        if (note !== null) await records.setMeta(...note);
        return written;
      });
    const written = await attempt(true).catch((e: unknown) => {
      // Room for an earlier version is no reason to refuse what was changed.
      if (note === null || !isFull(e)) throw e;
      return attempt(false);
    });
    this.done = this.done.filter((n) => !crossed.includes(n));
    if (note !== null) this.crossOutLater(...(note as readonly [NoteName, Note]));
    return written;
  }

  /** What was written over, of kinds that keep it. */
  pastIn({ replaced = [] }: Written<unknown>): readonly StoredRecord[] {
    return replaced.filter(({ id }) =>
      this.kinds.some((k) => k.keepsPast && k.name === partsOf(id).name),
    );
  }

  private noteOf(written: Written<unknown>, now: number): readonly [NoteName, Note] | null {
    const past = this.pastIn(written).filter(({ id }) => !(now - this.last.get(id)! < SITTING));
    const others = past.filter((r) => partsOf(r.id).name !== PHRASES.name);
    const replaced = past.length - others.length > MOST_PHRASES ? others : past;
    const first = written.changes.find((c) => c.kind === 'put');
    if (!this.backend.lasting || !this.versions || !replaced[0] || !first) return null;
    const some = replaced.map(({ id, text, sum }) => ({ id, text, sum }));
    return [`past ${first.item.stored.revision}`, { now, replaced: some }];
  }

  private crossOutLater(name: NoteName, { now, replaced }: Note): void {
    for (const { id } of replaced) this.last.set(id, now);
    // It is given to be kept by whoever waits for the write: before this.
    setTimeout(async () => {
      // What could not be kept stays noted, for an opening to take up.
      if (await this.versions?.settled()) this.done = [...this.done, name];
    });
  }
}

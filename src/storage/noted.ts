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
  readonly replaced: readonly Pick<StoredRecord, 'id' | 'text' | 'sum'>[];
}

/** More phrases in one write are a bulk edit, for which a note would be as much again to write. */
const MOST_PHRASES = 16;

/**
 * Earlier versions lie in a database of their own and are written after the save. So that none is lost with
 * a window that ends in between, the transaction of the save notes what it writes over; the next one crosses
 * out what was kept meanwhile, and what is left an opening takes (`takeNoted`). What follows another
 * change within a sitting is no version (`isWorthKeeping`) and is not noted.
 */
export class Notes {
  /** Of each key: when something was noted of it last, and when it was written last. */
  private readonly last = new Map<string, readonly [noted: number, written: number]>();
  private done: readonly NoteName[] = [];

  constructor(
    private readonly backend: Backend,
    private readonly versions: VersionKeeper | undefined,
    private readonly kinds: readonly AnyKind[],
  ) {}

  /** One transaction, with a note where there is room for it. */
  async write<T>(run: (records: Records) => Promise<Written<T>>, now: number): Promise<Written<T>> {
    let note: Noted | null = null;
    const crossed = this.done;
    const attempt = (withNote: boolean) =>
      this.backend.write(async (records) => {
        const written = await run(records);
        note = withNote ? this.noteOf(written, now) : null;
        if (written.changes.length > 0) {
          for (const name of crossed) await records.setMeta(name, undefined);
        }
        if (note !== null) await records.setMeta(note.name, note.value);
        return written;
      });
    const written = await attempt(true).catch((e: unknown) => {
      // Room for an earlier version is no reason to refuse what was changed.
      if (note === null || !isFull(e)) throw e;
      return attempt(false);
    });
    if (written.changes.length > 0) this.done = this.done.filter((n) => !crossed.includes(n));
    this.remember(written, now, note);
    return written;
  }

  /** What was written over, of kinds that keep it. */
  pastIn({ replaced = [] }: Written<unknown>): readonly StoredRecord[] {
    return replaced.filter((r) => this.keeps(r.id));
  }

  /** Whether there are earlier versions of what has this key. */
  keeps(key: string): boolean {
    const { name } = partsOf(key);
    return this.kinds.some((k) => k.name === name && k.keepsPast === true);
  }

  private noteOf(written: Written<unknown>, now: number): Noted | null {
    if (!this.backend.lasting || this.versions === undefined) return null;
    const past = this.pastIn(written);
    const many = past.filter((r) => isPhrase(r.id)).length > MOST_PHRASES;
    const replaced = past.flatMap(({ id, text, sum }) => {
      const [noted, saved] = this.last.get(id) ?? [0, 0];
      const goesOn = now - noted < SITTING && now - saved < SITTING;
      return goesOn || (many && isPhrase(id))
        ? []
        : [{ id, text, ...(sum !== undefined && { sum }) }];
    });
    const first = written.changes.find((c) => c.kind === 'put');
    if (replaced.length === 0 || first === undefined) return null;
    return { name: `past ${first.item.stored.revision}`, value: { now, replaced } };
  }

  private remember(written: Written<unknown>, now: number, note: Noted | null): void {
    const noted = new Set(note?.value.replaced.map((r) => r.id));
    for (const { id } of this.pastIn(written)) {
      this.last.set(id, [noted.has(id) ? now : (this.last.get(id)?.[0] ?? 0), now]);
    }
    if (note === null) return;
    // After it was given to be kept, which its caller does at once.
    setTimeout(() => {
      void this.versions?.settled().then(() => {
        this.done = [...this.done, note.name];
      });
    });
  }
}

interface Noted {
  readonly name: NoteName;
  readonly value: Note;
}

const isPhrase = (key: string) => partsOf(key).name === PHRASES.name;

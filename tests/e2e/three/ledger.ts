/** Every version that was written has a mark of its own in it. */
const MARKS = /mk\d+k/gu;
export const marksIn = (text: string): readonly string[] => text.match(MARKS) ?? [];

/** What was acknowledged, and what may be asked of the end. Knows nothing of how it is carried. */
export class Ledger {
  private readonly written = new Map<string, string>();
  /** Marks that were written over or removed by somebody who had them before them. */
  private readonly over = new Set<string>();
  /** Marks that were taken back from what was removed: they may be past or not. */
  private readonly unsure = new Set<string>();
  /** Marks on a device whose page went away in the midst of a look: what it had just taken is not remembered. */
  private readonly notRemembered = new Set<string>();
  acknowledged = 0;

  put(before: string | null, text: string): void {
    this.acknowledged += 1;
    const now = new Set(marksIn(text));
    for (const mark of now) if (!this.written.has(mark)) this.written.set(mark, text);
    for (const mark of marksIn(before ?? '')) if (!now.has(mark)) this.over.add(mark);
  }

  removed(text: string): void {
    this.acknowledged += 1;
    for (const mark of marksIn(text)) this.over.add(mark);
  }

  restored(text: string): void {
    this.acknowledged += 1;
    for (const mark of marksIn(text)) this.unsure.add(mark);
  }

  interrupted(texts: Iterable<string>): void {
    for (const text of texts) for (const mark of marksIn(text)) this.notRemembered.add(mark);
  }

  /** What is wrong with the end, as every device has it. */
  faults(
    all: readonly (readonly [name: string, ReadonlyMap<string, string>])[],
  ): readonly string[] {
    const faults: string[] = [];
    const [first, ...others] = all;
    const [, things] = first!;
    for (const [name, theirs] of others) {
      for (const key of new Set([...things.keys(), ...theirs.keys()])) {
        if (things.get(key) === theirs.get(key)) continue;
        faults.push(
          `${key} differs: ${first![0]} ${short(things.get(key))}, ${name} ${short(theirs.get(key))}`,
        );
      }
    }
    const found = new Map<string, string[]>();
    for (const [key, text] of things) {
      for (const mark of marksIn(text)) found.set(mark, [...(found.get(mark) ?? []), key]);
    }
    for (const [mark, text] of this.written) {
      const keys = found.get(mark) ?? [];
      if (keys.length === 0 && !this.over.has(mark) && !this.unsure.has(mark)) {
        faults.push(`${mark} is lost: ${short(text)}`);
      }
      for (const key of keys) {
        // What two have put into a collection at once is of both.
        if (key.startsWith('collection ')) continue;
        const same = plain(things.get(key)!) === plain(text);
        if (!same) faults.push(`${key} is not what was written as ${mark}`);
        // Where two versions met before one of them was written over, it stays beside the other.
        if (this.isPast(mark) && !key.includes('.v-')) {
          faults.push(`${mark} is back, as ${key}`);
        }
      }
    }
    return faults;
  }

  private isPast(mark: string): boolean {
    return this.over.has(mark) && !this.unsure.has(mark) && !this.notRemembered.has(mark);
  }
}

/** All but the id, and the time of change, which what was taken back has anew. */
function plain(text: string): string {
  const value = JSON.parse(text);
  return JSON.stringify({ ...value, id: '', meta: { ...value.meta, modified: '' } });
}

function short(text: string | undefined): string {
  if (text === undefined) return 'nothing';
  const { id, meta } = JSON.parse(text);
  return `${id} “${meta.title}” ${meta.modified} [${marksIn(text).join(' ')}]`;
}

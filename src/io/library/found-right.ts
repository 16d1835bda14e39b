import { migrate, type RawDocument } from '../json/migrate';
import type { AnyKind, CheckedThing } from '../kinds/kind';
import { sumOf } from '../sum';

/**
 * What was found right when a library file was read, as a number for each entry, so that a second
 * reading of the same file need not check it again: checking takes ten times as long as reading.
 */
export class FoundRight {
  private readonly sums = new Set<number>();
  private whole = false;

  /** All of the file was found right. */
  end(): void {
    this.whole = true;
  }

  add({ kind, text }: CheckedThing): void {
    this.sums.add(sumOf(kind.name, ' ', text));
  }

  /**
   * @param document One that may not have been checked in this form: its fields may lie in another order.
   * @returns what it is if just that was found right; otherwise null, and it is to be checked.
   */
  known(kind: AnyKind, document: RawDocument): CheckedThing | null {
    if (!this.whole) return null;
    const read = migrate(kind.versions, document);
    if (!read.ok) return null;
    const text = JSON.stringify(read.value);
    return this.sums.has(sumOf(kind.name, ' ', text)) ? { kind, value: read.value, text } : null;
  }
}

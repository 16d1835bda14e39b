import type { ChordChange, Key, Mark, Ticks } from '../../core/phrase/types';
import { formatChord, isNoChord } from '../../core/theory/chord';
import { parseChordOrRoman } from '../../core/theory/roman';
import type { Scanner } from './scanner';

/** The moment a chord, a mark or the end of a tuplet stands at: named in ticks behind it, else here. */
export function tickHere(scan: Scanner, here: Ticks): Ticks {
  const m = scan.take(/'(\d{1,9})/y);
  return m === null ? here : Number(m[1]);
}

const byTime = <T extends { readonly onset: Ticks }>(list: readonly T[]) =>
  [...list].sort((a, b) => a.onset - b.onset);

/** Reads what stands beside the notes: chords, dynamics and words; mistakes go to `scan`. */
export class LaneReader {
  private readonly changes: ChordChange[] = [];
  private readonly found: Mark[] = [];

  /** @param places Receives where each begins in the text. */
  constructor(
    private readonly scan: Scanner,
    private readonly key: Key,
    private readonly places: Map<object, number>,
  ) {}

  chords(): readonly ChordChange[] {
    return byTime(this.changes);
  }

  marks(): readonly Mark[] {
    return byTime(this.found);
  }

  /** `{A7}`, `{IV7}`. */
  chord(here: Ticks): void {
    const { scan } = this;
    const start = scan.at;
    const m = scan.take(/\{([^}\n]*)\}/y);
    if (m === null) {
      scan.report("the chord is not closed by '}'", 'Write {A7}.', start);
      scan.take(/\S+/y);
      return;
    }
    const text = m[1]!.trim();
    const onset = tickHere(scan, here);
    if (isNoChord(text)) {
      this.change({ onset, symbol: null }, start);
      return;
    }
    const chord = parseChordOrRoman(text, this.key);
    if (!chord.ok) {
      const why = chord.problems[0]!;
      scan.report(why.message, why.fix ?? 'Write a chord such as A7 or IV7.', start + 1);
    } else this.change({ onset, symbol: formatChord(chord.value) }, start);
  }

  /** `%mf`; false where something else stands here. */
  dynamic(here: Ticks): boolean {
    const { scan } = this;
    const dynamic = scan.take(/%(pp|p|mp|mf|ff|f)(?![a-z])/y);
    if (dynamic === null) return false;
    const at = scan.at - dynamic[0].length;
    this.mark({ kind: 'dynamic', onset: tickHere(scan, here), value: dynamic[1] as 'mf' }, at);
    return true;
  }

  /** `"lazily"`. */
  words(here: Ticks): void {
    const { scan } = this;
    const start = scan.at;
    const text = scan.takeQuoted();
    if (text === null) {
      scan.report("the words are not closed by '\"'", 'Write "lazily".', start);
      scan.take(/[^\n]*/y);
    } else this.mark({ kind: 'words', onset: tickHere(scan, here), text }, start);
  }

  private change(chord: ChordChange, at: number): void {
    this.places.set(chord, at);
    this.changes.push(chord);
  }

  private mark(mark: Mark, at: number): void {
    this.places.set(mark, at);
    this.found.push(mark);
  }
}

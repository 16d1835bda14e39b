import { type BarSpan, barSpans } from '../../../core/phrase/time';
import type { Place, Ticks } from '../../../core/phrase/types';
import { midiOf, type Pitch, samePitch } from '../../../core/theory/pitch';
import {
  decodeNoteExtras,
  decodePhraseExtras,
  NOTES_FIELD,
  type NoteExtras,
  PHRASE_FIELD,
  type PhraseExtras,
  readNoteXmlId,
} from '../misc';
import { attribute, child, childrenOf, type XmlElement } from '../xml/parse';
import type { BarLayout } from './bars';
import type { ImportLog } from './log';

/** What our own two fields say; null and empty in files of other programs. */
export interface Extras {
  readonly phrase: PhraseExtras | null;
  readonly notes: readonly NoteExtras[];
}

export const NO_EXTRAS: Extras = { phrase: null, notes: [] };

/** Reads the two fields of `misc.ts`; what cannot be read is left aside and logged. */
export function readExtras(score: XmlElement, log: ImportLog): Extras {
  const identification = child(score, 'identification');
  const miscellaneous =
    identification === undefined ? undefined : child(identification, 'miscellaneous');
  const fields =
    miscellaneous === undefined ? [] : childrenOf(miscellaneous, 'miscellaneous-field');
  const text = (name: string) => fields.find((f) => attribute(f, 'name') === name)?.text ?? null;
  const phraseText = text(PHRASE_FIELD);
  const notesText = text(NOTES_FIELD);
  const phrase = phraseText === null ? null : decodePhraseExtras(phraseText);
  const notes = notesText === null ? null : decodeNoteExtras(notesText);
  for (const r of [phrase, notes]) {
    if (r !== null && !r.ok) log.add('dropped', r.problems[0]!.message);
  }
  return { phrase: phrase?.ok ? phrase.value : null, notes: notes?.ok ? notes.value : [] };
}

/** What is known of a note when its entry is looked for. */
export interface NoteTrace {
  readonly onset: Ticks;
  /** Null for a dead note. */
  readonly pitch: Pitch | null;
  /** Null in a file without tab. */
  readonly place: Place | null;
  /** The xml ids of its written notes. */
  readonly xmlIds: readonly string[];
  /** Whether it was written transposed, which can cost the spelling: then what sounds must agree. */
  readonly transposed: boolean;
}

/** Finds the entry that belongs to a note: the one whose fingerprint it has (see `misc.ts`). */
export class ExtrasFinder {
  readonly #byTime = new Map<string, NoteExtras[]>();
  readonly #bars: readonly BarSpan[];
  readonly #used = new Set<NoteExtras>();

  constructor(entries: readonly NoteExtras[], layout: BarLayout) {
    this.#bars = barSpans(layout);
    for (const e of entries) {
      const key = keyOf(e.at[0], e.at[1], e.at[4] === 'x' ? null : e.at[4]);
      const list = this.#byTime.get(key);
      if (list === undefined) this.#byTime.set(key, [e]);
      else list.push(e);
    }
  }

  /** The entry, which no other note gets; null where the note was edited elsewhere or is new. */
  take(t: NoteTrace): NoteExtras | null {
    const bar = barOf(this.#bars, t.onset);
    const candidates = this.#byTime.get(keyOf(bar.number, t.onset - bar.start, t.pitch)) ?? [];
    const numbers = t.xmlIds.flatMap((id) => readNoteXmlId(id)?.n ?? []);
    const found = candidates.find((e) => {
      if (this.#used.has(e)) return false;
      if (!t.transposed && !sameName(e.at[4], t.pitch)) return false;
      const numbered = numbers.includes(e.n);
      if (t.place === null) return numbered;
      const there = e.at[2] === t.place.string && e.at[3] === t.place.fret;
      return there && (numbered || numbers.length === 0);
    });
    if (found === undefined) return null;
    this.#used.add(found);
    return found;
  }

  /** Logs how many entries found no note. */
  finish(entries: readonly NoteExtras[], log: ImportLog): void {
    const left = entries.length - this.#used.size;
    if (left === 0) return;
    log.add(
      'dropped',
      `${left} ${left === 1 ? 'note was' : 'notes were'} edited elsewhere and lost anchor, role, pin and curve`,
    );
  }
}

function keyOf(bar: number, ticks: Ticks, pitch: Pitch | null): string {
  return `${bar} ${ticks} ${pitch === null ? 'x' : midiOf(pitch)}`;
}

function sameName(entry: Pitch | 'x', pitch: Pitch | null): boolean {
  return entry === 'x' || pitch === null || samePitch(entry, pitch);
}

/** The bar an onset lies in, by binary search. */
function barOf(spans: readonly BarSpan[], onset: Ticks): BarSpan {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (spans[middle]!.start <= onset) low = middle;
    else high = middle - 1;
  }
  return spans[low]!;
}

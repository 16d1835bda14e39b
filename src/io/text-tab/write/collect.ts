import type { NoteId, Phrase, PhraseEvent, Ticks } from '../../../core/phrase/types';
import { endOf } from '../../../core/phrase/walk';
import type { WrittenBar } from '../../../core/phrase/written';
import type { Analysis } from '../../../core/understand/analyse';
import { spanAt } from '../../../core/understand/owner';
import type { NoteReading, PitchReading } from '../../../core/understand/reading';
import type { Signs } from '../../text/signs';
import { fingerText, strikeText, valueText } from './event-text';
import type { LegendKeys } from './legend';
import { noteTexts } from './note-text';
import type { Cell, Part, Row, Span } from './sheet';

/** Which degrees stand under the strings: against the chord, against the key, or none. */
export type DegreeView = 'chord' | 'key' | 'off';

/** A phrase to be put on the sheet. */
export interface PartSource {
  readonly phrase: Phrase;
  readonly written: readonly WrittenBar[];
  readonly analysis: Analysis;
  readonly degrees: DegreeView;
  /** Signs that stand behind the fret of a note. */
  readonly marks: ReadonlyMap<NoteId, string>;
  readonly caption: string;
  /** Sets the rows of this part apart from those of the others. */
  readonly prefix: string;
  /** Whether bars, words, values and counts are written over and under this part. */
  readonly rhythm: boolean;
}

export interface CollectedPart {
  readonly part: Part;
  readonly cells: ReadonlyMap<Ticks, readonly Cell[]>;
}

/** Everything a phrase puts on the sheet, by onset; the signs it uses are added to `used`. */
export function collectPart(source: PartSource, signs: Signs, used: LegendKeys): CollectedPart {
  const c = new Collector(source, signs, used);
  return c.collect();
}

/** Name of the row over which bars are numbered; the sheet's own, not a part's. */
export const HEAD_ROW = 'head';
/** Name of the row in which beats are counted; the sheet's own. */
export const COUNT_ROW = 'count';

class Collector {
  private readonly cells = new Map<Ticks, Cell[]>();
  private readonly spans: Span[] = [];
  private deepest = 0;

  constructor(
    private readonly source: PartSource,
    private readonly signs: Signs,
    private readonly used: LegendKeys,
  ) {}

  collect(): CollectedPart {
    this.chords();
    this.strings();
    this.striking();
    if (this.source.rhythm) this.values();
    this.hands();
    if (this.source.degrees !== 'off') this.degrees();
    const part: Part = {
      caption: this.source.caption,
      rows: this.rows(),
      spans: this.spans,
      words: this.words(),
    };
    return { part, cells: this.cells };
  }

  private id(name: string): string {
    return this.source.prefix + name;
  }

  private add(onset: Ticks, row: string, text: string, more: Partial<Cell> = {}): void {
    const cell: Cell = { row: this.id(row), before: '', text, joins: false, ...more };
    const list = this.cells.get(onset);
    if (list === undefined) this.cells.set(onset, [cell]);
    else list.push(cell);
  }

  private rows(): Row[] {
    const { phrase, degrees } = this.source;
    const text = (name: string, label: string): Row => ({ id: this.id(name), label, kind: 'text' });
    const shared = (id: string, label: string): Row[] =>
      this.source.rhythm ? [{ id, label, kind: 'text' }] : [];
    const second = phrase.voices.length > 1;
    const strings = phrase.instrument.tuning.map(
      (p, i): Row => ({
        id: this.id(`string${i + 1}`),
        label: this.signs.pitch(p),
        kind: 'string',
      }),
    );
    const label = degrees === 'key' ? 'in key' : 'degree';
    return [
      ...shared(HEAD_ROW, 'bar'),
      text('chord', 'chord'),
      text('mute0', ''),
      text('strike0', 'strike'),
      text('value0', second ? 'upper' : 'value'),
      ...strings,
      text('value1', 'lower'),
      text('strike1', 'strike'),
      text('mute1', ''),
      ...shared(COUNT_ROW, 'count'),
      text('finger', 'finger'),
      text('pluck', 'pluck'),
      ...Array.from({ length: this.deepest }, (_, i) => text(`degree${i}`, i === 0 ? label : '')),
    ];
  }

  private words(): ReadonlyMap<Ticks, readonly string[]> {
    const all = new Map<Ticks, string[]>();
    // Under each other the phrases differ in their notes, not in what is said over them.
    for (const m of this.source.rhythm ? this.source.phrase.marks : []) {
      const text = m.kind === 'words' ? m.text : m.value;
      const list = all.get(m.onset);
      if (list === undefined) all.set(m.onset, [text]);
      else list.push(text);
    }
    return all;
  }

  private chords(): void {
    for (const c of this.source.phrase.chords) {
      this.add(c.onset, 'chord', c.symbol === null ? 'N.C.' : this.signs.chord(c.symbol));
    }
  }

  private strings(): void {
    for (const v of this.source.phrase.voices) {
      v.events.forEach((e, i) => {
        for (const n of noteTexts(v.events, i, this.signs, this.used)) {
          const mark = n.note === null ? undefined : this.source.marks.get(n.note.id);
          this.add(e.onset, `string${n.string}`, n.text + (mark ?? ''), {
            before: n.lead + n.before,
            joins: n.joins,
            ...(n.lead === '' ? {} : { leads: true }),
            ...(n.note === null ? {} : { note: n.note.id }),
          });
        }
      });
    }
  }

  private striking(): void {
    this.source.phrase.voices.forEach((v, voice) => {
      let muted: { from: Ticks; to: Ticks } | null = null;
      const close = () => {
        if (muted === null) return;
        this.used.add('mute');
        this.spans.push({ row: this.id(`mute${voice}`), text: 'PM', ...muted });
        muted = null;
      };
      for (const e of v.events) {
        const text = strikeText(e, this.used);
        if (text !== '') this.add(e.onset, `strike${voice}`, text);
        if (e.palmMute)
          muted = { from: (muted as { from: Ticks } | null)?.from ?? e.onset, to: e.onset };
        else close();
      }
      close();
    });
  }

  private values(): void {
    for (const bar of this.source.written) {
      bar.voices.forEach((items, voice) => {
        for (const item of items) {
          const { before, text } = valueText(item, this.used);
          this.add(item.onset, `value${voice}`, text, { before });
        }
      });
    }
  }

  private hands(): void {
    for (const [onset, events] of this.eventsByOnset()) {
      const notes = events.flatMap((e) => e.notes).sort((a, b) => a.string - b.string);
      for (const field of ['finger', 'pluck'] as const) {
        const text = fingerText(notes, field);
        if (text !== '') this.add(onset, field, text);
      }
    }
  }

  private eventsByOnset(): ReadonlyMap<Ticks, readonly PhraseEvent[]> {
    const all = new Map<Ticks, PhraseEvent[]>();
    for (const v of this.source.phrase.voices) {
      for (const e of v.events) all.set(e.onset, [...(all.get(e.onset) ?? []), e]);
    }
    return all;
  }

  /** The degrees of a moment under each other, in the order of the strings. */
  private degrees(): void {
    const stacks = new Map<Ticks, { readonly string: number; readonly text: string }[]>();
    const push = (onset: Ticks, string: number, text: string) => {
      const stack = stacks.get(onset);
      if (stack === undefined) stacks.set(onset, [{ string, text }]);
      else stack.push({ string, text });
    };
    const { byId, spans } = this.source.analysis;
    for (const v of this.source.phrase.voices) {
      for (const e of v.events) {
        for (const note of e.notes) {
          const reading = byId.get(note.id);
          push(e.onset, note.string, reading === undefined ? '' : this.degreeText(reading));
          const later = reading?.laterDegree ?? null;
          const change = later === null ? null : spanAt(spans, endOf(e) - 1);
          if (later !== null && change !== null && this.source.degrees === 'chord') {
            this.used.add('later');
            push(change.onset, note.string, `(${this.signs.degree(later)})`);
          }
        }
      }
    }
    for (const [onset, stack] of stacks) {
      if (stack.every((s) => s.text === '')) continue;
      stack.sort((a, b) => a.string - b.string);
      stack.forEach((s, i) => {
        this.add(onset, `degree${i}`, s.text === '' ? '-' : s.text);
      });
      this.deepest = Math.max(this.deepest, stack.length);
    }
  }

  private degreeText(r: NoteReading): string {
    const one = (p: PitchReading) => {
      const d = this.source.degrees === 'key' ? p.keyDegree : p.chordDegree;
      return d === null ? '' : this.signs.degree(d);
    };
    const start = one(r.start);
    if (start === '') return '';
    const early = r.anticipates && this.source.degrees === 'chord' ? '^' : '';
    if (early !== '') this.used.add('anticipation');
    if (r.heard === r.start) return start + early;
    this.used.add('target');
    return start + this.signs.arrow + one(r.heard) + early;
  }
}

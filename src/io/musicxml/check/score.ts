import type { Problem } from '../../../core/result';
import { LETTERS, type Letter } from '../../../core/theory/pitch';
import {
  child,
  childNumber,
  childrenOf,
  childText,
  readNumber,
  type XmlElement,
} from '../xml/parse';

/** A note of the file with everything the checks ask about it. */
export interface ScoreNote {
  readonly element: XmlElement;
  /** The measure's own number, as text. */
  readonly bar: string;
  /** Place of the measure in the part, from 0. */
  readonly measure: number;
  readonly staff: number;
  readonly voice: string;
  /** In divisions of a quarter × `1 / divisions`: quarters from the start of the part. */
  readonly onset: number;
  /** Quarters; 0 for a grace note. */
  readonly duration: number;
  readonly grace: boolean;
  readonly chord: boolean;
  readonly rest: boolean;
  /** Written MIDI number; null for rests and unpitched notes. */
  readonly written: number | null;
  readonly attributes: StaffState;
}

/** What is in force on a staff. */
export interface StaffState {
  readonly clef: string | null;
  /** Semitones from what is written to what sounds. */
  readonly transpose: number;
  /** Open pitches by line from the bottom, as MIDI numbers; empty without a tuning. */
  readonly tuning: readonly number[];
  readonly capo: number;
}

/** A measure as it was walked through. */
export interface ScoreMeasure {
  readonly element: XmlElement;
  readonly bar: string;
  readonly implicit: boolean;
  /** Quarters that the time signature asks for; null for none. */
  readonly expected: number | null;
  /** Quarters from the first note to the furthest. */
  readonly length: number;
  /** Where the cursor stood at the end. */
  readonly cursor: number;
  /** For each staff and voice the quarters that its notes, rests and forwards fill. */
  readonly filled: ReadonlyMap<string, number>;
}

export interface Score {
  readonly notes: readonly ScoreNote[];
  readonly measures: readonly ScoreMeasure[];
}

/** Collects problems at elements, with the bar they lie in. */
export class Report {
  readonly problems: Problem[] = [];

  add(element: XmlElement, bar: string, message: string, fix: string): void {
    const number = readNumber(bar);
    this.problems.push({
      message,
      fix,
      line: element.line,
      ...(number === null ? {} : { bar: number }),
    });
  }
}

const NO_STATE: StaffState = { clef: null, transpose: 0, tuning: [], capo: 0 };

/** Differences below this, in quarters, are rounding of the file's divisions. */
export const EPSILON = 1e-6;

/** Walks a part in document order with the cursor that `<backup>` and `<forward>` move. */
export function walkPart(part: XmlElement, report: Report): Score {
  return new Walk(report).part(part);
}

class Walk {
  private readonly notes: ScoreNote[] = [];
  private readonly measures: ScoreMeasure[] = [];
  private readonly states = new Map<number, StaffState>();
  private divisions = 1;
  private expected: number | null = null;
  private start = 0;
  private cursor = 0;
  private furthest = 0;
  private bar = '';
  private previous: { onset: number; duration: number; grace: boolean } | null = null;
  private filled = new Map<string, number>();

  constructor(private readonly report: Report) {}

  part(part: XmlElement): Score {
    for (const m of childrenOf(part, 'measure')) this.measure(m);
    return { notes: this.notes, measures: this.measures };
  }

  private measure(m: XmlElement): void {
    this.bar = m.attributes.get('number') ?? '';
    this.cursor = 0;
    this.furthest = 0;
    this.previous = null;
    this.filled = new Map();
    for (const e of m.children) this.step(e);
    this.measures.push({
      element: m,
      bar: this.bar,
      implicit: m.attributes.get('implicit') === 'yes',
      expected: this.expected,
      length: this.furthest,
      cursor: this.cursor,
      filled: this.filled,
    });
    this.start += this.furthest;
  }

  private step(e: XmlElement): void {
    switch (e.name) {
      case 'attributes':
        this.attributes(e);
        break;
      case 'note':
        this.note(e);
        break;
      case 'backup':
        this.move(-this.duration(e));
        if (this.cursor < -EPSILON) {
          this.report.add(
            e,
            this.bar,
            'a backup goes back before the bar line',
            'Let it be as long as what was written before it in this bar.',
          );
          this.cursor = 0;
        }
        break;
      case 'forward':
        this.fill(e, this.duration(e));
        this.move(this.duration(e));
        break;
    }
  }

  private move(by: number): void {
    this.cursor += by;
    this.furthest = Math.max(this.furthest, this.cursor);
    this.previous = null;
  }

  private duration(e: XmlElement): number {
    return (childNumber(e, 'duration') ?? 0) / this.divisions;
  }

  private fill(e: XmlElement, by: number): void {
    const key = `${childNumber(e, 'staff') ?? 1} ${childText(e, 'voice') ?? '1'}`;
    this.filled.set(key, (this.filled.get(key) ?? 0) + by);
  }

  private attributes(e: XmlElement): void {
    this.divisions = childNumber(e, 'divisions') ?? this.divisions;
    const time = child(e, 'time');
    if (time !== undefined) {
      const beats = childNumber(time, 'beats');
      const type = childNumber(time, 'beat-type');
      this.expected = beats === null || type === null ? null : (beats * 4) / type;
    }
    const staves = Math.max(1, childNumber(e, 'staves') ?? this.states.size);
    for (let s = 1; s <= staves; s++) {
      const state = this.states.get(s) ?? NO_STATE;
      const own = (name: string) =>
        childrenOf(e, name).find((x) => (x.attributes.get('number') ?? String(s)) === String(s));
      const clef = own('clef');
      const details = own('staff-details');
      const transpose = own('transpose');
      this.states.set(s, {
        clef: clef === undefined ? state.clef : childText(clef, 'sign'),
        transpose: transpose === undefined ? state.transpose : semitonesOf(transpose),
        tuning: details === undefined ? state.tuning : tuningOf(details),
        capo: details === undefined ? state.capo : (childNumber(details, 'capo') ?? 0),
      });
    }
  }

  private note(e: XmlElement): void {
    const grace = child(e, 'grace') !== undefined;
    const chord = child(e, 'chord') !== undefined;
    const duration = grace ? 0 : this.duration(e);
    let onset = this.cursor;
    if (chord) {
      if (this.previous === null || this.previous.grace !== grace) {
        this.report.add(
          e,
          this.bar,
          'a chord note has no note before it to join',
          'Remove <chord/>, or put it after the first note of its chord.',
        );
      } else {
        onset = this.previous.onset;
        if (Math.abs(this.previous.duration - duration) > EPSILON) {
          this.report.add(
            e,
            this.bar,
            'the notes of a chord have different durations',
            'Give them one duration, or put one in another voice.',
          );
        }
      }
    } else {
      this.fill(e, duration);
      this.cursor += duration;
      this.furthest = Math.max(this.furthest, this.cursor);
      this.previous = { onset, duration, grace };
    }
    const staff = childNumber(e, 'staff') ?? 1;
    this.notes.push({
      element: e,
      bar: this.bar,
      measure: this.measures.length,
      staff,
      voice: childText(e, 'voice') ?? '1',
      onset: this.start + onset,
      duration,
      grace,
      chord,
      rest: child(e, 'rest') !== undefined,
      written: midiOfPitch(child(e, 'pitch'), ['step', 'alter', 'octave']),
      attributes: this.states.get(staff) ?? NO_STATE,
    });
  }
}

function semitonesOf(transpose: XmlElement): number {
  return (
    (childNumber(transpose, 'chromatic') ?? 0) + 12 * (childNumber(transpose, 'octave-change') ?? 0)
  );
}

function tuningOf(details: XmlElement): readonly number[] {
  const open: number[] = [];
  for (const t of childrenOf(details, 'staff-tuning')) {
    const line = readNumber(t.attributes.get('line') ?? null);
    const midi = midiOfPitch(t, ['tuning-step', 'tuning-alter', 'tuning-octave']);
    if (line !== null && midi !== null) open[line - 1] = midi;
  }
  return open;
}

const SEMITONES: Readonly<Record<Letter, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

function midiOfPitch(
  e: XmlElement | undefined,
  [step, alter, octave]: readonly [string, string, string],
): number | null {
  if (e === undefined) return null;
  const letter = LETTERS.find((l) => l === childText(e, step));
  const number = childNumber(e, octave);
  if (letter === undefined || number === null) return null;
  return 12 * (number + 1) + SEMITONES[letter] + (childNumber(e, alter) ?? 0);
}

/** The elements of a note's `<notations>`, those inside technical, ornaments … included. */
export function notationsOf(note: XmlElement): readonly XmlElement[] {
  return childrenOf(note, 'notations').flatMap((n) =>
    n.children.flatMap((x) =>
      ['technical', 'ornaments', 'articulations'].includes(x.name) ? x.children : [x],
    ),
  );
}

/** String and fret of a note, null where either is absent. */
export function placeOfNote(note: XmlElement): { string: number | null; fret: number | null } {
  const technical = notationsOf(note);
  const read = (name: string) => {
    const found = technical.find((x) => x.name === name);
    return found === undefined ? null : readNumber(found.text);
  };
  return { string: read('string'), fret: read('fret') };
}

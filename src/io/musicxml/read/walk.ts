import type { Meter } from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { type Interval, UNISON } from '../../../core/theory/interval';
import {
  attribute,
  child,
  childNumber,
  childrenOf,
  childText,
  ownText,
  problemAt,
  readNumber,
  type XmlElement,
} from '../xml/parse';
import type { ImportLog } from './log';
import { readTranspose } from './pitch';
import type { PlacedElement, RawItem, RawMeasure, RawPart } from './raw';
import { readRawNote } from './raw-note';
import { clip } from './text';
import { readTimeSignature } from './time-signature';
import { TIMELESS, timelessAs } from './timeless';
import { readNominal, readRatio, readStaff, readStaffNumber, snap, WHOLE } from './value';

/** More problems than these are not worth reading. */
const MOST_PROBLEMS = 20;
const UNDER_REPEAT_SIGNS = 'bars under repeat signs such as % sound what is in them';

/** What is carried from measure to measure. */
interface State {
  /** Ticks of one division; null until `<divisions>` is read. */
  unit: number | null;
  meter: Meter | null;
  stated: boolean;
  readonly sounding: Map<number, Interval>;
  soundingAll: Interval;
}

/**
 * Walks the measures of one part: turns divisions, backup and forward into places, groups chords,
 * applies `<transpose>`, and leaves everything else to later readers.
 */
export function walkPart(measures: readonly XmlElement[], log: ImportLog): Result<RawPart> {
  return new Walker(log).walk(measures);
}

class Walker {
  readonly #log: ImportLog;
  readonly #problems: Problem[] = [];
  readonly #state: State = {
    unit: null,
    meter: { beats: 4, beatType: 4 },
    stated: false,
    sounding: new Map(),
    soundingAll: UNISON,
  };
  readonly #measures: RawMeasure[] = [];
  readonly #items: RawItem[] = [];
  readonly #harmonies: PlacedElement[] = [];
  readonly #directions: PlacedElement[] = [];
  readonly #keys: PlacedElement[] = [];
  readonly #clefs: { staff: number; element: XmlElement }[] = [];
  readonly #details: { staff: number; element: XmlElement }[] = [];
  #transposed = false;
  #measure = 0;
  #cursor = 0;
  #reached = 0;
  /** Onset of the note a `<chord/>` joins, with its item. */
  #last: RawItem | null = null;

  constructor(log: ImportLog) {
    this.#log = log;
  }

  walk(measures: readonly XmlElement[]): Result<RawPart> {
    measures.forEach((m, i) => {
      if (this.#problems.length < MOST_PROBLEMS) this.#walkMeasure(m, i);
    });
    if (this.#problems.length > 0) return fail(...this.#problems.slice(0, MOST_PROBLEMS));
    return ok({
      measures: this.#measures,
      items: this.#items,
      harmonies: this.#harmonies,
      directions: this.#directions,
      keys: this.#keys,
      transposed: this.#transposed,
      clefs: this.#clefs,
      staffDetails: this.#details,
    });
  }

  #walkMeasure(measure: XmlElement, index: number): void {
    this.#measure = index;
    this.#cursor = 0;
    this.#reached = 0;
    this.#last = null;
    const barlines: XmlElement[] = [];
    let meter: { meter: Meter | null; stated: boolean } | null = null;
    for (const e of measure.children) {
      switch (e.name) {
        case 'attributes':
          this.#attributes(e);
          break;
        case 'note':
          this.#note(e);
          break;
        case 'backup':
          this.#move(e, -1);
          break;
        case 'forward':
          this.#move(e, 1);
          break;
        case 'harmony':
          this.#harmonies.push(this.#placed(e));
          break;
        case 'direction':
        case 'sound':
          this.#directions.push(this.#placed(e));
          break;
        case 'barline':
          barlines.push(e);
          break;
        case 'figured-bass':
          this.#log.add('dropped', 'figured bass is not kept', { line: e.line });
          break;
        default:
          // print, grouping, link, bookmark, listening: nothing that sounds or is fingered.
          break;
      }
      // A time signature stands before the first note; later ones in the measure are for the next.
      if (e.name === 'attributes' && this.#reached === 0) {
        meter = { meter: this.#state.meter, stated: this.#state.stated };
      }
    }
    meter ??= { meter: this.#state.meter, stated: this.#state.stated };
    this.#measures.push({
      element: measure,
      implicit: attribute(measure, 'implicit') === 'yes',
      length: this.#reached,
      ...meter,
      barlines,
      grain: this.#state.unit ?? 1,
    });
  }

  #placed(e: XmlElement): PlacedElement {
    const unit = this.#state.unit ?? 0;
    const offset = (childNumber(e, 'offset') ?? 0) * unit;
    return {
      measure: this.#measure,
      offset: Math.max(0, snap(this.#cursor + offset)),
      element: e,
      sounding: this.#soundingOf(readStaff(e)),
    };
  }

  #soundingOf(staff: number): Interval {
    return this.#state.sounding.get(staff) ?? this.#state.soundingAll;
  }

  #attributes(e: XmlElement): void {
    for (const a of e.children) {
      switch (a.name) {
        case 'divisions':
          this.#divisions(a);
          break;
        case 'key':
          this.#keys.push(this.#placed(a));
          break;
        case 'time':
          this.#time(a);
          break;
        case 'clef':
          this.#clefs.push({ staff: readStaffNumber(a), element: a });
          break;
        case 'staff-details':
          this.#details.push({ staff: readStaffNumber(a), element: a });
          break;
        case 'transpose':
          this.#transpose(a);
          break;
        case 'measure-style':
          if (a.children.some((x) => x.name === 'measure-repeat' || x.name === 'beat-repeat')) {
            this.#log.add('assumed', UNDER_REPEAT_SIGNS, { line: a.line });
          }
          break;
        default:
          // staves, part-symbol, instruments, directive: nothing a phrase holds.
          break;
      }
    }
    // A transposition may follow the key it applies to.
    for (let i = this.#keys.length - 1; i >= 0; i--) {
      const k = this.#keys[i]!;
      if (k.measure !== this.#measure || k.offset !== this.#cursor) break;
      this.#keys[i] = { ...k, sounding: this.#soundingOf(readStaffNumber(k.element)) };
    }
  }

  #divisions(e: XmlElement): void {
    const n = readNumber(ownText(e));
    if (n === null || n <= 0 || n > 10_000_000) {
      this.#problems.push(
        problemAt(
          e,
          `'${clip(ownText(e))}' divisions in a quarter note cannot be read`,
          'It must be a number above 0.',
        ),
      );
      return;
    }
    this.#state.unit = WHOLE / 4 / n;
  }

  #time(e: XmlElement): void {
    const meter = readTimeSignature(e, this.#log);
    if (meter === undefined) return;
    this.#state.meter = meter;
    this.#state.stated = true;
  }

  #transpose(e: XmlElement): void {
    const interval = readTranspose(e, this.#log);
    if (interval === null) {
      this.#problems.push(
        problemAt(e, 'a transposition needs a number of semitones', 'Correct <chromatic>.'),
      );
      return;
    }
    if (child(e, 'double') !== undefined) {
      this.#log.add('dropped', 'the doubling in another octave is not kept', { line: e.line });
    }
    if (interval.steps !== 0 || interval.semitones !== 0) this.#transposed = true;
    if (attribute(e, 'number') === null) {
      this.#state.soundingAll = interval;
      this.#state.sounding.clear();
    } else this.#state.sounding.set(readStaffNumber(e), interval);
  }

  /** Exact ticks of `<duration>`; null after a problem. */
  #duration(e: XmlElement, nominal: number | null): number | null {
    const text = childText(e, 'duration');
    const n = readNumber(text);
    if (text === null && nominal !== null) {
      this.#log.add('mended', 'a note without a duration takes the length of its note value', {
        line: e.line,
      });
      return nominal;
    }
    if (n === null || n <= 0 || n > 1e9) {
      this.#problems.push(
        problemAt(
          e,
          text === null ? 'a duration is missing' : `'${clip(text)}' is no duration`,
          'A duration is a number of divisions above 0.',
        ),
      );
      return null;
    }
    if (this.#state.unit === null) {
      this.#log.add('assumed', 'the file does not say how many divisions a quarter note has: one', {
        line: e.line,
      });
      this.#state.unit = WHOLE / 4;
    }
    return snap(n * this.#state.unit);
  }

  #move(e: XmlElement, sign: 1 | -1): void {
    // Some programs write steps of no length, which the standard does not know and which do nothing.
    if (childNumber(e, 'duration') === 0) return;
    const ticks = this.#duration(e, null);
    if (ticks === null) return;
    const to = snap(this.#cursor + sign * ticks);
    if (to < 0) {
      this.#log.add('mended', 'a step back goes before the bar and stops at its beginning', {
        line: e.line,
      });
    }
    this.#advanceTo(Math.max(0, to));
    this.#last = null;
  }

  #advanceTo(to: number): void {
    this.#cursor = to;
    this.#reached = Math.max(this.#reached, to);
  }

  #note(e: XmlElement): void {
    const timeless = timelessAs(e, this.#last);
    if (timeless !== null) this.#log.add('mended', TIMELESS[timeless], { line: e.line });
    if (timeless === 'rest') return;
    const grace = timeless === 'grace' || child(e, 'grace') !== undefined;
    const ratio = readRatio(e);
    const nominal = readNominal(e, ratio);
    const inChord = timeless === 'chord' ? (this.#last?.duration ?? 0) : null;
    const duration = grace ? 0 : (inChord ?? this.#duration(e, nominal));
    if (duration === null) return;
    const chord = child(e, 'chord') !== undefined;
    if (child(e, 'cue') !== undefined) {
      this.#log.add('dropped', 'cue notes are not kept', { line: e.line });
      if (!chord) this.#advanceTo(snap(this.#cursor + duration));
      return;
    }
    const read = readRawNote(e, this.#soundingOf(readStaff(e)), this.#log);
    if (!read.ok) {
      this.#problems.push(...read.problems);
      return;
    }
    const note = read.value;
    const last = this.#last;
    if (chord && note !== null && last !== null && last.grace === grace && last.notes.length > 0) {
      if (Math.abs(last.duration - duration) > 1) {
        this.#log.add('approximated', 'notes of a chord with different lengths take the first', {
          line: e.line,
        });
      }
      last.notes.push(note);
      return;
    }
    if (chord) {
      this.#log.add('mended', 'a chord note without a note before it stands alone', {
        line: e.line,
      });
    }
    const tuplets = childrenOf(e, 'notations').flatMap((n) => childrenOf(n, 'tuplet'));
    const item: RawItem = {
      measure: this.#measure,
      offset: this.#cursor,
      duration,
      grace,
      staff: readStaff(e),
      voice: childText(e, 'voice') ?? '1',
      notes: note === null ? [] : [note],
      ratio,
      nominal,
      opens: tuplets.filter((t) => attribute(t, 'type') === 'start').length,
      closes: tuplets.filter((t) => attribute(t, 'type') === 'stop').length,
      grain: this.#state.unit ?? 1,
      element: e,
    };
    this.#items.push(item);
    this.#last = item;
    if (!grace) this.#advanceTo(snap(this.#cursor + duration));
  }
}

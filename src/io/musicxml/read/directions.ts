import type { DynamicMark, Feel, Mark, Tempo, Ticks } from '../../../core/phrase/types';
import { attribute, child, childrenOf, childText, readNumber, type XmlElement } from '../xml/parse';
import type { BarLayout } from './bars';
import { nearestPlace } from './harmony';
import type { Found, ImportLog } from './log';
import type { PlacedElement } from './raw';
import { metronomeSwing, readSwing, swingInWords } from './swing';
import { plainText } from './text';
import { readStaff, snap } from './value';

/** A stretch that words and dashes mark, in ticks; `to` is its end, or `from` for one moment. */
export interface MarkedSpan {
  readonly kind: 'palm mute' | 'let ring';
  readonly from: Ticks;
  readonly to: Ticks;
}

export interface Directions {
  readonly tempo: Tempo;
  readonly feel: Feel;
  readonly marks: readonly Mark[];
  readonly spans: readonly MarkedSpan[];
}

/** Tempo of a Standard MIDI File that names none; a score that names none gets the same. */
const DEFAULT_TEMPO: Tempo = { bpm: 120, unit: 'quarter' };

/** Slowest and fastest tempo that is kept, in counted units a minute. */
const TEMPO_RANGE = [10, 500] as const;

/** Dynamics of the model; softer, louder and others go to the nearest, or are logged. */
const DYNAMICS: ReadonlyMap<string, DynamicMark> = new Map([
  ['pp', 'pp'],
  ['p', 'p'],
  ['mp', 'mp'],
  ['mf', 'mf'],
  ['f', 'f'],
  ['ff', 'ff'],
]);
const NEAR_DYNAMICS: ReadonlyMap<string, DynamicMark> = new Map([
  ['pppppp', 'pp'],
  ['ppppp', 'pp'],
  ['pppp', 'pp'],
  ['ppp', 'pp'],
  ['fff', 'ff'],
  ['ffff', 'ff'],
  ['fffff', 'ff'],
  ['ffffff', 'ff'],
]);

/** Dynamics written on notes, with the onset of their note. */
export interface NoteDynamic {
  readonly onset: Ticks;
  readonly element: XmlElement;
}

/** Reads tempo, feel, dynamics, words and marked stretches from all directions of a part. */
export function readDirections(
  directions: readonly PlacedElement[],
  noteDynamics: readonly NoteDynamic[],
  layout: BarLayout,
  own: boolean,
  log: ImportLog,
): Directions {
  const reader = new Reader(layout, own, log);
  for (const d of directions) reader.read(d);
  for (const d of noteDynamics) reader.dynamics(d.element, d.onset, { onset: d.onset });
  return reader.finish();
}

interface OpenSpan {
  readonly kind: MarkedSpan['kind'];
  readonly from: Ticks;
}

class Reader {
  readonly #layout: BarLayout;
  readonly #log: ImportLog;
  readonly #marks: Mark[] = [];
  /** Words and their places, with the staff they were first read on. */
  readonly #wordsAt = new Map<string, number>();
  readonly #dynamicAt = new Map<Ticks, DynamicMark>();
  readonly #spans: MarkedSpan[] = [];
  readonly #open = new Map<string, OpenSpan>();
  #tempo: Tempo | null = null;
  #feel: Feel | null = null;
  /** Whether we wrote the file, which then names its feel. */
  readonly #own: boolean;

  constructor(layout: BarLayout, own: boolean, log: ImportLog) {
    this.#layout = layout;
    this.#own = own;
    this.#log = log;
  }

  read({ element, measure, offset }: PlacedElement): void {
    const onset = nearestPlace(snap((this.#layout.starts[measure] ?? 0) + offset));
    const last = Math.max(0, this.#layout.length - 1);
    const found = { onset: Math.min(onset, last), line: element.line };
    if (element.name === 'sound') {
      this.#sound(element, null, found);
      return;
    }
    const types = childrenOf(element, 'direction-type').flatMap((t) => t.children);
    const metronome = types.find((t) => t.name === 'metronome') ?? null;
    const sounds = childrenOf(element, 'sound');
    const shown = metronome !== null && metronomeSwing(metronome) === null ? metronome : null;
    for (const s of sounds) this.#sound(s, shown, found);
    const ratio = metronome === null ? null : metronomeSwing(metronome);
    if (ratio !== null) this.#setFeel(ratio, found);
    else if (sounds.length === 0 && metronome !== null) this.#setTempo(metronome, null, found);
    this.#types(types, onset, readStaff(element), found);
  }

  finish(): Directions {
    if (this.#tempo === null) {
      this.#log.add('assumed', 'the file names no tempo: 120 quarter notes a minute');
    }
    this.#feel ??= this.#feelInWords();
    for (const { kind, from } of this.#open.values()) this.#spans.push({ kind, from, to: from });
    return {
      tempo: this.#tempo ?? DEFAULT_TEMPO,
      feel: this.#feel,
      marks: [...this.#marks].sort((a, b) => a.onset - b.onset),
      spans: this.#spans,
    };
  }

  /** What words at the beginning say of the feel, where nothing else in a file of others does. */
  #feelInWords(): Feel {
    const first = this.#marks.flatMap((m) =>
      m.kind === 'words' && m.onset <= this.#layout.pickup ? [m.text] : [],
    );
    const feel = this.#own ? null : (first.map(swingInWords).find((f) => f !== null) ?? null);
    if (feel === null) return { kind: 'straight' };
    this.#log.add('assumed', 'the words over the beginning say swing: it is read as 2 : 1');
    return feel;
  }

  #types(types: readonly XmlElement[], onset: Ticks, staff: number, found: Found): void {
    const dashes = types.filter((t) => t.name === 'dashes' || t.name === 'bracket');
    for (const d of dashes) {
      const key = `${d.name} ${attribute(d, 'number') ?? '1'}`;
      const open = this.#open.get(key);
      if (attribute(d, 'type') === 'stop' && open !== undefined) {
        this.#open.delete(key);
        this.#spans.push({ ...open, to: onset });
      }
    }
    const start = dashes.find((d) => attribute(d, 'type') === 'start');
    for (const t of types) {
      switch (t.name) {
        case 'words':
          this.#words(t, start, onset, staff, found);
          break;
        case 'rehearsal':
          this.#addWords(t, onset, staff, found);
          break;
        case 'dynamics':
          this.dynamics(t, onset, found);
          break;
        case 'metronome':
        case 'dashes':
        case 'bracket':
        case 'octave-shift':
        case 'scordatura':
          // Octave signs only change how the pitch in the file is printed; a tuning is the instrument's.
          break;
        default:
          this.#log.add('dropped', `${t.name.replaceAll('-', ' ')}: not kept`, found);
      }
    }
  }

  #words(
    t: XmlElement,
    dashes: XmlElement | undefined,
    onset: Ticks,
    staff: number,
    found: Found,
  ): void {
    const text = plainText(t.text);
    const kind = /^p\.? ?m\.?$|^palm mute/iu.test(text)
      ? 'palm mute'
      : /^let ring/iu.test(text)
        ? 'let ring'
        : null;
    if (kind === null) {
      this.#addWords(t, onset, staff, found);
    } else if (dashes === undefined) this.#spans.push({ kind, from: onset, to: onset });
    else {
      const key = `${dashes.name} ${attribute(dashes, 'number') ?? '1'}`;
      this.#open.set(key, { kind, from: onset });
    }
  }

  /** The same words at the same place on another staff are a copy. */
  #addWords(t: XmlElement, onset: Ticks, staff: number, found: Found): void {
    const text = plainText(t.text);
    const place = `${onset} ${text}`;
    const there = this.#wordsAt.get(place);
    if (text === '' || (there !== undefined && there !== staff)) return;
    this.#wordsAt.set(place, staff);
    if (onset >= this.#layout.length) {
      this.#log.add('dropped', 'words after the last note are left out', found);
    } else this.#marks.push({ kind: 'words', onset, text });
  }

  dynamics(e: XmlElement, onset: Ticks, found: Found): void {
    for (const d of e.children) {
      const value = DYNAMICS.get(d.name) ?? NEAR_DYNAMICS.get(d.name);
      if (value === undefined || onset >= this.#layout.length) {
        this.#log.add('dropped', `the dynamic '${d.name}' is not kept`, found);
        continue;
      }
      if (!DYNAMICS.has(d.name)) {
        this.#log.add('approximated', `the dynamic '${d.name}' is kept as ${value}`, found);
      }
      this.#addDynamic(onset, value, found);
    }
  }

  /** No two dynamics stand at one place; the same one twice is a copy for another staff. */
  #addDynamic(onset: Ticks, value: DynamicMark, found: Found): void {
    const there = this.#dynamicAt.get(onset);
    if (there === undefined) {
      this.#dynamicAt.set(onset, value);
      this.#marks.push({ kind: 'dynamic', onset, value });
    } else if (there !== value) {
      this.#log.add('dropped', 'a second dynamic at one place is left out', found);
    }
  }

  #sound(e: XmlElement, metronome: XmlElement | null, found: Found): void {
    if (metronome !== null || attribute(e, 'tempo') !== null) {
      this.#setTempo(metronome, readNumber(attribute(e, 'tempo')) || null, found);
    }
    for (const jump of ['dacapo', 'segno', 'dalsegno', 'coda', 'tocoda', 'fine']) {
      if (attribute(e, jump) !== null) {
        this.#log.add('dropped', 'jumps such as da capo and coda are not kept', found);
      }
    }
    const swing = child(e, 'swing');
    if (swing !== undefined) this.#setFeel(readSwing(swing), found);
  }

  #setTempo(metronome: XmlElement | null, quarters: number | null, found: Found): void {
    const shown = metronome === null ? null : readMetronome(metronome);
    const tempo = shown ?? (quarters === null ? null : { bpm: quarters, unit: 'quarter' as const });
    if (tempo === null) {
      this.#log.add('dropped', 'a tempo without a number is not kept', found);
      return;
    }
    const [low, high] = TEMPO_RANGE;
    const bpm = Math.max(low, Math.min(high, tempo.bpm));
    if (bpm !== tempo.bpm) {
      this.#log.add('approximated', `a tempo outside ${low} to ${high} is kept as ${bpm}`, found);
    }
    if (this.#tempo === null) this.#tempo = { ...tempo, bpm };
    else if (this.#tempo.bpm !== bpm || this.#tempo.unit !== tempo.unit) {
      this.#log.add('dropped', 'a change of tempo is not kept; the first tempo holds', found);
    }
  }

  #setFeel(feel: Feel | null, found: Found): void {
    if (feel === null) {
      this.#log.add('dropped', 'a swing ratio that is not understood is not kept', found);
    } else if (this.#feel === null) this.#feel = feel;
    else if (JSON.stringify(this.#feel) !== JSON.stringify(feel)) {
      this.#log.add('dropped', 'a change of feel is not kept; the first feel holds', found);
    }
  }
}

/** Quarters in the beat units that are not units of the model. */
const UNIT_QUARTERS: ReadonlyMap<string, number> = new Map([
  ['whole', 4],
  ['half', 2],
  ['quarter', 1],
  ['eighth', 0.5],
  ['16th', 0.25],
  ['32nd', 0.125],
]);

/** The number beside a metronome's note, in its own unit where the model has it. */
function readMetronome(e: XmlElement): Tempo | null {
  const unit = childText(e, 'beat-unit');
  const dots = childrenOf(e, 'beat-unit-dot').length;
  const perMinute = childText(e, 'per-minute');
  const digits = /\d+(\.\d+)?/u.exec(perMinute ?? '');
  const quarters = UNIT_QUARTERS.get(unit ?? '');
  if (digits === null || quarters === undefined || dots > 2) return null;
  const bpm = Number(digits[0]);
  if (bpm <= 0) return null;
  if (dots === 1 && unit === 'quarter') return { bpm, unit: 'dotted-quarter' };
  if (dots === 0 && (unit === 'half' || unit === 'quarter' || unit === 'eighth')) {
    return { bpm, unit };
  }
  return { bpm: bpm * quarters * (2 - 2 ** -dots), unit: 'quarter' };
}

/** Tells which onsets lie under marked stretches, by binary search. */
export class SpanCover {
  readonly #froms: readonly Ticks[];
  /** The farthest end of this stretch and those before it. */
  readonly #reach: readonly Ticks[];

  constructor(spans: readonly MarkedSpan[], kind: MarkedSpan['kind']) {
    const own = spans.filter((s) => s.kind === kind).sort((a, b) => a.from - b.from);
    this.#froms = own.map((s) => s.from);
    let reach = 0;
    this.#reach = own.map((s) => {
      reach = Math.max(reach, s.to);
      return reach;
    });
  }

  covers(onset: Ticks): boolean {
    let low = 0;
    let high = this.#froms.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#froms[middle]! <= onset) low = middle + 1;
      else high = middle;
    }
    return low > 0 && (this.#froms[low - 1] === onset || this.#reach[low - 1]! > onset);
  }
}

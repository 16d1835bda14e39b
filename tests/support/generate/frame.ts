import { STANDARD_GUITAR } from '../../../src/core/phrase/instrument';
import { beatTicks, fullLength, meterTicks } from '../../../src/core/phrase/time';
import type {
  Bar,
  ChordChange,
  ChordSymbol,
  Feel,
  Instrument,
  Key,
  Mark,
  Meta,
  Meter,
  Phrase,
  Tempo,
  Ticks,
} from '../../../src/core/phrase/types';
import { canonicalSymbol } from '../../../src/core/theory/chord';
import { pitchClassOf } from '../../../src/core/theory/degree';
import { keyScale, parseKey } from '../../../src/core/theory/key';
import { formatPitchClass, type Pitch, parsePitch } from '../../../src/core/theory/pitch';
import { type Dice, STREAM } from './dice';
import type { Recipe } from './features';

function tuning(text: string): readonly Pitch[] {
  return text.split(' ').map((name) => {
    const r = parsePitch(name);
    if (!r.ok) throw new Error(`tuning ${name}`);
    return r.value;
  });
}

/** String 1 first; all in common use. */
export const INSTRUMENTS: readonly Instrument[] = [
  STANDARD_GUITAR,
  { ...STANDARD_GUITAR, name: 'Guitar, drop D', tuning: tuning('E4 B3 G3 D3 A2 D2') },
  { ...STANDARD_GUITAR, name: 'Guitar, DADGAD', tuning: tuning('D4 A3 G3 D3 A2 D2') },
  { ...STANDARD_GUITAR, name: 'Guitar, half down', tuning: tuning('Eb4 Bb3 Gb3 Db3 Ab2 Eb2') },
  {
    ...STANDARD_GUITAR,
    name: 'Seven-string guitar',
    tuning: tuning('E4 B3 G3 D3 A2 E2 B1'),
    frets: 24,
  },
  {
    name: 'Ukulele',
    tuning: tuning('A4 E4 C4 G4'),
    frets: 15,
    scaleLength: 349,
    capo: 0,
    clef: 'treble',
  },
  {
    name: 'Bass guitar',
    tuning: tuning('G2 D2 A1 E1'),
    frets: 20,
    scaleLength: 864,
    capo: 0,
    clef: 'bass-8',
  },
];

const KEYS: readonly Key[] = (
  'C G D A E B F# Db Ab Eb Bb F Gb Cb C# Am Em Bm F#m C#m G#m D#m Ebm Bbm Fm Cm Gm Dm ' +
  'A-blues E-blues G-blues C-blues Bb-blues Eb-blues F#-blues'
)
  .split(' ')
  .map((t) => parseKey(t.replace('-', ' '))!);

const METERS: readonly Meter[] = [
  { beats: 4, beatType: 4 },
  { beats: 3, beatType: 4 },
  { beats: 6, beatType: 8 },
  { beats: 12, beatType: 8 },
  { beats: 5, beatType: 4 },
  { beats: 2, beatType: 2 },
  { beats: 7, beatType: 8 },
  { beats: 9, beatType: 16 },
  { beats: 2, beatType: 4 },
];
const METER_WEIGHTS = [12, 3, 3, 2, 1, 1, 1, 1, 1];

/** Qualities in any spelling, kept in the canonical one: every kind, alterations, additions. */
const SUFFIXES = [
  ...['', 'm', '7', 'maj7', 'm7', 'm7b5', 'dim7', 'dim', 'aug', '6', 'm6', '6/9', 'm(maj7)'],
  ...['9', 'm9', 'maj9', '11', 'm11', 'maj11', '13', 'm13', 'maj13', 'sus4', 'sus2', '7sus4'],
  ...['add9', '5', '7b9', '7#9', '7#5', '7b5', '7#11', '7alt', 'maj7#5', '13b9', 'maj7#11'],
  ...['m(add9)', '9sus4', '7b9b13', '(no3)', 'm7(no5)', 'add4'],
].map((s) => {
  const read = canonicalSymbol(`C${s}`);
  if (!read.ok) throw new Error(`chord quality ${s}`);
  return read.value.slice(1);
});
const SUFFIX_WEIGHTS = SUFFIXES.map((s) => (['', 'm', '7', 'maj7', 'm7'].includes(s) ? 6 : 1));

export type Frame = Pick<
  Phrase,
  'instrument' | 'key' | 'tempo' | 'feel' | 'pickup' | 'bars' | 'length' | 'chords' | 'meta'
>;

/** Everything but the notes. */
export function makeFrame(r: Recipe, dice: (stream: number) => Dice): Frame {
  const d = dice(STREAM.frame);
  const lane = dice(STREAM.lane);
  const extra = dice(STREAM.extra);
  const later = dice(STREAM.meters);
  const base = d.chance(0.55) || !r.has('tunings') ? STANDARD_GUITAR : d.pick(INSTRUMENTS);
  const capo = d.chance(0.15) && r.has('capo') ? d.int(1, 5) : 0;
  const key = d.pick(KEYS);
  const meter = d.next();
  const chosen = METERS[new Choice(meter).weighted(METER_WEIGHTS)]!;
  const first = r.has('meters') ? chosen : METERS[0]!;
  const count = Math.min(r.maxBars, d.int(1, Math.max(4, r.maxBars)));
  const bars: Bar[] = [];
  let current = first;
  for (let i = 0; i < count; i++) {
    const change = later.chance(0.08);
    const next = later.pick(METERS);
    if (i > 0 && change && r.has('meter changes')) current = next;
    bars.push({ meter: current });
  }
  const pickup = makePickup(r, d, first);
  const full = fullLength({ pickup, bars });
  const length = makeLength(r, d, full, bars.at(-1)!.meter);
  return {
    instrument: { ...base, capo },
    key,
    tempo: makeTempo(d),
    feel: makeFeel(r, d),
    pickup,
    bars: r.has('repeats') ? addRepeats(bars, extra) : bars,
    length,
    chords: r.has('lane') ? makeLane(lane, key, pickup, bars, length) : [],
    meta: makeMeta(extra),
  };
}

/** Lets a number already drawn choose by weight, so that leaving meters out draws as often. */
class Choice {
  constructor(private readonly at: number) {}
  weighted(weights: readonly number[]): number {
    let left = this.at * weights.reduce((sum, w) => sum + w, 0);
    const found = weights.findIndex((w) => {
      left -= w;
      return left < 0;
    });
    return Math.max(found, 0);
  }
}

function makePickup(r: Recipe, d: Dice, first: Meter): Ticks {
  const wanted = d.chance(0.3);
  const units = meterTicks(first) / 2_520;
  const size = d.int(1, Math.min(units - 1, 8));
  return wanted && r.has('pickup') ? size * 2_520 : 0;
}

function makeLength(r: Recipe, d: Dice, full: Ticks, last: Meter): Ticks {
  const partial = d.chance(0.2);
  const cut = d.int(1, meterTicks(last) / 2_520 - 1);
  return partial && r.has('partial bar') ? full - cut * 2_520 : full;
}

function makeTempo(d: Dice): Tempo {
  return {
    bpm: d.int(50, 200),
    unit: d.pick(['quarter', 'quarter', 'quarter', 'eighth', 'dotted-quarter', 'half'] as const),
  };
}

function makeFeel(r: Recipe, d: Dice): Feel {
  const swing = d.chance(0.3);
  const unit = d.pick(['eighth', 'eighth', '16th'] as const);
  const [first, second] = d.pick([
    [2, 1],
    [3, 2],
    [3, 1],
    [5, 3],
  ] as const);
  return swing && r.has('swing') ? { kind: 'swing', unit, first, second } : { kind: 'straight' };
}

function addRepeats(bars: readonly Bar[], d: Dice): readonly Bar[] {
  if (!d.chance(0.15)) return bars;
  const times = d.int(2, 3);
  const out: Bar[] = [...bars];
  if (bars.length >= 3 && d.chance(0.5)) {
    out[0] = { ...out[0]!, repeatStart: true };
    const passes = Array.from({ length: times - 1 }, (_, i) => i + 1);
    out[1] = { ...out[1]!, repeatEnd: times, ending: passes };
    out[2] = { ...out[2]!, ending: [times] };
    return out;
  }
  const from = d.int(0, bars.length - 1);
  const to = d.int(from, bars.length - 1);
  if (from > 0 || d.chance(0.5)) out[from] = { ...out[from]!, repeatStart: true };
  out[to] = { ...out[to]!, repeatEnd: times };
  return out;
}

function makeLane(
  d: Dice,
  key: Key,
  pickup: Ticks,
  bars: readonly Bar[],
  length: Ticks,
): ChordChange[] {
  if (d.chance(0.08)) return [];
  const out: ChordChange[] = [];
  let start = pickup;
  bars.forEach((bar, i) => {
    const beats = Math.round(meterTicks(bar.meter) / beatTicks(bar.meter));
    const places = i === 0 || d.chance(0.8) ? [0] : [];
    if (beats > 1 && d.chance(0.25)) places.push(d.int(1, beats - 1));
    for (const beat of places) {
      const early = d.chance(0.04) ? 5_040 : 0;
      const onset =
        i === 0 && beat === 0 && d.chance(0.5)
          ? 0
          : Math.max(0, start + beat * beatTicks(bar.meter) - (beat > 0 ? early : 0));
      const last = out.at(-1);
      if (onset < length && (last === undefined || last.onset < onset)) {
        out.push({ onset, symbol: makeSymbol(d, key) });
      }
    }
    start += meterTicks(bar.meter);
  });
  return out;
}

const CHROMATIC_ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

function makeSymbol(d: Dice, key: Key): ChordSymbol | null {
  if (d.chance(0.04)) return null;
  const inKey = pitchClassOf(key.tonic, d.pick(keyScale(key.mode)));
  const root =
    d.chance(0.75) && inKey !== null && Math.abs(inKey.alter) < 2
      ? formatPitchClass(inKey)
      : d.pick(CHROMATIC_ROOTS);
  const suffix = SUFFIXES[d.weighted(SUFFIX_WEIGHTS)]!;
  const bass = d.chance(0.1) ? d.pick(CHROMATIC_ROOTS) : root;
  return `${root}${suffix}${bass === root ? '' : `/${bass}`}` as ChordSymbol;
}

const TITLES = [
  'Corner stool',
  'Slow door, quick step',
  'Rust & rain',
  'Ein kurzes Stück',
  'Half past <five>',
  'Two "blue" thirds',
  'Ohne Eile – später',
];

function makeMeta(d: Dice): Meta {
  return {
    title: d.pick(TITLES),
    ...(d.chance(0.3) ? { styleOf: d.pick(['a slow shuffle', 'a country waltz']) } : {}),
    ...(d.chance(0.2) ? { source: 'made up at random' } : {}),
    tags: d.chance(0.5) ? [] : d.chance(0.5) ? ['blues'] : ['turnaround', 'double stop'],
    ...(d.chance(0.4) ? { level: d.pick([1, 2, 3, 4, 5] as const) } : {}),
    ...(d.chance(0.2) ? { notes: 'Keep the thumb steady.\nThen let go.' } : {}),
    created: '2026-03-04T05:06:07.000Z',
    modified: '2026-04-05T06:07:08.000Z',
  };
}

const WORDS = ['with a pick', 'let it breathe', 'gently > firm', 'mute & slap'];

/** Dynamics and words, ascending, on beats. */
export function makeMarks(d: Dice, f: Frame): Mark[] {
  const marks: Mark[] = [];
  if (!d.chance(0.3)) return marks;
  const step = 5_040;
  let onset = 0;
  while (onset < f.length && marks.length < 4) {
    if (d.chance(0.5)) {
      marks.push({
        kind: 'dynamic',
        onset,
        value: d.pick(['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const),
      });
    }
    if (d.chance(0.3)) marks.push({ kind: 'words', onset, text: d.pick(WORDS) });
    onset += step * d.int(1, 8);
  }
  return marks;
}

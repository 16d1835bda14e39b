import { fretFor, openMidi, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { byString } from '../../src/core/phrase/rebuild';
import {
  type Note,
  type Phrase,
  type PhraseEvent,
  type PitchedNote,
  TICKS_PER_QUARTER,
} from '../../src/core/phrase/types';
import { type Key, parseKey } from '../../src/core/theory/key';
import { chromaOf, mod } from '../../src/core/theory/pitch';
import { spellAt } from '../../src/core/understand/spell';
import { Dice } from './generate/dice';

/**
 * Phrases in which open strings ring on under and between fretted notes, and strings sound an octave or no interval at
 * all apart (ours): what a pitch may be taken for another one in. The same seed gives the same phrase.
 *
 * - drone: an open bass string is struck on every other beat and rings under a line on the upper strings;
 * - across: a scale goes to and fro between open strings and fretted ones, and all ring;
 * - chord: a shape with open strings is taken apart, rings, and is struck whole;
 * - octaves: a line is doubled an octave above, at times with an open string between.
 */
export const RINGING = ['drone', 'across', 'chord', 'octaves'] as const;
export type Ringing = (typeof RINGING)[number];

interface Place {
  readonly string: number;
  readonly fret: number;
  readonly rings: boolean;
}

const Q = TICKS_PER_QUARTER;
const BARS = 3;
const KEYS = ['E minor', 'A minor', 'G', 'D', 'A', 'E'];
/** Shapes at the nut with open strings, fret of the sixth string first, -1 where it does not sound (common practice). */
const SHAPES: readonly (readonly number[])[] = [
  [0, 2, 2, 0, 0, 0],
  [-1, 0, 2, 2, 1, 0],
  [3, 2, 0, 0, 0, 3],
  [-1, -1, 0, 2, 3, 2],
  [-1, 3, 2, 0, 1, 0],
  [-1, 0, 2, 2, 2, 0],
  [0, 2, 2, 1, 0, 0],
];

export function ringingPhrase(seed: number): Phrase & { readonly ringing: Ringing } {
  const d = new Dice(seed, 131);
  const ringing = RINGING[mod(seed, RINGING.length)]!;
  const key = parseKey(d.pick(KEYS))!;
  const bpm = d.int(72, 126);
  const frame: Phrase = {
    format: 'degreewise-phrase',
    version: 5,
    id: `ringing-${seed}`,
    parent: null,
    meta: { title: `Ringing ${seed}`, tags: [], created: WHEN, modified: WHEN },
    instrument: STANDARD_GUITAR,
    key,
    tempo: { bpm, unit: 'quarter' },
    feel: { kind: 'straight' },
    pickup: 0,
    bars: Array.from({ length: BARS }, () => ({ meter: { beats: 4, beatType: 4 as const } })),
    length: BARS * 4 * Q,
    chords: [],
    voices: [{ events: [], tuplets: [] }],
    marks: [],
  };
  let ids = 0;
  const events = HOW[ringing](key, d).map(({ onset, duration, places }): PhraseEvent => {
    const notes = places.map(({ string, fret, rings }): PitchedNote => {
      ids += 1;
      const midi = openMidi(STANDARD_GUITAR, string) + fret;
      const pitch = spellAt(frame, onset, midi);
      const note = { kind: 'pitched', id: `n${ids}`, pitch, string, fret } as const;
      return rings ? { ...note, letRing: true } : note;
    });
    return { onset, duration, notes: byString<Note>(notes) };
  });
  return { ...frame, voices: [{ events, tuplets: [] }], ringing };
}

interface Struck {
  readonly onset: number;
  readonly duration: number;
  readonly places: readonly Place[];
}

const HOW: Readonly<Record<Ringing, (key: Key, d: Dice) => readonly Struck[]>> = {
  drone: (key, d) => {
    const bass = d.pick([6, 5, 4]);
    const reach = scaleOn(
      [1, 2, 3].filter((s) => s < bass - 1),
      d.int(2, 7),
      key,
    );
    let at = d.int(0, reach.length - 1);
    return eighths(d).map(({ onset, duration }) => {
      at = Math.max(0, Math.min(reach.length - 1, at + d.int(-2, 2)));
      const line = { ...reach[at]!, rings: false };
      const drone = { string: bass, fret: 0, rings: true };
      const beat = onset % (2 * Q) === 0;
      return { onset, duration, places: beat ? [drone, line] : [line] };
    });
  },
  across: (key, d) => {
    const open = [1, 2, 3, 4, 5, 6].map((string) => ({ string, fret: 0 }));
    const scale = scaleOf(key);
    const usable = open.filter((p) => scale.includes(mod(openMidi(STANDARD_GUITAR, p.string), 12)));
    const fretted = scaleOn([1, 2, 3, 4, 5], d.int(4, 7), key);
    let last = -1;
    return eighths(d).map(({ onset, duration }, i) => {
      const from = i % 2 === 0 ? fretted : usable.length > 0 ? usable : fretted;
      const others = from.filter((p) => p.string !== last);
      const p = d.pick(others.length > 0 ? others : from);
      last = p.string;
      return { onset, duration, places: [{ ...p, rings: true }] };
    });
  },
  chord: (_, d) => {
    const out: Struck[] = [];
    for (let bar = 0; bar < BARS; bar++) {
      const shape = d.pick(SHAPES);
      const places = shape.flatMap((fret, i) =>
        fret < 0 ? [] : [{ string: 6 - i, fret, rings: true }],
      );
      const whole = d.chance(0.4);
      for (let k = 0; k < 6; k++) {
        const place = k === 0 ? places[0]! : d.pick(places.slice(1));
        out.push({ onset: (8 * bar + k) * (Q / 2), duration: Q / 2, places: [place] });
      }
      const last = whole ? places : [d.pick(places)];
      out.push({ onset: (8 * bar + 6) * (Q / 2), duration: Q, places: last });
    }
    return out;
  },
  octaves: (key, d) => {
    const reach = scaleOn([5, 4, 3], d.int(2, 7), key);
    let at = d.int(0, reach.length - 1);
    return eighths(d).map(({ onset, duration }) => {
      at = Math.max(0, Math.min(reach.length - 1, at + d.int(-2, 2)));
      const low = reach[at]!;
      const string = low.string - 2;
      const midi = openMidi(STANDARD_GUITAR, low.string) + low.fret + 12;
      const fret = fretFor(STANDARD_GUITAR, string, midi);
      const over = fret === null || d.chance(0.15) ? [] : [{ string, fret, rings: false }];
      return { onset, duration, places: [{ ...low, rings: false }, ...over] };
    });
  },
};

/** Eighths and quarters of three bars. */
function eighths(d: Dice): readonly Omit<Struck, 'places'>[] {
  const out: Omit<Struck, 'places'>[] = [];
  for (let onset = 0; onset < BARS * 4 * Q; ) {
    const duration = onset % Q === 0 && d.chance(0.35) ? Q : Q / 2;
    out.push({ onset, duration });
    onset += duration;
  }
  return out;
}

function scaleOf(key: Key): readonly number[] {
  const steps = key.mode === 'minor' ? [0, 2, 3, 5, 7, 8, 10] : [0, 2, 4, 5, 7, 9, 11];
  return steps.map((s) => mod(chromaOf(key.tonic) + s, 12));
}

/** Notes of the key under a hand on some strings, lowest first. */
function scaleOn(
  strings: readonly number[],
  hand: number,
  key: Key,
): readonly Pick<Place, 'string' | 'fret'>[] {
  const scale = scaleOf(key);
  return strings
    .flatMap((string) => [0, 1, 2, 3].map((f) => ({ string, fret: hand + f })))
    .filter((p) => scale.includes(mod(openMidi(STANDARD_GUITAR, p.string) + p.fret, 12)))
    .sort(
      (a, b) =>
        openMidi(STANDARD_GUITAR, a.string) + a.fret - openMidi(STANDARD_GUITAR, b.string) - b.fret,
    );
}

const WHEN = '2026-11-28T00:00:00Z';

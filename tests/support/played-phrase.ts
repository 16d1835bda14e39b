import { openMidi, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import {
  type Bend,
  type Grace,
  type Note,
  type Phrase,
  type PhraseEvent,
  type PitchedNote,
  TICKS_PER_QUARTER,
  type Tuplet,
} from '../../src/core/phrase/types';
import { chordOf, formatChord } from '../../src/core/theory/chord';
import { type Key, parseKey } from '../../src/core/theory/key';
import { chromaOf, mod } from '../../src/core/theory/pitch';
import { parseRoman } from '../../src/core/theory/roman';
import { spellAt } from '../../src/core/understand/spell';
import { Dice } from './generate/dice';

/**
 * Phrases as players improvise them (ours): a line in a scale under a hand, rests, eighths to 16ths and triplets,
 * and techniques only where there is time and string for them. A string is bent in a tenth to a quarter of a
 * second, to a note of the scale; a slur joins notes of one string within a hand. The same seed gives the same phrase.
 */
export function playedPhrase(seed: number): Phrase {
  return new Player(seed).play();
}

const Q = TICKS_PER_QUARTER;
const KEYS = ['C', 'A minor', 'E blues', 'G blues', 'D', 'Bb blues', 'F# minor', 'Eb'];
/** Semitones over the tonic: minor and major pentatonic, blues, mixolydian, dorian (common practice). */
const SCALES: Readonly<Record<Key['mode'], readonly (readonly number[])[]>> = {
  minor: [
    [0, 3, 5, 7, 10],
    [0, 2, 3, 5, 7, 9, 10],
  ],
  major: [
    [0, 2, 4, 7, 9],
    [0, 2, 4, 5, 7, 9, 11],
  ],
  blues: [
    [0, 3, 5, 6, 7, 10],
    [0, 2, 3, 4, 5, 7, 9, 10],
  ],
};
const LANES = { minor: ['i7', 'iv7', 'V7'], major: ['I', 'IV', 'V7'], blues: ['I7', 'IV7', 'V7'] };
/** Parts of a beat, and how often each stands. */
const CELLS: readonly (readonly number[])[] = [
  [1],
  [1 / 2, 1 / 2],
  [1 / 3, 1 / 3, 1 / 3],
  [1 / 4, 1 / 4, 1 / 4, 1 / 4],
  [1 / 2, 1 / 4, 1 / 4],
  [3 / 4, 1 / 4],
  [2],
];
const WEIGHTS = [22, 38, 9, 9, 6, 6, 10];
const SWUNG = [24, 44, 10, 0, 0, 0, 14];

interface Place {
  readonly string: number;
  readonly fret: number;
  readonly midi: number;
}

class Player {
  private readonly d: Dice;
  private readonly frame: Phrase;
  private readonly perSecond: number;
  private readonly reach: readonly Place[];
  private at: number;
  private ids = 0;
  private readonly events: PhraseEvent[] = [];
  private readonly tuplets: Tuplet[] = [];
  /** The last note, while the next can be slurred from it. */
  private last: Place | null = null;

  constructor(seed: number) {
    const d = new Dice(seed, 91);
    this.d = d;
    const key = parseKey(d.pick(KEYS))!;
    const bars = d.int(2, 4);
    const bpm = d.int(66, 150);
    const swings = d.chance(0.25);
    this.frame = {
      format: 'degreewise-phrase',
      version: 5,
      id: `played-${seed}`,
      parent: null,
      meta: { title: `Played ${seed}`, tags: [], created: WHEN, modified: WHEN },
      instrument: STANDARD_GUITAR,
      key,
      tempo: { bpm, unit: 'quarter' },
      feel: swings ? { kind: 'swing', unit: 'eighth', first: 2, second: 1 } : { kind: 'straight' },
      pickup: 0,
      bars: Array.from({ length: bars }, () => ({ meter: { beats: 4, beatType: 4 as const } })),
      length: bars * 4 * Q,
      chords: chordsOf(key, bars, d),
      voices: [{ events: [], tuplets: [] }],
      marks: [],
    };
    this.perSecond = (bpm / 60) * Q;
    this.reach = reachOf(key, d);
    this.at = d.int(Math.floor(this.reach.length / 3), this.reach.length - 3);
  }

  play(): Phrase {
    const { d, frame } = this;
    const weights = frame.feel.kind === 'swing' ? SWUNG : WEIGHTS;
    const rests = d.pick([0.04, 0.1, 0.16]);
    for (let onset = 0; onset < frame.length; ) {
      const cell = CELLS[d.weighted(weights)]!;
      const room = frame.length - onset;
      const parts = cell[0] === 2 && room < 2 * Q ? [1] : cell;
      if (parts.length === 3 && parts[0] === 1 / 3)
        this.tuplets.push({ onset, duration: Q, actual: 3, normal: 2 });
      for (const part of parts) {
        const duration = Math.round(part * Q);
        if (onset > 0 && d.chance(rests)) this.last = null;
        else this.event(onset, duration);
        onset += duration;
      }
    }
    const tuplets = this.tuplets.filter((t) =>
      this.events.some((e) => e.onset < t.onset + t.duration && e.onset + e.duration > t.onset),
    );
    return { ...frame, voices: [{ events: this.events, tuplets }] };
  }

  private event(onset: number, duration: number): void {
    const { d } = this;
    const seconds = duration / this.perSecond;
    const slur = this.last !== null && d.chance(0.34) ? this.slurred(this.last) : null;
    if (slur !== null) this.at = this.reach.indexOf(slur.to);
    else this.step();
    const place = this.reach[this.at]!;
    const note = this.note(onset, place);
    const coloured =
      slur !== null
        ? { ...note, attack: slur.attack, ...(slur.to.fret === 0 ? {} : this.shake(seconds, 0.3)) }
        : { ...note, ...this.colour(onset, place, seconds) };
    const grace = slur === null ? this.graceOf(onset, coloured, seconds) : {};
    const second = slur === null && this.isPlain(coloured) ? this.second(onset, place) : null;
    const notes = second === null ? [coloured] : [coloured, second];
    notes.sort((a, b) => a.string - b.string);
    const short = seconds > 0.2 && this.isPlain(coloured) && d.chance(0.06);
    this.events.push({
      onset,
      duration,
      notes: notes as unknown as readonly [Note, ...Note[]],
      ...(second === null ? grace : {}),
      ...(short ? { staccato: true as const } : {}),
    });
    // A finger that bends, and two strings at once, are no place to slur from.
    this.last = coloured.bend === undefined && second === null && !short ? place : null;
  }

  private note(onset: number, { string, fret, midi }: Place): PitchedNote {
    this.ids += 1;
    const id = `n${this.ids}`;
    return { kind: 'pitched', id, pitch: spellAt(this.frame, onset, midi), string, fret };
  }

  private isPlain(n: PitchedNote): boolean {
    return n.bend === undefined && n.slideIn === undefined;
  }

  private step(): void {
    const { d } = this;
    const size = [0, 1, 2, 3, 5][d.weighted([10, 52, 24, 9, 5])]!;
    const to = this.at + (d.chance(0.5) ? size : -size);
    this.at = Math.max(0, Math.min(this.reach.length - 1, to));
  }

  private slurred(from: Place): { to: Place; attack: 'hammer-on' | 'pull-off' | 'slide' } | null {
    const { d } = this;
    const near = this.reach.filter(
      (p) => p.string === from.string && p.fret !== from.fret && Math.abs(p.fret - from.fret) <= 4,
    );
    if (near.length === 0) return null;
    const to = d.pick(near);
    const slides = d.chance(0.3) && from.fret > 0 && to.fret > 0;
    return { to, attack: slides ? 'slide' : to.fret > from.fret ? 'hammer-on' : 'pull-off' };
  }

  private colour(onset: number, p: Place, seconds: number): Partial<PitchedNote> {
    const { d } = this;
    const bend = seconds >= 0.28 && p.fret >= 4 && p.string <= 4 && d.chance(0.2);
    if (bend) return this.bend(onset, p, seconds);
    if (seconds >= 0.2 && p.fret >= 3 && d.chance(0.08)) {
      const slideIn = { kind: 'interval', from: 'below', semitones: d.int(1, 2) } as const;
      return { slideIn, ...this.shake(seconds, 0.3) };
    }
    return p.fret === 0 ? {} : this.shake(seconds, 0.35);
  }

  private shake(seconds: number, chance: number): Pick<PitchedNote, 'vibrato'> {
    const { d } = this;
    return seconds >= 0.45 && d.chance(chance)
      ? { vibrato: d.chance(0.6) ? ('wide' as const) : ('narrow' as const) }
      : {};
  }

  private bend(onset: number, p: Place, seconds: number): Partial<PitchedNote> {
    const { d } = this;
    const up = Math.round(Math.min(60, (100 * (0.1 + 0.14 * d.next())) / seconds));
    const kind = d.weighted([50, 25, 12, 13]);
    if (kind === 3) {
      return { bend: { shape: 'curl', curve: curve([0, 0], [up, 0], [100, 100]) } };
    }
    const widths = [1, 2, 2, 3].filter((w) => this.reach.some((q) => q.midi === p.midi + w));
    if (widths.length === 0) return {};
    const target = spellAt(this.frame, onset, p.midi + d.pick(widths));
    const held = Math.min(100 - Math.round(14 / seconds), up + d.int(6, 27));
    const down = Math.min(100, held + Math.round(13 / seconds));
    const shapes: readonly Bend[] = [
      { shape: 'bend', target, curve: curve([0, 0], [up, 100], [100, 100]) },
      {
        shape: 'bend-release',
        target,
        curve: curve([0, 0], [up, 100], [held, 100], [down, 0], [100, 0]),
      },
      { shape: 'pre-bend-release', target, curve: curve([0, 100], [up, 100], [held, 0], [100, 0]) },
    ];
    const shape = seconds < 0.45 ? 0 : kind;
    return { bend: shapes[shape]!, ...(kind === 0 ? this.shake(seconds, 0.15) : {}) };
  }

  private graceOf(onset: number, n: PitchedNote, seconds: number): Pick<PhraseEvent, 'graces'> {
    const { d } = this;
    if (!this.isPlain(n) || n.fret < 3 || seconds < 0.25 || !d.chance(0.05)) return {};
    const fret = n.fret - d.int(1, 2);
    const midi = openMidi(STANDARD_GUITAR, n.string) + fret;
    const pitch = spellAt(this.frame, onset, midi);
    const graces: [Grace] = [{ notes: [{ pitch, string: n.string, fret }] }];
    return { graces };
  }

  private second(onset: number, p: Place): PitchedNote | null {
    const { d } = this;
    if (!d.chance(0.1)) return null;
    const over = this.reach.filter(
      (q) =>
        Math.abs(q.string - p.string) === 1 &&
        Math.abs(q.midi - p.midi) >= 3 &&
        Math.abs(q.midi - p.midi) <= 9 &&
        Math.abs(q.fret - p.fret) <= 3,
    );
    return over.length === 0 ? null : this.note(onset, d.pick(over));
  }
}

const WHEN = '2026-11-27T00:00:00Z';

function curve(...points: readonly (readonly [number, number])[]): Bend['curve'] {
  const rising = points.filter(([at], i) => i === 0 || at > points[i - 1]![0]);
  return rising.map(([at, amount]) => ({ at, amount }));
}

function chordsOf(key: Key, bars: number, d: Dice): Phrase['chords'] {
  let before = '';
  return Array.from({ length: bars }, (_, i) => {
    const read = parseRoman(d.pick(LANES[key.mode]), key);
    if (!read.ok) throw new Error('a numeral of the lane');
    return { onset: 4 * Q * i, symbol: formatChord(read.value) };
  }).filter((c) => {
    const changes = c.symbol !== before;
    before = c.symbol;
    return changes && chordOf(c.symbol) !== null;
  });
}

/** The notes of a scale under a hand, lowest first, each pitch once. */
function reachOf(key: Key, d: Dice): readonly Place[] {
  const scale = d.pick(SCALES[key.mode]);
  const tonic = chromaOf(key.tonic);
  const position = d.int(1, 12);
  const low = d.pick([6, 5, 4]);
  const all: Place[] = [];
  for (let string = 6; string >= 1; string--)
    for (const fret of [0, 1, 2, 3, 4].map((f) => position + f).concat(position < 4 ? [0] : [])) {
      const midi = openMidi(STANDARD_GUITAR, string) + fret;
      if (string > low || !scale.includes(mod(midi - tonic, 12))) continue;
      if (!all.some((p) => p.midi === midi)) all.push({ string, fret, midi });
    }
  return all.sort((a, b) => a.midi - b.midi);
}

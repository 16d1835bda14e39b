import { openMidi, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { fullLength } from '../../src/core/phrase/time';
import type { TupletRatio } from '../../src/core/phrase/tuplet-ratio';
import { readRatioText } from '../../src/core/phrase/tuplet-ratios';
import type {
  Attack,
  BendPoint,
  ChordChange,
  ChordSymbol,
  Feel,
  Grace,
  GraceNote,
  Instrument,
  Legato,
  Mark,
  Meter,
  Note,
  Phrase,
  PhraseEvent,
  PitchedNote,
  Tempo,
  Ticks,
  Tuplet,
  Voice,
} from '../../src/core/phrase/types';
import { degreeInterval, USUAL_DEGREES } from '../../src/core/theory/degree';
import { transpose } from '../../src/core/theory/interval';
import { parseKey } from '../../src/core/theory/key';
import {
  chromaOf,
  midiOf,
  mod,
  type Pitch,
  type PitchClass,
  parsePitch,
  parsePitchClass,
} from '../../src/core/theory/pitch';

/**
 * Makes a phrase from a short line of text, for tests and for writing samples.
 *
 * Words, separated by spaces:
 * - a value sets the length of what follows: `w h q e s t` (whole … 32nd), dotted `q.`, and in a
 *   tuplet `e3` (three in the time of two), `s5`, `e7:3`; a tuplet closes by itself when it is full.
 * - `-` is a rest; `|` must stand exactly on a bar line.
 * - a note is `string/fret`, several joined by `+`; `x` instead of a fret number with `string/x7` is
 *   a dead note at fret 7. `=Eb` after the fret spells it; without it the spelling is the first
 *   usual degree over the chord. Techniques follow in parentheses, by commas:
 *   `(h) (p) (s) (S) (tap)` hammer-on, pull-off, slide, slide plucked again, tap;
 *   `(bend:D5) (rel:D5) (pre:D5) (prerel:D5) (curl)`; `(in:-1) (in:1)` slide in from semitones below
 *   or above, `(in:below) (in:above)` indefinite; `(out:up)`; `(vib) (vib:wide)`; `(tr:D5)`;
 *   `(nat:12) (art:12) (pinch:24)`; `(dip:2)`; `(ghost)`; `(ring)`; `(f:1)`; `(pk:i)`; `(pin)`;
 *   `(anchor:key)`; `(role:passing)`; `(ant) (noant)`.
 * - after the last note of an event `@` and, by commas: `down up sdown sup pm stac acc ten trem3`,
 *   `rake:6.5`; graces `g:3/7` or `g:3/7~h` joined by `;` for several, `&` for a grace double stop.
 */
export interface BuildOptions {
  readonly key?: string;
  readonly meter?: string;
  /** `G7 | C7 G7 |`: bars by `|`, symbols of a bar share its beats evenly; `NC` for none. */
  readonly chords?: string;
  readonly pickup?: Ticks;
  readonly bars?: number;
  readonly length?: Ticks;
  readonly second?: string;
  readonly instrument?: Partial<Instrument>;
  readonly feel?: Feel;
  readonly tempo?: Tempo;
  readonly title?: string;
  readonly id?: string;
  readonly marks?: readonly Mark[];
  readonly meta?: Partial<Phrase['meta']>;
}

const VALUES: Record<string, number> = {
  w: 40_320,
  h: 20_160,
  q: 10_080,
  e: 5_040,
  s: 2_520,
  t: 1_260,
};

export function build(line: string, o: BuildOptions = {}): Phrase {
  const instrument: Instrument = { ...STANDARD_GUITAR, ...o.instrument };
  const meter = readMeter(o.meter ?? '4/4');
  const barTicks = (meter.beats * 40_320) / meter.beatType;
  const pickup = o.pickup ?? 0;
  const chords = readLane(o.chords ?? '', pickup, barTicks);
  const ids = { next: 1 };
  const context = { instrument, chords, pickup, barTicks, ids };
  const first = readVoice(line, context);
  const second = o.second === undefined ? null : readVoice(o.second, context);
  const end = Math.max(first.end, second?.end ?? 0);
  const bars = o.bars ?? Math.max(1, Math.ceil((end - pickup) / barTicks));
  const shell = {
    pickup,
    bars: Array.from({ length: bars }, () => ({ meter })),
  };
  return {
    format: 'degreewise-phrase',
    version: 5,
    id: o.id ?? 'test',
    parent: null,
    meta: {
      title: o.title ?? 'Test phrase',
      tags: [],
      created: '2026-01-01T00:00:00.000Z',
      modified: '2026-01-01T00:00:00.000Z',
      ...o.meta,
    },
    instrument,
    key: parseKey(o.key ?? 'C') ?? bad(`key ${o.key}`),
    tempo: o.tempo ?? { bpm: 100, unit: 'quarter' },
    feel: o.feel ?? { kind: 'straight' },
    ...shell,
    length: o.length ?? fullLength(shell),
    chords,
    voices: second === null ? [first.voice] : [first.voice, second.voice],
    marks: o.marks ?? [],
  };
}

interface Context {
  readonly instrument: Instrument;
  readonly chords: readonly ChordChange[];
  readonly pickup: Ticks;
  readonly barTicks: Ticks;
  readonly ids: { next: number };
}

function readMeter(text: string): Meter {
  const [beats, beatType] = text.split('/').map(Number);
  return { beats: beats!, beatType: beatType as Meter['beatType'] };
}

function readLane(text: string, pickup: Ticks, barTicks: Ticks): ChordChange[] {
  const out: ChordChange[] = [];
  if (text.trim() === '') return out;
  text.split('|').forEach((bar, i) => {
    const symbols = bar
      .trim()
      .split(/\s+/u)
      .filter((s) => s !== '');
    symbols.forEach((s, k) => {
      const onset =
        i === 0 && k === 0 ? 0 : pickup + i * barTicks + (k * barTicks) / symbols.length;
      out.push({ onset, symbol: s === 'NC' ? null : (s as ChordSymbol) });
    });
  });
  return out;
}

function readVoice(line: string, c: Context): { voice: Voice; end: Ticks } {
  const events: PhraseEvent[] = [];
  const tuplets: Tuplet[] = [];
  let at = 0;
  let base = VALUES.e!;
  let ratio: TupletRatio | null = null;
  const advance = () => {
    const length = ratio === null ? base : (base * ratio.normal) / ratio.actual;
    const open = tuplets.at(-1);
    if (ratio !== null && (open === undefined || open.onset + open.duration <= at)) {
      tuplets.push({ onset: at, duration: base * ratio.normal, ...ratio });
    }
    at += length;
    return length;
  };
  for (const word of line.trim().split(/\s+/u)) {
    const value = /^([whqest])(\.)?(\d{1,2}(?::\d{1,2})?)?$/u.exec(word);
    if (value !== null) {
      base = VALUES[value[1]!]! * (value[2] === undefined ? 1 : 1.5);
      ratio = value[3] === undefined ? null : readRatioText(value[3]);
    } else if (word === '|') {
      if ((at - c.pickup) % c.barTicks !== 0) bad(`bar line at tick ${at} in '${line}'`);
    } else if (word === '-') {
      advance();
    } else {
      const onset = at;
      events.push(readEvent(word, onset, advance(), c));
    }
  }
  return { voice: { events, tuplets }, end: at };
}

function readEvent(word: string, onset: Ticks, duration: Ticks, c: Context): PhraseEvent {
  const [noteText, extraText] = word.split('@');
  const notes = noteText!
    .split('+')
    .map((n) => readNote(n, onset, c))
    .sort((a, b) => a.string - b.string) as [Note, ...Note[]];
  const extra: Record<string, unknown> = {};
  for (const x of (extraText ?? '').split(',').filter((s) => s !== '')) {
    const simple: Record<string, Partial<PhraseEvent>> = {
      down: { stroke: 'down' },
      up: { stroke: 'up' },
      sdown: { strum: 'down' },
      sup: { strum: 'up' },
      pm: { palmMute: true },
      stac: { staccato: true },
      acc: { accent: true },
      ten: { tenuto: true },
      trem1: { tremolo: 1 },
      trem2: { tremolo: 2 },
      trem3: { tremolo: 3 },
    };
    if (simple[x] !== undefined) Object.assign(extra, simple[x]);
    else if (x.startsWith('rake:')) extra.rake = x.slice(5).split('.').map(Number);
    else if (x.startsWith('g:')) {
      extra.graces = x
        .slice(2)
        .split(';')
        .map((g) => readGrace(g, onset, c)) as [Grace, ...Grace[]];
    } else bad(`event word '${x}'`);
  }
  return { onset, duration, notes, ...extra };
}

function readGrace(text: string, onset: Ticks, c: Context): Grace {
  const notes = text.split('&').map((n): GraceNote => {
    const [place, attack] = n.split('~');
    const m = /^(\d+)\/(\d+)(?:=(.+))?$/u.exec(place!) ?? bad(`grace '${n}'`);
    const string = Number(m[1]);
    const fret = Number(m[2]);
    const legato: Record<string, Legato> = { h: 'hammer-on', p: 'pull-off', s: 'slide' };
    const how =
      attack === undefined ? undefined : (legato[attack] ?? bad(`grace attack '${attack}'`));
    return {
      pitch: spell(openMidi(c.instrument, string) + fret, m[3], onset, c),
      string,
      fret,
      ...(how === undefined ? {} : { attack: how }),
    };
  });
  return { notes: notes as unknown as Grace['notes'] };
}

function readNote(text: string, onset: Ticks, c: Context): Note {
  const m =
    /^(\d+)\/(x)?(\d+)(?:=([A-G](?:#|b)*-?\d*))?(?:\((.*)\))?$/u.exec(text) ??
    bad(`note '${text}'`);
  const string = Number(m[1]);
  const fret = Number(m[3]);
  const id = `n${c.ids.next++}`;
  const mods = (m[5] ?? '').split(',').filter((s) => s !== '');
  if (m[2] === 'x') {
    const way = mods.find((w) => w.startsWith('scrape:'))?.slice('scrape:'.length);
    const scrape =
      way === undefined ? {} : { scrape: way === 'up' ? ('up' as const) : ('down' as const) };
    return {
      kind: 'dead',
      id,
      string,
      fret,
      ...scrape,
      ...(mods.includes('pin') ? { pinned: true } : {}),
    };
  }
  const extra: { -readonly [K in keyof PitchedNote]?: PitchedNote[K] } = {};
  let midi = openMidi(c.instrument, string) + fret;
  for (const mod of mods) {
    const [name, value = ''] = mod.split(':');
    const attacks: Record<string, Attack> = {
      h: 'hammer-on',
      p: 'pull-off',
      s: 'slide',
      S: 'slide-plucked',
      tap: 'tap',
    };
    if (attacks[name!] !== undefined) extra.attack = attacks[name!]!;
    else if (name === 'curl') extra.bend = { shape: 'curl', curve: curve([0, 0], [100, 100]) };
    else if (name === 'bend')
      extra.bend = {
        shape: 'bend',
        target: pitch(value),
        curve: curve([0, 0], [50, 100], [100, 100]),
      };
    else if (name === 'rel')
      extra.bend = {
        shape: 'bend-release',
        target: pitch(value),
        curve: curve([0, 0], [25, 100], [50, 100], [75, 0], [100, 0]),
      };
    else if (name === 'pre')
      extra.bend = { shape: 'pre-bend', target: pitch(value), curve: curve([0, 100], [100, 100]) };
    else if (name === 'prerel')
      extra.bend = {
        shape: 'pre-bend-release',
        target: pitch(value),
        curve: curve([0, 100], [50, 100], [75, 0], [100, 0]),
      };
    else if (name === 'in')
      extra.slideIn =
        value === 'below' || value === 'above'
          ? { kind: 'indefinite', from: value }
          : {
              kind: 'interval',
              from: Number(value) < 0 ? 'below' : 'above',
              semitones: Math.abs(Number(value)),
            };
    else if (name === 'out') extra.slideOut = value as 'up' | 'down';
    else if (name === 'vib') extra.vibrato = value === 'wide' ? 'wide' : 'narrow';
    else if (name === 'tr') extra.trill = { upper: pitch(value) };
    else if (name === 'nat') {
      const above = Number(value) as 12 | 19 | 24;
      extra.harmonic = { kind: 'natural', above };
      midi = openMidi(c.instrument, string) + above;
    } else if (name === 'art' || name === 'pinch')
      extra.harmonic = {
        kind: name === 'art' ? 'artificial' : 'pinch',
        above: Number(value) as 12 | 19 | 24,
      };
    else if (name === 'dip') extra.barDip = Number(value);
    else if (name === 'ghost') extra.ghost = true;
    else if (name === 'ring') extra.letRing = true;
    else if (name === 'f')
      extra.finger = (value === 'T' ? 'T' : Number(value)) as 1 | 2 | 3 | 4 | 'T';
    else if (name === 'pk') extra.pluck = value as NonNullable<PitchedNote['pluck']>;
    else if (name === 'pin') extra.pinned = true;
    else if (name === 'anchor') extra.anchor = value as NonNullable<PitchedNote['anchor']>;
    else if (name === 'role')
      extra.role = value.replace('-', ' ') as NonNullable<PitchedNote['role']>;
    else if (name === 'ant') extra.anticipation = true;
    else if (name === 'noant') extra.anticipation = false;
    else bad(`technique '${mod}'`);
  }
  return { kind: 'pitched', id, pitch: spell(midi, m[4], onset, c), string, fret, ...extra };
}

function curve(...points: readonly (readonly [number, number])[]): BendPoint[] {
  return points.map(([at, amount]) => ({ at, amount }));
}

/** The pitch sounding `midi` under its given name, else under the first usual degree of the chord. */
function spell(midi: number, name: string | undefined, onset: Ticks, c: Context): Pitch {
  if (name !== undefined) {
    const pc = parsePitchClass(name.replace(/-?\d+$/u, '')) ?? bad(`name '${name}'`);
    return inOctave(pc, midi);
  }
  const symbol =
    c.chords.filter((x) => x.onset <= onset).at(-1)?.symbol ?? c.chords[0]?.symbol ?? 'C';
  const root = parsePitchClass(/^[A-G](?:#|b)?/u.exec(symbol)?.[0] ?? 'C') ?? bad(symbol);
  const d = USUAL_DEGREES[mod(midi - chromaOf(root), 12)]![0]!;
  const p = transpose({ ...root, octave: 4 }, degreeInterval(d)) ?? bad(`spelling of ${midi}`);
  return inOctave(p, midi);
}

function inOctave(pc: PitchClass, midi: number): Pitch {
  for (let octave = -1; octave < 10; octave++) {
    const p = { letter: pc.letter, alter: pc.alter, octave };
    if (midiOf(p) === midi) return p;
  }
  return bad(`${pc.letter} does not sound ${midi}`);
}

function pitch(text: string): Pitch {
  const r = parsePitch(text);
  return r.ok ? r.value : bad(`pitch '${text}'`);
}

function bad(what: string): never {
  throw new Error(`builder: ${what}`);
}

import { beatTicks, meterTicks } from '../phrase/time';
import { type Meter, TICKS_PER_QUARTER, type Ticks } from '../phrase/types';
import { type Chord, chordTones } from '../theory/chord';
import { remembered } from '../theory/chord-model';
import { homeScale } from '../theory/chord-scale';
import { degreeSemitones } from '../theory/degree';
import { chromaOf, mod } from '../theory/pitch';
import { type ChordSpan, LONGEST_ANTICIPATION, spanAt } from '../understand/owner';
import type { JoinNote } from './sketch';

/** How a phrase stands over chords and bars: what a sketch, which can be moved, does not know. */
export interface Standing {
  /** Share of its sounding time on chord tones; a note counts with two quarters at most. */
  readonly tones: number;
  /** Share of its notes outside the home scale. */
  readonly outside: number;
  /** Whether the last note is a chord tone. */
  readonly endsOnTone: boolean;
  /** The eighth of the bar on which the last note begins, from 0. */
  readonly lastEighth: number;
  /** How many of its long notes begin on a strong beat: (these + 1) / (all + 2), which is a half where there is none. */
  readonly firm: number;
}

/** Where notes stand. */
export interface Ground {
  /** The chords under them; none, and all notes are as good as any. */
  readonly spans: readonly ChordSpan[];
  readonly meter: Meter;
  /** Where a bar begins, any of them. */
  readonly bar: Ticks;
}

/** Played notes are a little early or late and still on the beat: by so much of a quarter. */
const EARLY = 1 / 16;
const LATE = 5 / 48;
const LONG = 0.75 * TICKS_PER_QUARTER;
const LONGEST = 2 * TICKS_PER_QUARTER;

/** What real solos have, and what is taken where no chord is known. */
const USUAL = { tones: 0.56, outside: 0.19 };

/** @param line One note at least, ascending by onset. */
export function standingOf(line: readonly JoinNote[], { spans, meter, bar }: Ground): Standing {
  const early = EARLY * TICKS_PER_QUARTER;
  const beats = meterTicks(meter) / beatTicks(meter);
  // Every other beat is strong; of an odd number only the first (common practice).
  const strong = beatTicks(meter) * (beats % 2 === 0 ? 2 : beats);
  let [known, out, sounding, onTones, long, firm] = [0, 0, 0, 0, 0, 0];
  let endsOnTone = false;
  line.forEach((n, i) => {
    if (n.duration >= LONG) {
      long++;
      if (mod(n.onset - bar + early, strong) < early + LATE * TICKS_PER_QUARTER) firm++;
    }
    const chord = chordUnder(n, line[i + 1]?.onset ?? Number.POSITIVE_INFINITY, spans);
    if (chord === null) return;
    const { tones, scale } = bitsOf(chord);
    const isTone = has(tones, n.midi);
    const length = Math.min(n.duration, LONGEST);
    known++;
    sounding += length;
    if (isTone) onTones += length;
    else if (!has(scale, n.midi)) out++;
    if (i === line.length - 1) endsOnTone = isTone;
  });
  const last = mod(line.at(-1)!.onset - bar + early, meterTicks(meter));
  return {
    tones: sounding === 0 ? USUAL.tones : onTones / sounding,
    outside: known === 0 ? USUAL.outside : out / known,
    endsOnTone,
    lastEighth: Math.floor((2 * last) / TICKS_PER_QUARTER),
    firm: (firm + 1) / (long + 2),
  };
}

/** The chord that owns a note, by D2 for notes that are not spelled. */
function chordUnder(n: JoinNote, nextOnset: Ticks, spans: readonly ChordSpan[]): Chord | null {
  const here = spanAt(spans, n.onset);
  const next = here === null ? undefined : spans[here.index + 1];
  if (here === null || !next?.chord || next.onset - n.onset > LONGEST_ANTICIPATION) {
    return here?.chord ?? null;
  }
  if (n.onset + n.duration < next.onset && nextOnset < next.onset) return here.chord;
  const isHere = here.chord !== null && has(bitsOf(here.chord).tones, n.midi);
  return !isHere && has(bitsOf(next.chord).tones, n.midi) ? next.chord : here.chord;
}

const has = (bits: number, midi: number) => ((bits >> (midi % 12)) & 1) === 1;

/** The pitch classes of a chord and of its home scale, a bit each, C the lowest. */
const bitsOf = remembered((chord: Chord) => {
  const root = chromaOf(chord.root);
  let tones = 0;
  for (const t of chordTones(chord)) tones |= 1 << mod(root + degreeSemitones(t), 12);
  let scale = tones | (1 << mod(root, 12));
  for (const d of homeScale(chord)) scale |= 1 << mod(root + degreeSemitones(d), 12);
  return { tones, scale };
});

/*
 * Learnt beside the weights of the joins (`weights.ts`), on the same solos: the figures are in the README.
 */
const WEIGHTS = {
  /** How far its share of sounding time on chord tones is from the phrase before. */
  apartTones: -0.51,
  /** The same of notes outside the home scale. */
  apartOutside: -0.73,
  /** The last note on the first beat of a bar. */
  closes: 0.13,
  /** The last note on the same eighth of the bar as in the phrase before. */
  closesAlike: 0.35,
  /** Long notes on strong beats. */
  firm: 0.61,
  /* As far as phrases are loose. */
  tones: 1.57,
  outside: -1.29,
  endsOnTone: 0.6,
};

/**
 * How well a phrase stands after another, on the scale of `joinScore`.
 * @param loose How loosely the phrases lie on the chords that could stand there (`looseness`). Where every one
 *   was moved by its roles, none does, and how well a phrase fits says nothing about whether it follows.
 */
export function standingScore(before: Standing, next: Standing, loose = 0): number {
  const w = WEIGHTS;
  const fits =
    w.tones * next.tones + w.outside * next.outside + (next.endsOnTone ? w.endsOnTone : 0);
  return (
    w.apartTones * Math.abs(next.tones - before.tones) +
    w.apartOutside * Math.abs(next.outside - before.outside) +
    (next.lastEighth === 0 ? w.closes : 0) +
    (next.lastEighth === before.lastEighth ? w.closesAlike : 0) +
    w.firm * next.firm +
    loose * fits
  );
}

/**
 * From 0, where phrases fit the chords as those of real solos do where they were played, to 1, where they fit as
 * if they had been carried there note by note.
 */
export function looseness(all: readonly Standing[]): number {
  const mean = (of: (s: Standing) => number) => all.reduce((n, s) => n + of(s), 0) / all.length;
  const worse = USUAL.tones - mean((s) => s.tones) + mean((s) => s.outside) - USUAL.outside;
  return all.length === 0 ? 0 : Math.max(0, Math.min(1, worse / 0.12));
}

/** Half a beat is the shortest rest in real solos: 5% are shorter. */
const SHORTEST_REST = 0.5;

/** What a rest counts that is too short to be one; `beats` from the end of one phrase to the start of the next. */
export const shortRestScore = (beats: number): number => (beats < SHORTEST_REST ? -0.5 : 0);

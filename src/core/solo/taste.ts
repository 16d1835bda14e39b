import { echo } from '../joins/echo';
import { meterTicks } from '../phrase/time';
import { type Phrase, TICKS_PER_QUARTER } from '../phrase/types';
import { lineOf } from './line';
import type { Sketched } from './placer';
import type { SoloTaste, Wish } from './wanted';

/*
 * Weights on the scale of `joinScore` (*ours*, read over the samples): enough to decide between joins
 * that are about as good, not enough for a bad one. 1.5 is the way from a random join to a real one.
 */
/** Less, and the joins, which keep pace and register, and where phrases usually begin leave nothing of it. */
const BUILD = 6;
const ANSWER = 2.5;
const BREATH = 0.4;
const VARIETY = 2;
const HAND = 0.15;
const WISH = 2.5;

/** Bars that a question lasts, and its answer. */
const HALF = 2;

/** Frets that the hand goes without noticing. */
const FREE_FRETS = 2;

/** What a choice counts beside the join. */
export function tasteOf(
  taste: SoloTaste,
  of: {
    readonly before: Sketched | null;
    readonly next: Sketched;
    /** How much it takes up of the one before; share. */
    readonly alike: number;
    /** The rest between the two. */
    readonly beats: number;
    readonly bars: number;
    readonly phrases: readonly Phrase[];
  },
): number {
  const { before, next, alike, beats, bars, phrases } = of;
  const source = phrases[next.index]!;
  let sum = WISH * wishesMet(source, taste.wishes ?? []);
  if (taste.course === 'build') {
    const at = (next.start + next.end) / 2 / bars;
    const density = Math.log2(notesAQuarter(next, source) / USUAL_NOTES);
    const high = (next.sketch.head + 12 * next.octaves - MIDDLE) / 12;
    sum += BUILD * (2 * at - 1) * Math.max(-1.5, Math.min(1.5, density + high / 4));
  }
  if (before === null) return sum;
  if (taste.course === 'answer') {
    const answers = next.start % (2 * HALF) >= HALF;
    sum += (answers ? ANSWER : -ANSWER) * echo(before.sketch, next.sketch);
    if (!answers) sum += BREATH * Math.max(0, Math.min(2, beats));
  }
  if (taste.variety === 'one-idea' || taste.variety === 'new') {
    sum += (taste.variety === 'one-idea' ? VARIETY : -VARIETY) * 3 * alike;
  }
  if (taste.hand === 'near') {
    const frets = Math.abs(fretOf(before, phrases) - fretOf(next, phrases));
    sum -= HAND * Math.max(0, frets - FREE_FRETS);
  }
  return sum;
}

/**
 * Over all its bars: a short run before a long rest is quick and yet few notes, where only its own time counts.
 */
function notesAQuarter({ start, end, sketch }: Sketched, { bars }: Phrase): number {
  return (sketch.midi.length * TICKS_PER_QUARTER) / ((end - start) * meterTicks(bars[0]!.meter));
}

/** Notes a quarter in the middle of what phrases have, their rests counted. */
const USUAL_NOTES = 1.5;

/** D4 in the middle of what is played on a guitar. */
const MIDDLE = 62;

/** Share of the wishes that a phrase has. */
export function wishesMet(p: Phrase, wishes: readonly Wish[]): number {
  if (wishes.length === 0) return 0;
  const has = signsOf(p);
  return wishes.filter((w) => has.has(w)).length / wishes.length;
}

const known = new WeakMap<Phrase, ReadonlySet<Wish>>();

function signsOf(p: Phrase): ReadonlySet<Wish> {
  const found = known.get(p);
  if (found !== undefined) return found;
  const signs = new Set<Wish>();
  for (const { events } of p.voices) {
    for (const { notes } of events) {
      if (notes.filter((n) => n.kind === 'pitched').length === 2) signs.add('double-stops');
      for (const n of notes) {
        if (n.kind !== 'pitched') continue;
        const { attack, slideIn, slideOut, bend, vibrato } = n;
        if (bend !== undefined) signs.add('bends');
        if (vibrato !== undefined) signs.add('vibrato');
        if (attack === 'hammer-on' || attack === 'pull-off') signs.add('legato');
        if (attack === 'slide' || attack === 'slide-plucked' || slideIn !== undefined) {
          signs.add('slides');
        }
        if (slideOut !== undefined) signs.add('slides');
      }
    }
  }
  known.set(p, signs);
  return signs;
}

/**
 * About where the hand is, before anything is fingered: the middle of the phrase's own frets, and as
 * many more as it goes up (M12, the shape is kept where it can be).
 */
function fretOf(c: Sketched, phrases: readonly Phrase[]): number {
  const { fret, head } = handOf(phrases[c.index]!);
  return Math.max(0, fret + c.sketch.head + 12 * c.octaves - head);
}

const hands = new WeakMap<Phrase, { readonly fret: number; readonly head: number }>();

function handOf(p: Phrase): { readonly fret: number; readonly head: number } {
  const found = hands.get(p);
  if (found !== undefined) return found;
  const frets = p.voices[0].events
    .flatMap((e) => e.notes.flatMap((n) => (n.kind === 'pitched' ? [n.fret] : [])))
    .sort((a, b) => a - b);
  const hand = { fret: frets[Math.floor(frets.length / 2)] ?? 0, head: headOf(p) };
  hands.set(p, hand);
  return hand;
}

/** Mean of the first eight notes, as `Sketch.head`. */
function headOf(p: Phrase): number {
  const midi = lineOf(p)
    .slice(0, 8)
    .map((n) => n.midi);
  return midi.reduce((a, b) => a + b, 0) / Math.max(1, midi.length);
}

/** Why a phrase stands there beyond its join, in parts of a sentence. */
export function tasteWords(
  taste: SoloTaste,
  before: Sketched | null,
  next: Sketched,
  phrases: readonly Phrase[],
): readonly string[] {
  const words: string[] = [];
  const met = (taste.wishes ?? []).filter((w) => signsOf(phrases[next.index]!).has(w));
  if (met.length > 0) words.push(`has ${met.map((w) => w.replace('-', ' ')).join(' and ')}`);
  if (taste.course === 'answer' && before !== null && next.start % (2 * HALF) >= HALF) {
    if (echo(before.sketch, next.sketch) >= 0.5) words.push('answers the phrase before');
  }
  return words;
}

import type { Chord } from '../theory/chord';
import { type CompStroke, compStrokes } from './comping-rhythm';
import { dice } from './dice';
import type { BackingFeel, BackingForm, CompChord, CompVoice, FormChord } from './types';
import { type Voicing, voicingsOf } from './voicings';

/**
 * Semitones that a voice of the comping moves at most from chord to chord: a tritone. Mostly it is a step:
 * over the lanes of `tests/scripts/backing.ts` 95 voices in 100 move by two semitones or less.
 */
export const MOST_MOTION = 6;

/** An early chord comes at most an eighth before its change (D2). */
const EARLY = 5_040;

/** The comping over a form: rhythm first, then the grips of all chords chosen together. */
export function comping(form: BackingForm, feel: BackingFeel, seed: number): readonly CompChord[] {
  const strokes = compStrokes(form, feel, seed);
  const grips = leadVoices(form.chords, seed);
  const out: CompChord[] = [];
  let span = 0;
  for (const [i, stroke] of strokes.entries()) {
    while (span < form.chords.length - 1 && form.chords[span]!.end <= stroke.at) span += 1;
    const here = form.chords[span]!;
    const early = stroke.push && here.end - stroke.at <= EARLY && grips[span + 1] != null;
    const grip = early ? grips[span + 1] : grips[span];
    if (grip == null) continue;
    const last = early ? (form.chords[span + 1]?.end ?? form.length) : here.end;
    const end = Math.min(stroke.end, last, strokes[i + 1]?.at ?? form.length);
    out.push({
      ...moment(stroke, end),
      stroke: stroke.stroke,
      voices: grip.voices,
      ...(early ? { early: true } : {}),
    });
  }
  return withChanges(form, out, grips);
}

function moment(s: CompStroke, end: number) {
  return { at: s.at, end, level: s.level, ...(s.tuplet ? { tuplet: true as const } : {}) };
}

/** A chord that no stroke of the pattern would sound gets one on its change. */
function withChanges(
  form: BackingForm,
  list: readonly CompChord[],
  grips: readonly (Voicing | null)[],
): readonly CompChord[] {
  const from = form.bars.find((b) => b.number > 0)?.start ?? form.length;
  const added = form.chords.flatMap((c, i): CompChord[] => {
    const grip = grips[i];
    const start = Math.max(c.start, from);
    if (grip == null || start >= c.end) return [];
    const sounds = list.some(
      (h) =>
        (h.at >= start && h.at < c.end && !(h.early && h.voices !== grip.voices)) ||
        (h.early && h.end > start && h.at < start),
    );
    if (sounds) return [];
    const next = list.find((h) => h.at > start)?.at ?? c.end;
    return [
      { at: start, end: Math.min(c.end, next), level: 0, stroke: 'down', voices: grip.voices },
    ];
  });
  return [...list, ...added].sort((a, b) => a.at - b.at);
}

/**
 * The grips of all chords together: the least sum of what the voices move, voice by voice from the
 * lowest, and of what each grip costs by itself; no voice further than `MOST_MOTION` where any grips allow.
 * @param also What is struck of a grip alone elsewhere: it is led too.
 */
export function leadVoices(
  chords: readonly FormChord[],
  seed: number,
  also: ((voices: readonly CompVoice[]) => readonly CompVoice[]) | null = null,
): readonly (Voicing | null)[] {
  interface State {
    readonly grip: Voicing;
    readonly alone: readonly CompVoice[];
    readonly cost: number;
    readonly before: State | null;
  }
  let states: readonly State[] = [];
  for (const { chord } of chords) {
    if (chord === null) continue;
    const own = voicingsOf(chord);
    const before = states;
    states = own.map((grip): State => {
      const alone = also === null ? NONE : also(grip.voices);
      // By what sounds: where the same notes lie at two places, the hand decides and not the dice.
      const sound = grip.voices.reduce((n, v) => n * 128 + v.midi, 0);
      const self = grip.cost + 1.5 * dice(seed, 'grip', nameNumber(chord), sound);
      if (before.length === 0) return { grip, alone, cost: self, before: null };
      let best: State | null = null;
      for (const b of before) {
        const cost = b.cost + self + motion(b.grip, grip) + moved(b.alone, alone);
        if (best === null || cost < best.cost) best = { grip, alone, cost, before: b };
      }
      return best ?? { grip, alone, cost: self, before: null };
    });
  }
  let end = states.reduce<State | null>((a, b) => (a === null || b.cost < a.cost ? b : a), null);
  const found: Voicing[] = [];
  for (; end !== null; end = end.before) found.push(end.grip);
  return chords.map((c) => (c.chord === null ? null : (found.pop() ?? null)));
}

const NONE: readonly CompVoice[] = [];

function nameNumber(chord: Chord): number {
  return chord.root.letter.charCodeAt(0) * 7 + chord.root.alter;
}

/** How far the voices move together; past the limit only where there is no other way. */
function motion(a: Voicing, b: Voicing): number {
  const hand = Math.abs(handOf(b) - handOf(a));
  return moved(a.voices, b.voices) + 0.5 * Math.max(0, hand - 2);
}

function moved(a: readonly CompVoice[], b: readonly CompVoice[]): number {
  let sum = 0;
  for (const distance of motions(a, b)) {
    sum += distance + (distance > 4 ? distance - 4 : 0) + (distance > MOST_MOTION ? 1000 : 0);
  }
  return sum;
}

/**
 * Semitones that each voice moves: voice by voice from the lowest; into or out of a power chord, which
 * has a voice less, every voice of the fuller chord to or from the nearest.
 */
function motions(a: readonly CompVoice[], b: readonly CompVoice[]): readonly number[] {
  if (a.length === b.length) return a.map((v, i) => Math.abs(b[i]!.midi - v.midi));
  const [few, many] = a.length < b.length ? [a, b] : [b, a];
  return many.map((v) => Math.min(...few.map((w) => Math.abs(w.midi - v.midi))));
}

/** The fret of the index finger. */
function handOf(v: Voicing): number {
  return Math.min(...v.voices.map((x) => x.fret));
}

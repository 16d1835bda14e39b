import { movePhrase } from '../move/move';
import { OCTAVE_CHOICES } from '../move/request';
import { type BarSpan, barSpans, meterTicks } from '../phrase/time';
import type { Feel, Phrase } from '../phrase/types';
import { perform, secondsPerTick } from '../sound/perform';
import type { Seconds, Sound } from '../sound/types';
import { type Chord, formatChord } from '../theory/chord';
import { formOfPhrase } from './form';
import type { BackingForm, FormBar, FormChord } from './types';

/** A stretch of the form that a rhythm of one's own fills. */
export interface Filled {
  readonly span: FormChord;
  /** Its sounds on the clock of the form; empty where the rhythm rests. */
  readonly sounds: readonly Sound[];
}

/** Two sounds of a string this near are joined. */
const JOINED: Seconds = 0.005;

/** A chord is reached in another octave than the nearest only so near to where the rhythm was written, in semitones. */
const FURTHEST = 9;
/** What a semitone away from where it was written counts beside one of motion from chord to chord (ours). */
const HOME = 0.25;

/**
 * A rhythm phrase over the chords of a form: moved onto each chord with every note's role kept (M2), each in the
 * octave that makes the hand and the voices move least from chord to chord; bar after bar of it over bar after bar
 * of the form, cut where the chord changes. Its pickup is left out.
 * @param swing Of the band, which it plays with.
 * @returns What is filled; a chord onto which it cannot be moved, or a bar of another length, is not.
 */
export function ownRhythm(
  form: BackingForm,
  rhythm: Phrase,
  swing: Feel,
  perTick: number,
): readonly Filled[] {
  if (isWrittenFor(rhythm, form)) return asWritten(form, rhythm, swing, perTick);
  const known = new Map<string, readonly Moved[]>();
  const waysTo = (chord: Chord) => {
    const name = formatChord(chord);
    const had = known.get(name);
    if (had !== undefined) return had;
    const made = waysOf(rhythm, chord, swing, perTick);
    known.set(name, made);
    return made;
  };
  const bars = form.bars.filter((b) => b.number > 0);
  const spans = form.chords.flatMap((span) => {
    const ways = span.chord === null ? [] : waysTo(span.chord);
    return ways.length === 0 ? [] : [{ span, ways }];
  });
  const led = leastMotion(spans.map((s) => s.ways));
  return spans.flatMap(({ span }, k): Filled[] => {
    const over = led[k]!.bars;
    const sounds: Sound[] = [];
    for (const [i, bar] of bars.entries()) {
      if (bar.end <= span.start || bar.start >= span.end) continue;
      const own = over[i % over.length]!;
      if (meterTicks(own.span.bar.meter) !== meterTicks(bar.meter)) return [];
      sounds.push(...laid(own, bar, span, perTick));
    }
    return [{ span, sounds }];
  });
}

/** Whether a rhythm has the very bars and chords of the form, from its first tick on. */
function isWrittenFor(rhythm: Phrase, form: BackingForm): boolean {
  const own = formOfPhrase(rhythm, { repeats: false });
  const plan = ({ bars, chords }: BackingForm) =>
    JSON.stringify([
      bars.map((b) => [b.number, b.start, b.meter]),
      chords.map((c) => [c.start, c.chord === null ? null : formatChord(c.chord)]),
    ]);
  return plan(own) === plan(form);
}

/** Moved onto chords that it has already it would lose what leads from one to the next. */
function asWritten(
  form: BackingForm,
  rhythm: Phrase,
  swing: Feel,
  perTick: number,
): readonly Filled[] {
  const speed = secondsPerTick(rhythm.tempo) / perTick;
  const { sounds } = perform({ ...rhythm, feel: swing }, { speed, repeats: false });
  return form.chords.map((span) => ({
    span,
    sounds: sounds
      .filter((s) => s.tick >= span.start && s.tick < span.end)
      .map((s) => ({ ...s, noteId: null })),
  }));
}

/** The rhythm over a chord, in one octave. */
interface Moved {
  readonly bars: readonly BarSounds[];
  /** How much higher it lies than it was written, in semitones. */
  readonly height: number;
}

/** The rhythm over a chord in every octave near where it was written; none where it cannot be played there. */
function waysOf(rhythm: Phrase, chord: Chord, swing: Feel, perTick: number): readonly Moved[] {
  const home = meanPitch(barSounds({ ...rhythm, feel: swing }, perTick));
  const ways = new Map<number, Moved>();
  for (const octave of OCTAVE_CHOICES) {
    const moved = movePhrase(rhythm, { to: { kind: 'chord', chord }, octave });
    if (!moved.ok || moved.value.report.unplayable.length > 0) continue;
    const bars = barSounds({ ...moved.value.phrase, feel: swing }, perTick);
    const height = meanPitch(bars) - home;
    if (bars.length === 0) continue;
    if (octave !== 'nearest' && ways.size > 0 && Math.abs(height) > FURTHEST) continue;
    ways.set(Math.round(height), { bars, height });
  }
  return [...ways.values()];
}

/** One way for each chord: the least sum of what it moves, with a pull to where it was written. */
function leastMotion(all: readonly (readonly Moved[])[]): readonly Moved[] {
  let best: { readonly cost: number; readonly path: readonly Moved[] }[] = [];
  all.forEach((ways, i) => {
    best = ways.map((way) => {
      const own = HOME * Math.abs(way.height);
      if (i === 0) return { cost: own, path: [way] };
      const from = best.map(({ cost, path }) => ({
        cost: cost + own + Math.abs(way.height - path[i - 1]!.height),
        path,
      }));
      const least = from.reduce((a, b) => (b.cost < a.cost ? b : a));
      return { cost: least.cost, path: [...least.path, way] };
    });
  });
  return best.length === 0 ? [] : best.reduce((a, b) => (b.cost < a.cost ? b : a)).path;
}

function meanPitch(bars: readonly BarSounds[]): number {
  const all = bars.flatMap((b) => b.sounds.map((s) => s.midi));
  return all.reduce((sum, m) => sum + m, 0) / Math.max(1, all.length);
}

/** The sounds of one bar of the rhythm; onsets count from its bar line. */
interface BarSounds {
  readonly span: BarSpan;
  readonly sounds: readonly Sound[];
}

/** What sounds in each bar of a phrase. */
function barSounds(phrase: Phrase, perTick: number): readonly BarSounds[] {
  const speed = secondsPerTick(phrase.tempo) / perTick;
  const { sounds } = perform(phrase, { speed, repeats: false });
  return barSpans(phrase)
    .filter((s) => s.number > 0)
    .map((span) => ({
      span,
      sounds: sounds
        .filter((s) => s.tick >= span.start && s.tick < span.end)
        .map((s) => ({ ...s, onset: s.onset - span.start * perTick })),
    }));
}

function laid(own: BarSounds, bar: FormBar, span: FormChord, perTick: number): readonly Sound[] {
  const from = Math.max(bar.start, span.start);
  const end = Math.min(bar.end, span.end);
  return own.sounds.flatMap((s): Sound[] => {
    const tick = bar.start + s.tick - own.span.start;
    if (tick < from || tick >= end) return [];
    const onset = bar.start * perTick + s.onset;
    const length = Math.min(s.length, span.end * perTick - onset);
    return length > 0 ? [{ ...s, noteId: null, tick, onset, length }] : [];
  });
}

/** What would continue a string that no longer sounds is plucked. */
export function begunAnew(sounds: readonly Sound[]): readonly Sound[] {
  const until = new Map<number, Seconds>();
  return sounds.map((s) => {
    const alone = s.onset - (until.get(s.string) ?? Number.NEGATIVE_INFINITY) > JOINED;
    until.set(s.string, s.onset + s.length);
    return alone && s.begin !== 'tapped' ? { ...s, begin: 'plucked' } : s;
  });
}

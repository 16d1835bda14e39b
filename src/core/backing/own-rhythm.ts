import { movePhrase } from '../move/move';
import { type BarSpan, barSpans, meterTicks } from '../phrase/time';
import type { Feel, Phrase } from '../phrase/types';
import { perform, secondsPerTick } from '../sound/perform';
import type { Seconds, Sound } from '../sound/types';
import { type Chord, formatChord } from '../theory/chord';
import type { BackingForm, FormBar, FormChord } from './types';

/** A stretch of the form that a rhythm of one's own fills. */
export interface Filled {
  readonly span: FormChord;
  /** Its sounds on the clock of the form; empty where the rhythm rests. */
  readonly sounds: readonly Sound[];
}

/** Two sounds of a string this near are joined. */
const JOINED: Seconds = 0.005;

/**
 * A rhythm phrase over the chords of a form: moved onto each chord with every note's role kept (M2), bar
 * after bar of it over bar after bar of the form, cut where the chord changes. Its pickup is left out.
 * @param swing Of the band, which it plays with.
 * @returns What is filled; a chord onto which it cannot be moved, or a bar of another length, is not.
 */
export function ownRhythm(
  form: BackingForm,
  rhythm: Phrase,
  swing: Feel,
  perTick: number,
): readonly Filled[] {
  const known = new Map<string, readonly BarSounds[] | null>();
  const barsOver = (chord: Chord) => {
    const name = formatChord(chord);
    const had = known.get(name);
    if (had !== undefined) return had;
    const made = movedBars(rhythm, chord, swing, perTick);
    known.set(name, made);
    return made;
  };
  const bars = form.bars.filter((b) => b.number > 0);
  return form.chords.flatMap((span): Filled[] => {
    const over = span.chord === null ? null : barsOver(span.chord);
    if (over === null || over.length === 0) return [];
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

/** The sounds of one bar of the rhythm; onsets count from its bar line. */
interface BarSounds {
  readonly span: BarSpan;
  readonly sounds: readonly Sound[];
}

/** The bars of the rhythm over a chord; null where it cannot be played there. */
function movedBars(
  rhythm: Phrase,
  chord: Chord,
  swing: Feel,
  perTick: number,
): readonly BarSounds[] | null {
  const moved = movePhrase(rhythm, { to: { kind: 'chord', chord } });
  if (!moved.ok || moved.value.report.unplayable.length > 0) return null;
  const phrase: Phrase = { ...moved.value.phrase, feel: swing };
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

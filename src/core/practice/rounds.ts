import { accompany, alongside } from '../backing/accompany';
import type { BackingOptions } from '../backing/types';
import type { Phrase } from '../phrase/types';
import { ok, type Result } from '../result';
import type { BackingParts } from '../sound/parts';
import { type PerformOptions, perform } from '../sound/perform';
import type { Performance, Seconds } from '../sound/types';
import { playedTicks } from '../sound/unfold';
import { missing } from './beats';
import { isTake, takesOf } from './takes';
import type { Cycle } from './types';

/** A take with its place in a file that holds one after the other. */
export interface Round {
  readonly phrase: Phrase;
  /** When it begins in the file; onsets of its sounds count from there. */
  readonly at: Seconds;
  /** Ticks played before it. */
  readonly ticksBefore: number;
  readonly played: Performance;
  readonly backing: BackingParts | null;
  /** Until the next begins, in ticks. */
  readonly ticks: number;
}

export interface RoundsOptions extends PerformOptions {
  readonly cycle?: Cycle;
  readonly band?: BackingOptions;
  /** What is written out beneath a phrase, heard along with it; null where nothing goes there. */
  readonly beneath?: (p: Phrase) => Phrase | null;
}

/** `fourths`, `semitones`, or a list of chords, numerals or keys. */
export function cycleOf(text: string): Cycle {
  const word = text.trim().toLowerCase();
  return word === 'fourths' || word === 'semitones' ? { kind: word } : { kind: 'list', text };
}

/**
 * A phrase over a cycle of keys or chords, once through, with a band where one is wished: what a file of
 * MIDI or sound holds. Takes that cannot be played are left out; a last bar is filled before another round.
 */
export function roundsOf(p: Phrase, o: RoundsOptions): Result<readonly Round[]> {
  const takes = takesOf(p, o.cycle ?? { kind: 'same' });
  if (!takes.ok) return takes;
  const all = Array.from({ length: takes.value.count }, (_, i) => takes.value.at(i)).filter(isTake);
  const rounds: Round[] = [];
  let at = 0;
  let ticksBefore = 0;
  for (const [i, { phrase }] of all.entries()) {
    const played = perform(phrase, o);
    const last = i === all.length - 1;
    const ticks =
      playedTicks(played.passes) + (last ? 0 : missing(phrase, 0, phrase.length, 'bar'));
    const time = { ...o, full: !last };
    const part = o.beneath?.(phrase) ?? null;
    const rhythm = part === null ? {} : { rhythm: part };
    const band = o.band === undefined ? null : { ...o.band, ...rhythm, loops: !last };
    const alone = part === null ? null : alongside(part, phrase, o);
    const whole = band === null ? alone : accompany(phrase, band, time);
    const backing = whole === null ? null : until(whole, ticks * played.secondsPerTick);
    rounds.push({ phrase, at, ticksBefore, played, backing, ticks });
    ticksBefore += ticks;
    at += ticks * played.secondsPerTick;
  }
  return ok(rounds);
}

/** What begins before an end; nothing rings over it. */
function until(b: BackingParts, end: Seconds): BackingParts {
  const cut = (part: BackingParts['bass']) =>
    part === null
      ? null
      : {
          ...part,
          sounds: part.sounds
            .filter((s) => s.onset < end)
            .map((s) => ({ ...s, length: Math.min(s.length, end - s.onset) })),
        };
  return {
    bass: cut(b.bass),
    comping: cut(b.comping),
    drums: b.drums.filter((d) => d.onset < end),
  };
}

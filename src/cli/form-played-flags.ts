import { FEEL_NAMES, FEELS } from '../core/edit/setup/choices';
import { FASTEST, SLOWEST } from '../core/edit/tempo-for';
import type { FormPlayed } from '../core/form/played';
import type { Meter } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import { readChoice } from './flag-values';
import type { Flag, Flags } from './flags';

/** How a form is played where not as it says itself. */
export const PLAYED: readonly Flag[] = ['tempo', 'feel', 'meter'].map((name) => {
  return { name, takes: 'value' };
});

/** Reads them. */
export function readPlayed(flags: Flags): Result<FormPlayed> {
  const bpm = readBpm(flags);
  if (!bpm.ok) return bpm;
  const feel = readChoice(flags, 'feel', FEEL_NAMES);
  if (!feel.ok) return feel;
  const meter = readMeter(flags);
  if (!meter.ok) return meter;
  return ok({
    ...(bpm.value === null ? {} : { bpm: bpm.value }),
    ...(feel.value === undefined ? {} : { feel: FEELS[feel.value] }),
    ...(meter.value === null ? {} : { meter: meter.value }),
  });
}

/** Beats a minute of `--tempo`; null where it is not given. */
export function readBpm(flags: Flags): Result<number | null> {
  const text = flags.values.get('tempo');
  if (text === undefined) return ok(null);
  const beats = Number(text);
  if (text.trim() !== '' && beats >= SLOWEST && beats <= FASTEST) return ok(beats);
  return fail({
    message: `'${text}' is no value of --tempo`,
    fix: `Use beats a minute, from ${SLOWEST} to ${FASTEST}.`,
  });
}

const BEAT_TYPES = [2, 4, 8, 16] as const;

/** The metre of `--meter`; null where it is not given. */
export function readMeter(flags: Flags): Result<Meter | null> {
  const text = flags.values.get('meter');
  if (text === undefined) return ok(null);
  const [, beats, type] = /^(\d{1,2})\/(\d{1,2})$/u.exec(text) ?? [];
  const beatType = BEAT_TYPES.find((t) => t === Number(type));
  const count = Number(beats);
  if (beatType !== undefined && count >= 1 && count <= 32) return ok({ beats: count, beatType });
  return fail({
    message: `'${text}' is no value of --meter`,
    fix: 'Write for example 4/4 or 12/8.',
  });
}

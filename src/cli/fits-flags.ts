import { FASTEST, SLOWEST } from '../core/edit/tempo-for';
import { fail, ok, type Result } from '../core/result';
import { shortened } from '../core/shortened';
import type { FitPlace, NearNote } from '../core/solo/fits';
import { parseKey } from '../core/theory/key';
import { midiOf, parsePitch } from '../core/theory/pitch';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

/** What says more of the place than its lane. */
const MORE = ['key', 'tempo', 'after', 'before'] as const;

/** The options of a place that phrases are to fit. */
export const FITS: readonly Flag[] = ['fits', ...MORE].map((name) => ({ name, takes: 'value' }));

/** The place that phrases are to fit; null where none is asked for. */
export function readFits(flags: Flags): Result<FitPlace | null> {
  const lane = flags.values.get('fits');
  if (lane === undefined) {
    const alone = MORE.find((name) => flags.values.has(name));
    if (alone === undefined) return ok(null);
    return fail({
      message: `--${alone} says more of the place that --fits names, and there is none`,
      fix: `Add --fits and a lane, such as "I7 | IV7", or leave --${alone} out.`,
    });
  }
  const text = flags.values.get('key');
  const key = text === undefined ? null : parseKey(text);
  if (text !== undefined && key === null) {
    return fail({
      message: `in --key: '${shortened(text)}' is no key`,
      fix: 'Write for example A, F#m or "G blues".',
    });
  }
  const bpm = readWhole(flags, 'tempo', SLOWEST, FASTEST);
  if (!bpm.ok) return bpm;
  // What the phrase comes after sounds before it.
  const before = readNear(flags, 'after');
  if (!before.ok) return before;
  const after = readNear(flags, 'before');
  if (!after.ok) return after;
  const tempo = bpm.value === undefined ? null : { bpm: bpm.value, unit: 'quarter' as const };
  return ok({ lane, key, tempo, before: before.value, after: after.value });
}

/** A pitch as it sounds, or string and fret. */
function readNear(flags: Flags, name: 'after' | 'before'): Result<NearNote | null> {
  const text = flags.values.get(name);
  if (text === undefined) return ok(null);
  const place = /^(\d{1,2}):(\d{1,2})$/u.exec(text);
  if (place !== null && place[1] !== '0') {
    return ok({ kind: 'place', string: Number(place[1]), fret: Number(place[2]) });
  }
  const pitch = parsePitch(text);
  const midi = pitch.ok ? midiOf(pitch.value) : -1;
  if (midi >= 0 && midi < 128) return ok({ kind: 'pitch', midi });
  return fail({
    message: `in --${name}: '${text}' is no note`,
    fix: 'Write a pitch such as E4 or Bb3, or string and fret such as 2:5.',
  });
}

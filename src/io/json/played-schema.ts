import * as z from 'zod/mini';
import { MOST_CORRECTED, PLAYED_VERSION } from '../../core/heard/played';
import { LIMITS } from './limits';
import { time } from './schema';
import { doc, flag, identity, text } from './schema-parts';

const between = (low: number, high: number) => z.number().check(z.gte(low), z.lte(high));
const seconds = between(0, 100_000);
const midi = between(-20, 200);

const sound = z.strictObject({
  note: doc(text(1, 100), 'Id of the note; the phrase may have lost it since.'),
  onset: seconds,
  end: seconds,
  pitch: doc(midi, 'MIDI number, with cents as its fraction.'),
  confidence: doc(between(0, 1), 'How sure it is that it was heard right.'),
  attack: z.exactOptional(z.enum(['hammer-on', 'pull-off', 'slide'])),
  muted: z.exactOptional(flag),
  pitches: doc(
    z.array(z.tuple([seconds, midi])).check(z.maxLength(LIMITS.pitches)),
    'Corners of its pitch: seconds from its onset and MIDI numbers.',
  ),
});

/** The structure of how a phrase was played before it was written. */
export const playedSchema = z.strictObject({
  format: z.literal('degreewise-played'),
  version: z.literal(PLAYED_VERSION),
  id: doc(identity, 'Of the phrase.'),
  kept: doc(time, 'ISO 8601 in UTC.'),
  seconds: doc(seconds, 'Length of it all; times count from a little before the first note.'),
  begin: doc(
    between(-100_000, 100_000),
    'The second at which the phrase begins as it is written; before 0 where it begins with rests.',
  ),
  bars: doc(
    z.array(between(-100_000, 200_000)).check(z.maxLength(LIMITS.bars)),
    'Seconds at which bars begin as they are written.',
  ),
  sounds: z.array(sound).check(z.maxLength(LIMITS.notes)),
  corrected: doc(
    z.array(text(0, 1000)).check(z.maxLength(MOST_CORRECTED)),
    'What was changed of what was heard, in words.',
  ),
});

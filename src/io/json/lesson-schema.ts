import * as z from 'zod/mini';
import { LONGEST_SECTION } from '../../core/form/numerals';
import { FORM_VERSION } from '../../core/form/types';
import { GAPS, LESSON_VERSION, MOST_PARTS } from '../../core/lesson/types';
import { GOAL_KINDS } from '../../core/move/goal';
import { HAND_WAYS, OCTAVE_CHOICES, WAYS } from '../../core/move/request';
import { SHAPE_KINDS } from '../../core/shapes/types';
import { LIMITS } from './limits';
import { head, times } from './record-schema';
import { feel, instrument, phraseSchema, symbol, tempo } from './schema';
import { doc, identity, named, pitchClass, text, whole } from './schema-parts';

/*
 * The structure of a lesson and of a song form. What a right one must keep besides is `checkLesson` in
 * the core, and that the numerals of a form can be laid out. Field order here is field order in files.
 */

const mode = z.enum(['major', 'minor', 'blues']);
const meter = z.strictObject({ beats: whole(1, 64), beatType: z.literal([1, 2, 4, 8, 16]) });

const section = named(
  'FormSection',
  'A stretch of a form: numerals, bars divided by |; a bar of % alone is read as the one before.',
  z.strictObject({ name: text(0, 100), bars: text(1, LONGEST_SECTION) }),
);

const sections = z.tuple([section], section).check(z.maxLength(100));

const form = named(
  'Form',
  'A song form in numerals, to be laid out in any key.',
  z.strictObject({
    id: identity,
    title: text(0, 500),
    mode,
    meter,
    feel,
    tempo,
    sections,
  }),
);

export const ownFormSchema = z.strictObject({
  format: z.literal('degreewise-form'),
  version: z.literal(FORM_VERSION),
  ...head,
  meta: z.strictObject({
    title: text(0, 500),
    ...times,
  }),
  mode,
  meter,
  feel,
  tempo,
  sections,
});

const base = {
  id: doc(identity, 'Unlike those of all other items of the lesson.'),
  heading: z.exactOptional(doc(text(1, 500), 'Stands over the item.')),
  todo: z.exactOptional(doc(text(1, 5_000), 'What the student is to do.')),
};

const ofPhrase = { ...base, phrase: doc(identity, 'Id of a phrase of the lesson.') };

const move = named(
  'LessonMove',
  'A move as a person says it.',
  z.strictObject({
    kind: z.enum(GOAL_KINDS),
    text: text(1, 2_000),
    way: z.exactOptional(z.enum(WAYS)),
    octave: z.exactOptional(z.enum(OCTAVE_CHOICES)),
    hand: z.exactOptional(z.enum(HAND_WAYS)),
  }),
);

export const cycle = named(
  'Cycle',
  'Where the rounds of an exercise lead.',
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('same') }),
    z.strictObject({ kind: z.literal('fourths') }),
    z.strictObject({ kind: z.literal('semitones') }),
    z.strictObject({ kind: z.literal('list'), text: text(1, 1_000) }),
  ]),
);

const place = z.strictObject({
  firstBar: whole(1, LIMITS.bars),
  lastBar: whole(1, LIMITS.bars),
  title: text(0, 500),
});

const item = named(
  'LessonItem',
  'One item of a lesson, in the order in which a student meets them.',
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('text'), ...base, text: text(0, 20_000) }),
    z.strictObject({ kind: z.literal('phrase'), ...ofPhrase }),
    z.strictObject({ kind: z.literal('pair'), ...ofPhrase, move }),
    z.strictObject({ kind: z.literal('neck'), ...ofPhrase, shows: z.enum(['phrase', 'chords']) }),
    z.strictObject({
      kind: z.literal('shapes'),
      ...base,
      instrument,
      chords: z.tuple([symbol], symbol).check(z.maxLength(24)),
      shape: z.enum(SHAPE_KINDS),
      near: whole(0, LIMITS.frets),
    }),
    z.strictObject({ kind: z.literal('form'), ...base, form, tonic: pitchClass }),
    z.strictObject({
      kind: z.literal('solo'),
      ...ofPhrase,
      parts: z.array(place).check(z.maxLength(MOST_PARTS)),
      comping: z.exactOptional(
        doc(
          z.strictObject({ phrase: identity, printed: z.boolean() }),
          'What accompanies it: a phrase of the lesson, and whether it is printed on its lines.',
        ),
      ),
    }),
    z.strictObject({ kind: z.literal('rounds'), ...ofPhrase, cycle }),
    z.strictObject({
      kind: z.literal('gaps'),
      ...ofPhrase,
      every: doc(whole(GAPS.least, GAPS.most), 'Every so manieth moment is left out.'),
    }),
    z.strictObject({ kind: z.literal('degrees'), ...ofPhrase, from: z.enum(['chord', 'key']) }),
    z.strictObject({ kind: z.literal('answer'), ...ofPhrase }),
  ]),
);

export const lessonSchema = z.strictObject({
  format: z.literal('degreewise-lesson'),
  version: z.literal(LESSON_VERSION),
  ...head,
  meta: z.strictObject({
    title: text(0, 500),
    intro: z.exactOptional(doc(text(1, 20_000), 'Stands under the title.')),
    ...times,
  }),
  phrases: doc(
    z.array(phraseSchema).check(z.maxLength(LIMITS.items)),
    'Those that items speak of, each once.',
  ),
  items: z.array(item).check(z.maxLength(LIMITS.items)),
});

/** The lesson without its phrases, each of which may have a version of its own. */
export const lessonShell = z.extend(lessonSchema, {
  phrases: z.array(z.unknown()).check(z.maxLength(LIMITS.items)),
});

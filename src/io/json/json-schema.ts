import * as z from 'zod/mini';
import { FORM_VERSION } from '../../core/form/types';
import { PLAYED_VERSION } from '../../core/heard/played';
import { LESSON_VERSION } from '../../core/lesson/types';
import { COLLECTION_VERSION } from '../../core/library/collection';
import { PAIR_VERSION } from '../../core/library/pair';
import { SEARCH_VERSION } from '../../core/library/saved-search';
import { EARLIER_VERSION, KEPT_VERSION } from '../../core/library/thinning';
import { USE_VERSION } from '../../core/library/use';
import { PHRASE_VERSION } from '../../core/phrase/types';
import { PLAN_VERSION, TURN_VERSION } from '../../core/plan/types';
import { carriedSchema } from './carried-schema';
import { earlierSchema, keptSchema } from './kept-schema';
import { lessonSchema, ownFormSchema } from './lesson-schema';
import { collectionSchema, pairSchema, searchSchema, useSchema } from './order-schema';
import { planSchema, turnSchema } from './plan-schema';
import { playedSchema } from './played-schema';
import { librarySchema, phraseSchema } from './schema';
import { docs } from './schema-parts';

/** A JSON Schema document (2020-12). */
export type JsonSchema = Readonly<Record<string, unknown>>;

/** The published schemas by file name under `schemas/`; generated, so they cannot drift. */
export function publishedSchemas(): Readonly<Record<string, JsonSchema>> {
  return {
    'phrase.schema.json': publish(
      phraseSchema,
      `urn:degreewise:schema:phrase:${PHRASE_VERSION}`,
      'Phrase',
      'One improvisation phrase. What a right phrase must keep beyond this structure (pitches that match string and fret, values that can be written) is checked by the program.',
    ),
    'library.schema.json': publish(
      librarySchema,
      'urn:degreewise:schema:library:2',
      'Library',
      'Phrases and what belongs to them in one file.',
    ),
    'lesson.schema.json': publish(
      lessonSchema,
      `urn:degreewise:schema:lesson:${LESSON_VERSION}`,
      'Lesson',
      'A lesson with the phrases it speaks of. What a right lesson must keep beyond this structure (phrases that are there, moves and numerals that can be read) is checked by the program.',
    ),
    'form.schema.json': publish(
      ownFormSchema,
      `urn:degreewise:schema:form:${FORM_VERSION}`,
      'Form',
      'A song form in numerals. That its bars can be read and laid out is checked by the program.',
    ),
    'collection.schema.json': publish(
      collectionSchema,
      `urn:degreewise:schema:collection:${COLLECTION_VERSION}`,
      'Collection',
      'Phrases put together for something, named by their ids in an order. That each is named once is checked by the program.',
    ),
    'search.schema.json': publish(
      searchSchema,
      `urn:degreewise:schema:search:${SEARCH_VERSION}`,
      'Saved question',
      'What is asked of a library, under a name.',
    ),
    'use.schema.json': publish(
      useSchema,
      `urn:degreewise:schema:use:${USE_VERSION}`,
      'Day of use',
      'That phrases were used on a day. That each is named once is checked by the program.',
    ),
    'pair.schema.json': publish(
      pairSchema,
      `urn:degreewise:schema:pair:${PAIR_VERSION}`,
      'Kept pair',
      'That two phrases which are nearly the same are both wanted. That one is unlike the other is checked by the program.',
    ),
    'plan.schema.json': publish(
      planSchema,
      `urn:degreewise:schema:plan:${PLAN_VERSION}`,
      'Plan',
      'How the items of a lesson are practised by one student. That its day is one of the calendar, its tempo rises and its keys can be read is checked by the program.',
    ),
    'turn.schema.json': publish(
      turnSchema,
      `urn:degreewise:schema:turn:${TURN_VERSION}`,
      'Turn',
      'That an item was practised, and how it went. That its day is one of the calendar is checked by the program.',
    ),
    ...besideSchemas(),
  };
}

/** Of what a library keeps beside its records, and of what a folder carries. */
function besideSchemas(): Readonly<Record<string, JsonSchema>> {
  return {
    'version.schema.json': publish(
      keptSchema,
      `urn:degreewise:schema:version:${KEPT_VERSION}`,
      'Earlier version',
      'A phrase as it stood before something else took its place. That it can be read is checked by its own format.',
    ),
    'earlier.schema.json': publish(
      earlierSchema,
      `urn:degreewise:schema:earlier:${EARLIER_VERSION}`,
      'Earlier version of a thing',
      'A lesson, song form, collection or plan as it stood before something else took its place. That it can be read is checked by its own format.',
    ),
    'played.schema.json': publish(
      playedSchema,
      `urn:degreewise:schema:played:${PLAYED_VERSION}`,
      'Phrase as it was played',
      'The times and pitches with which a phrase was played before it was written. That its times ascend is checked by the program.',
    ),
    'carried.schema.json': publish(
      carriedSchema,
      'urn:degreewise:schema:carried:1',
      'File of a folder',
      'One thing of a library in a folder that carries it, and what is past by it; or that it was removed. That it can be read is checked by its own format.',
    ),
  };
}

function publish(
  schema: z.core.$ZodType,
  id: string,
  title: string,
  description: string,
): JsonSchema {
  const { $schema, ...rest } = z.toJSONSchema(schema, { target: 'draft-2020-12', metadata: docs });
  return { $schema, $id: id, title, ...rest, description };
}

/** The text of a schema file. */
export function schemaText(schema: JsonSchema): string {
  return `${JSON.stringify(schema, null, 2)}\n`;
}

import { readFileSync } from 'node:fs';
import path from 'node:path';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { PHRASE_VERSION } from '../../../../src/core/phrase/types';
import {
  CARRIED_MIGRATIONS,
  isCarried,
  readCarried,
  writeCarried,
  writeRemoved,
} from '../../../../src/io/folder/format';
import { publishedSchemas, schemaText } from '../../../../src/io/json/json-schema';
import { readStructure } from '../../../../src/io/json/structure';
import {
  COLLECTION_MIGRATIONS,
  EARLIER_MIGRATIONS,
  FORM_MIGRATIONS,
  KEPT_MIGRATIONS,
  LESSON_MIGRATIONS,
  PAIR_MIGRATIONS,
  PHRASE_MIGRATIONS,
  PLAN_MIGRATIONS,
  PLAYED_MIGRATIONS,
  SEARCH_MIGRATIONS,
  TURN_MIGRATIONS,
  USE_MIGRATIONS,
} from '../../../../src/io/json/versions';
import '../../../../src/io/kinds/checks-at-hand';
import { KINDS, PHRASES } from '../../../../src/io/kinds/kinds';
import { LIBRARY_MIGRATIONS } from '../../../../src/io/library/decode';
import { seededPhrase } from '../../../support/arbitrary';
import { mutate } from '../../../support/mutate';

const repo = path.resolve(import.meta.dirname, '../../../..');
const NAMES = [
  'phrase.schema.json',
  'library.schema.json',
  'lesson.schema.json',
  'form.schema.json',
  'collection.schema.json',
  'search.schema.json',
  'use.schema.json',
  'pair.schema.json',
  'plan.schema.json',
  'turn.schema.json',
  'version.schema.json',
  'earlier.schema.json',
  'played.schema.json',
  'carried.schema.json',
];

/** Lists that are never empty are one item and any number more, which Ajv would warn about. */
const STRICT = { strict: true, strictTuples: false } as const;

function committed(name: string): string {
  return readFileSync(path.join(repo, 'schemas', name), 'utf8');
}

describe('the published schemas', () => {
  it.each(NAMES)('are committed as generated: %s', (name) => {
    // When this fails after a change of the schema: `npm run schemas`, and think of a migration.
    expect(committed(name)).toBe(schemaText(publishedSchemas()[name]!));
  });

  it('are all there is', () => {
    expect(Object.keys(publishedSchemas())).toEqual(NAMES);
  });

  it('have the version in their name', () => {
    expect(PHRASE_MIGRATIONS.newest).toBe(PHRASE_VERSION);
    const ids = NAMES.map((n) => JSON.parse(committed(n)).$id);
    expect(ids).toEqual([
      `urn:degreewise:schema:phrase:${PHRASE_MIGRATIONS.newest}`,
      `urn:degreewise:schema:library:${LIBRARY_MIGRATIONS.newest}`,
      `urn:degreewise:schema:lesson:${LESSON_MIGRATIONS.newest}`,
      `urn:degreewise:schema:form:${FORM_MIGRATIONS.newest}`,
      `urn:degreewise:schema:collection:${COLLECTION_MIGRATIONS.newest}`,
      `urn:degreewise:schema:search:${SEARCH_MIGRATIONS.newest}`,
      `urn:degreewise:schema:use:${USE_MIGRATIONS.newest}`,
      `urn:degreewise:schema:pair:${PAIR_MIGRATIONS.newest}`,
      `urn:degreewise:schema:plan:${PLAN_MIGRATIONS.newest}`,
      `urn:degreewise:schema:turn:${TURN_MIGRATIONS.newest}`,
      `urn:degreewise:schema:version:${KEPT_MIGRATIONS.newest}`,
      `urn:degreewise:schema:earlier:${EARLIER_MIGRATIONS.newest}`,
      `urn:degreewise:schema:played:${PLAYED_MIGRATIONS.newest}`,
      `urn:degreewise:schema:carried:${CARRIED_MIGRATIONS.newest}`,
    ]);
  });

  it('are JSON Schema 2020-12 without a mistake', () => {
    for (const name of NAMES) {
      const schema = JSON.parse(committed(name));
      expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
      const ajv = new Ajv2020(STRICT);
      expect(ajv.validateSchema(schema), JSON.stringify(ajv.errors)).toBe(true);
    }
  });
});

/** Ajv over the committed file: an implementation of the standard that knows nothing of ours. */
function oracle(name: string): ValidateFunction {
  return new Ajv2020(STRICT).compile(JSON.parse(committed(name)));
}

describe('the door and an independent validator of the committed schema', () => {
  const valid = oracle('phrase.schema.json');

  it('agree on generated phrases, and on libraries of them', () => {
    const phrases = Array.from({ length: 80 }, (_, i) => seededPhrase(i * 31 + 7));
    for (const p of phrases) {
      expect(valid(p), JSON.stringify(valid.errors)).toBe(true);
      expect(readStructure({ ...p }).ok).toBe(true);
    }
    const library = { format: 'degreewise-library', version: 2, phrases: phrases.slice(0, 20) };
    expect(oracle('library.schema.json')(library)).toBe(true);
  });

  it('agree on broken ones', () => {
    let refused = 0;
    let accepted = 0;
    for (let i = 0; i < 1_000; i++) {
      const broken = mutate(seededPhrase(i % 60, { maxEvents: 6 }), i);
      const expected = valid(broken);
      const document = broken as Readonly<Record<string, unknown>>;
      const found = readStructure(document);
      const why = `mutation ${i}: ${JSON.stringify(expected ? found : valid.errors)}`;
      expect(found.ok, why).toBe(expected);
      if (expected) accepted++;
      else refused++;
    }
    // Both verdicts occur often, so that agreement means something.
    expect(refused).toBeGreaterThan(500);
    expect(accepted).toBeGreaterThan(60);
  }, 30_000);
});

describe('files of a folder and an independent validator of their schema', () => {
  const valid = oracle('carried.schema.json');
  const past = ['0123456789abcdef', 'fedcba9876543210'];
  const written = [
    writeCarried({ kind: PHRASES, value: seededPhrase(7, { maxEvents: 6 }) }, past),
    writeRemoved(PHRASES, 'quay', past),
    writeRemoved(PHRASES, 'quay', []),
  ].map((text): Record<string, unknown> => JSON.parse(text));

  it('agree on what is written', () => {
    for (const file of written) expect(valid(file), JSON.stringify(valid.errors)).toBe(true);
  });

  it('agree on what is broken around the thing', () => {
    const verdicts = { accepted: 0, refused: 0 };
    for (let i = 0; i < 400; i++) {
      const { thing, ...around } = written[i % written.length]!;
      // What is inside is read by its own kind, and of another kind it would be another file.
      const broken = { ...(mutate(around, i) as object), of: around.of, thing };
      const expected = valid(broken);
      const found = isCarried(broken) && readCarried(broken, KINDS).ok;
      expect(found, `mutation ${i}: ${JSON.stringify(broken)}`).toBe(expected);
      verdicts[expected ? 'accepted' : 'refused'] += 1;
    }
    expect(Math.min(...Object.values(verdicts))).toBeGreaterThan(40);
  });
});

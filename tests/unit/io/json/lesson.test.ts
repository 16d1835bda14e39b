import { readFileSync } from 'node:fs';
import path from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { LESSON_VERSION } from '../../../../src/core/lesson/types';
import { formatProblem } from '../../../../src/core/result';
import { decodeForm, decodeLesson } from '../../../../src/io/json/decode-lesson';
import { publishedSchemas } from '../../../../src/io/json/json-schema';
import { lessonOfEveryKind, OWN_FORM } from '../../../support/lesson';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);
const said = (input: unknown, read: typeof decodeForm | typeof decodeLesson = decodeLesson) => {
  const made = read(input);
  return made.ok ? 'it opens' : made.problems.map(formatProblem).join('\n');
};

describe('the door for lessons', () => {
  it('gives back what went out, from text and from a value', () => {
    expect(decodeLesson(JSON.stringify(lesson))).toEqual({ ok: true, value: lesson });
    expect(decodeLesson(lesson)).toEqual({ ok: true, value: lesson });
    expect(decodeForm(JSON.stringify(OWN_FORM))).toEqual({ ok: true, value: OWN_FORM });
  });

  it('agrees with an independent validator of the published schemas', () => {
    const schemas = publishedSchemas();
    const options = { strict: true, strictTuples: false } as const;
    const oracle = new Ajv2020(options).compile(schemas['lesson.schema.json']!);
    expect(oracle(lesson), JSON.stringify(oracle.errors)).toBe(true);
    expect(oracle({ ...lesson, items: [{ kind: 'text', id: 'x' }] })).toBe(false);
    const form = new Ajv2020(options).compile(schemas['form.schema.json']!);
    expect(form(OWN_FORM), JSON.stringify(form.errors)).toBe(true);
  });

  it('takes a bar that is as the one before, written out', () => {
    const [section] = OWN_FORM.sections;
    const form = { ...OWN_FORM, sections: [{ ...section, bars: 'I7 | % | IV7 V7 | %' }] };
    const full = { ...section, bars: 'I7 | I7 | IV7 V7 | IV7 V7' };
    expect(decodeForm(form)).toEqual({ ok: true, value: { ...OWN_FORM, sections: [full] } });
  });

  it('says in which section and bar a numeral is none, and takes chords by their names', () => {
    const [section] = OWN_FORM.sections;
    const sections = (...bars: string[]) => ({
      ...OWN_FORM,
      sections: bars.map((b) => ({ ...section, bars: b })),
    });
    expect(said(sections('I7 | IV7', 'I7 | VIII'), decodeForm)).toBe(
      "bar 4, at /sections/1/bars: 'VIII' is no roman numeral. Numerals go from I to VII, or from i to vii.",
    );
    expect(said(sections('I7 | C7 | %'), decodeForm)).toBe('it opens');
    expect(said(sections('%'), decodeForm)).toBe(
      "bar 1, at /sections/0/bars: '%' is the bar before, and this is the first one. Begin with a numeral.",
    );
    // Written before a comma was told of.
    expect(said(sections('I7, IV7'), decodeForm)).toBe('it opens');
    const long = `${'I7 '.repeat(4)}${'| %'.repeat(400)}`;
    expect(said(sections(long), decodeForm)).toMatch(/Divide it into several sections\./u);
  });

  it('opens phrases of older versions inside', () => {
    const old = readFileSync(path.join('tests/migrations', 'phrase-v1.json'), 'utf8');
    const read = decodeLesson({
      ...lesson,
      phrases: [JSON.parse(old)],
      items: [{ kind: 'phrase', id: 'i1', phrase: 'frozen-1' }],
    });
    expect(read.ok && read.value.phrases[0]).toMatchObject({ id: 'frozen-1', version: 5 });
  });

  it('says what is wrong, where, and what to do', () => {
    expect(said('{}')).toContain("must be 'degreewise-lesson'");
    expect(said({ ...lesson, version: LESSON_VERSION + 1 })).toContain('newer release');
    expect(said({ ...lesson, items: [{ kind: 'song', id: 'x' }] })).toContain('/items/0/kind');
    expect(said({ ...lesson, phrases: [{ ...samples[0], bars: [] }] })).toContain(
      '/phrases/0/bars',
    );
    expect(said({ ...lesson, phrases: [] })).toMatch(/at \/items\/0\/phrase: .*not in the lesson/u);
    const many = Array.from({ length: 501 }, (_, i) => ({
      kind: 'answer',
      id: `${i}`,
      phrase: 'x',
    }));
    expect(said({ ...lesson, items: many })).toContain('501 entries');
    const sections = [{ name: 'A', bars: 'I7|H7' }];
    expect(said({ ...OWN_FORM, sections }, decodeForm)).toMatch(/bar 2.*\/sections/u);
  });
});

import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { run } from '../../../../src/cli/run';
import type { KeptThing, KeptVersion } from '../../../../src/core/library/versions';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatProblem, type Result } from '../../../../src/core/result';
import { publishedSchemas } from '../../../../src/io/json/json-schema';
import {
  apartOf,
  FILE_KINDS,
  KEPT_THINGS,
  KEPT_VERSIONS,
} from '../../../../src/io/kinds/file-kinds';
import { KINDS } from '../../../../src/io/kinds/kinds';
import { decodeLibrary, othersOf } from '../../../../src/io/library/decode';
import { libraryPieces } from '../../../../src/io/library/write';
import { OWN_FORM } from '../../../support/lesson';
import { memoryIo } from '../../../support/memory-io';
import { phraseNamed } from '../../../support/phrase-named';

const now = phraseNamed('a', 'As it is');
const was = (phrase: Phrase, kept = '2026-11-27T08:00:00.000Z'): KeptVersion => {
  return { format: 'degreewise-version', version: 1, kept, why: 'edit', phrase };
};
const kept = was(phraseNamed('a', 'As it was'));
const file = (phrases: readonly Phrase[], ...others: readonly unknown[]) =>
  [...libraryPieces(phrases, others)].join('');
const said = (read: Result<unknown>) =>
  read.ok ? 'it opens' : read.problems.map(formatProblem).join('\n');

describe('the door for earlier versions', () => {
  it('gives back what went out, as an independent validator of the schema agrees', () => {
    expect(KEPT_VERSIONS.decode(JSON.stringify(kept))).toEqual({ ok: true, value: kept });
    const schema = publishedSchemas()['version.schema.json']!;
    const oracle = new Ajv2020({ strict: true }).compile(schema);
    expect(oracle(kept), JSON.stringify(oracle.errors)).toBe(true);
    for (const broken of [
      { ...kept, more: 1 },
      { ...kept, why: 'so' },
      { ...kept, kept: 'then' },
    ]) {
      expect(oracle(broken)).toBe(false);
      expect(said(KEPT_VERSIONS.decode(broken))).not.toBe('it opens');
    }
  });

  it('says what is wrong, and where', () => {
    const broken = { ...kept, phrase: { ...kept.phrase, tempo: 0 } };
    expect(said(KEPT_VERSIONS.decode(broken))).toContain('/phrase/tempo');
    expect(said(KEPT_VERSIONS.decode({ ...kept, version: 2 }))).toContain('newer release');
    expect(said(KEPT_VERSIONS.decode(was(kept.phrase, '2026-13-01T00:00:00Z')))).toContain('/kept');
    const newer = { ...kept, phrase: { ...kept.phrase, version: 99 } };
    expect(said(KEPT_VERSIONS.decode(newer))).toContain('newer release');
  });

  it('is refused as a whole, in words, by a program that does not know them', () => {
    expect(said(decodeLibrary(file([now]), KINDS))).toBe('it opens');
    expect(said(decodeLibrary(file([now], kept), KINDS))).toContain(
      'does not know the format degreewise-version. Open the file with a newer release',
    );
    const read = decodeLibrary(file([now], kept));
    const { versions, others } = apartOf(read.ok ? othersOf(read.value, FILE_KINDS) : []);
    expect([versions, others]).toEqual([[kept], []]);
  });
});

describe('the door for earlier versions of what is no phrase', () => {
  const form: KeptThing = {
    ...{ format: 'degreewise-earlier', version: 1, kept: kept.kept, why: 'restore' },
    thing: OWN_FORM,
  };

  it('gives back what went out, as an independent validator of the schema agrees', () => {
    expect(KEPT_THINGS.decode(JSON.stringify(form))).toEqual({ ok: true, value: form });
    const oracle = new Ajv2020({ strict: true }).compile(
      publishedSchemas()['earlier.schema.json']!,
    );
    expect(oracle(form), JSON.stringify(oracle.errors)).toBe(true);
    const { thing, ...bare } = form;
    for (const broken of [bare, { ...form, phrase: thing }, { ...form, why: 'so' }]) {
      expect(oracle(broken)).toBe(false);
      expect(said(KEPT_THINGS.decode(broken))).not.toBe('it opens');
    }
  });

  it('says what is wrong, and where', () => {
    const broken = { ...form, thing: { ...form.thing, tempo: 0 } };
    expect(said(KEPT_THINGS.decode(broken))).toContain('/thing/tempo');
    expect(said(KEPT_THINGS.decode({ ...form, version: 2 }))).toContain('newer release');
    const later = { ...form, thing: { ...form.thing, version: 99 } };
    expect(said(KEPT_THINGS.decode(later))).toContain('newer release');
    for (const format of ['degreewise-use', 'degreewise-phrase', '__proto__']) {
      const other = { ...form, thing: { ...form.thing, format } };
      expect(said(KEPT_THINGS.decode(other))).toContain('no earlier versions are kept of');
    }
  });

  it('is refused as a whole, in words, by a program that does not know them', () => {
    const before = FILE_KINDS.filter((k) => k !== KEPT_THINGS);
    expect(said(decodeLibrary(file([now], OWN_FORM, kept), before))).toBe('it opens');
    expect(said(decodeLibrary(file([now], OWN_FORM, kept, form), before))).toContain(
      'does not know the format degreewise-earlier. Open the file with a newer release',
    );
  });

  it('are merged by what they are and counted on the command line', async () => {
    const other = { ...form, kept: '2026-11-28T08:00:00.000Z' };
    const files = { 'one.json': file([now], OWN_FORM, form), 'two.json': file([now], form, other) };
    const io = memoryIo({ files });
    expect(await run(['merge', 'one.json', 'two.json', '-o', 'all.json'], io)).toBe(0);
    expect(io.stdout()).toContain('1 phrase, 1 song form, 2 earlier versions\n');
    const all = new TextDecoder().decode(io.disk.get('all.json'));
    const read = decodeLibrary(all);
    expect(read.ok && new Set(read.value.others)).toEqual(new Set([OWN_FORM, form, other]));
    const check = memoryIo({ files: { 'all.json': all } });
    expect(await run(['check', 'all.json'], check)).toBe(0);
    expect(check.stdout()).toContain('2 earlier versions of song forms');
  });
});

describe('earlier versions on the command line', () => {
  it('stand under the id that their phrase or form has after a merge', async () => {
    // One that was another version where it comes from, and is the only one here; its former ones with it.
    const mark = '.v-0123456789abcdef';
    const alone = { ...now, id: `a${mark}` };
    const form = { ...OWN_FORM, id: `${OWN_FORM.id}${mark}` };
    const former = was({ ...kept.phrase, id: `a${mark}` });
    const of = (thing: KeptThing['thing']): KeptThing => {
      return { ...former, format: 'degreewise-earlier', thing } as unknown as KeptThing;
    };
    const { phrase: _, ...formerForm } = of(form) as KeptThing & { readonly phrase: Phrase };
    // What is of nothing here keeps its name.
    const lost = was({ ...kept.phrase, id: `gone${mark}` });
    const one = file([alone], form, former, formerForm, lost);
    const io = memoryIo({
      files: { 'one.json': one, 'two.json': file([phraseNamed('b', 'Two')]) },
    });
    expect(await run(['merge', 'one.json', 'two.json', '-o', 'all.json'], io), io.stderr()).toBe(0);
    const read = decodeLibrary(new TextDecoder().decode(io.disk.get('all.json')));
    expect(read.ok && read.value.phrases.map((p) => p.id)).toEqual(['a', 'b']);
    expect(read.ok && new Set(read.value.others)).toEqual(
      new Set([OWN_FORM, kept, { ...formerForm, thing: OWN_FORM }, lost]),
    );
  });

  it('are merged by what they are, counted, and searched by nobody', async () => {
    const later = was(phraseNamed('a', 'Later'), '2026-11-28T08:00:00.000Z');
    const files = {
      'one.json': file([now], kept),
      'two.json': file([now, phraseNamed('b', 'Two')], kept, later),
    };
    const io = memoryIo({ files });
    expect(await run(['merge', 'one.json', 'two.json', '-o', 'all.json'], io)).toBe(0);
    expect(io.stdout()).toContain('wrote all.json: 2 phrases, 2 earlier versions');
    const all = new TextDecoder().decode(io.disk.get('all.json'));
    const read = decodeLibrary(all);
    expect(read.ok && read.value.phrases.map((p) => p.id)).toEqual(['a', 'b']);
    expect(read.ok && new Set(read.value.others)).toEqual(new Set([kept, later]));

    for (const [words, out] of [
      [['stats', 'all.json'], /^2 phrases, .*\nwith 2 earlier versions of phrases\n/u],
      [['stats', 'all.json', '--json'], /"phrases": 2,[\s\S]*"earlier": 2/u],
      [['find', 'order:title', 'all.json', '--json'], /"total": 2/u],
      [['check', 'all.json'], /2 earlier versions of phrases\n$/u],
      [['show', 'all.json'], /As it is/u],
    ] as const) {
      const one = memoryIo({ files: { 'all.json': all } });
      expect(await run([...words], one), words.join(' ')).toBe(0);
      expect(one.stdout()).toMatch(out);
      expect(one.stdout()).not.toContain('As it was');
    }
    const again = memoryIo({ files: { 'all.json': all } });
    expect(await run(['convert', 'all.json', '-o', 'copy.json'], again)).toBe(0);
    expect(decodeLibrary(new TextDecoder().decode(again.disk.get('copy.json')))).toEqual(read);
  });
});

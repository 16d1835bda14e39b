import { describe, expect, it } from 'vitest';
import { formatProblem, type Problem, type Result } from '../../../../src/core/result';
import { decodePhrase, encodeLibrary, encodePhrase } from '../../../../src/io/json';
import { decodeAny, decodeLibrary } from '../../../../src/io/library/decode';
import { withValue } from '../../../support/broken';
import { build } from '../../../support/build';

const phrase = build('q 5/7 e 4/5 4/7(h) | q. 3/5 e 3/7(bend:E4) q 2/5 2/8', {
  pickup: 20_160,
  chords: 'G7 C7',
  key: 'G',
  id: 'one',
  second: 'h - | w 6/0',
});

function problemsOf(r: Result<unknown>): readonly Problem[] {
  return r.ok ? [] : r.problems;
}

/** The one problem of a phrase with a value set, as it is shown. */
function refusal(pointer: string, value: unknown): string {
  const found = problemsOf(decodePhrase(JSON.stringify(withValue(phrase, pointer, value))));
  expect(found).toHaveLength(1);
  return formatProblem(found[0]!);
}

describe('reading back what was written', () => {
  it('gives the same phrase, from text and from a parsed value', () => {
    const text = encodePhrase(phrase);
    expect(decodePhrase(text)).toEqual({ ok: true, value: phrase });
    expect(decodePhrase(JSON.parse(text))).toEqual({ ok: true, value: phrase });
    expect(decodePhrase(`\ufeff${text}`)).toEqual({ ok: true, value: phrase });
  });

  it('gives the same library, and knows one from the other', () => {
    const other = { ...phrase, id: 'two' };
    const library = { format: 'degreewise-library', version: 2, phrases: [phrase, other] } as const;
    const text = encodeLibrary(library);
    expect(decodeLibrary(text)).toEqual({ ok: true, value: library });
    expect(decodeAny(text)).toEqual({ ok: true, value: { kind: 'library', library } });
    expect(decodeAny(encodePhrase(phrase))).toEqual({
      ok: true,
      value: { kind: 'phrase', phrase },
    });
  });
});

describe('encodePhrase', () => {
  it('indents by two, ends the last line, and keeps the order of the schema', () => {
    const text = encodePhrase(phrase);
    expect(
      text.startsWith('{\n  "format": "degreewise-phrase",\n  "version": 5,\n  "id": "one",'),
    ).toBe(true);
    expect(text.endsWith('\n}\n')).toBe(true);
    expect(Object.keys(JSON.parse(text))).toEqual([
      ...['format', 'version', 'id', 'parent', 'meta', 'instrument', 'key', 'tempo', 'feel'],
      ...['pickup', 'bars', 'length', 'chords', 'voices', 'marks'],
    ]);
  });

  it('does not depend on the order of fields', () => {
    const turned = (value: unknown): unknown => {
      if (Array.isArray(value)) return value.map(turned);
      if (typeof value !== 'object' || value === null) return value;
      return Object.fromEntries(
        Object.entries(value)
          .reverse()
          .map(([k, v]) => [k, turned(v)]),
      );
    };
    const shuffled = turned(phrase) as typeof phrase;
    expect(Object.keys(shuffled)[0]).toBe('marks');
    expect(encodePhrase(shuffled)).toBe(encodePhrase(phrase));
  });

  it('refuses to write what could not be read', () => {
    expect(() => encodePhrase(withValue(phrase, '/tempo/bpm', Number.NaN))).toThrow();
    expect(() => encodePhrase(withValue(phrase, '/voices/0/events/0/extra', 1))).toThrow();
  });
});

describe('what is refused, in plain words with its place', () => {
  it.each([
    [
      '/voices/0/events/4/notes/0/fret',
      '7',
      "bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/fret: '7' is not allowed here. Write a number.",
    ],
    [
      '/voices/0/events/4/notes/0/fret',
      7.5,
      'bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/fret: 7.5 is not allowed here. Write a whole number.',
    ],
    [
      '/voices/0/events/4/notes/0/fret',
      undefined,
      "bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/fret: the field 'fret' is missing. Add it: a number.",
    ],
    ['/parent', undefined, "at /parent: the field 'parent' is missing. Add it: a text or null."],
    ['/parent', 5, 'at /parent: 5 is not allowed here. Write a text or null.'],
    [
      '/voices/0/events/4/notes/0/kind',
      'rest',
      "bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/kind: 'rest' is not allowed here. Write one of 'pitched', 'dead'.",
    ],
    [
      '/voices/0/events/4/notes/0/bend/shape',
      'wobble',
      "bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/bend/shape: 'wobble' is not allowed here. Write one of 'bend', 'bend-release', 'pre-bend', 'pre-bend-release', 'curl'.",
    ],
    [
      '/voices/0/events/4/notes/0/vibrato',
      'deep',
      "bar 1, beat 2 and, string 3, at /voices/0/events/4/notes/0/vibrato: 'deep' is not allowed here. Write one of 'narrow', 'wide'.",
    ],
    [
      '/voices/0/events/1/onset',
      undefined,
      "bar 0, beat 4, at /voices/0/events/1/onset: the field 'onset' is missing. Add it: a number.",
    ],
    [
      '/voices/0/events/0/palmMute',
      false,
      'bar 0, beat 3, at /voices/0/events/0/palmMute: false is not allowed here. Write true.',
    ],
    [
      '/voices/0/events/1/notes',
      [],
      'bar 0, beat 4, at /voices/0/events/1/notes/0: an entry is missing. Add it: an object.',
    ],
    [
      '/voices/1/events/0/tremolo',
      7,
      'bar 1, beat 1, at /voices/1/events/0/tremolo: 7 is not allowed here. Write one of 1, 2, 3.',
    ],
    [
      '/chords/1/onset',
      -1,
      'bar 0, beat 3, at /chords/1/onset: -1 is out of range. It must be at least 0.',
    ],
    [
      '/chords/1/symbol',
      '',
      'bar 1, beat 3, at /chords/1/symbol: the text has 0 characters. It needs at least 1.',
    ],
    [
      '/bars/0/meter/beatType',
      5,
      'bar 1, beat 1, at /bars/0/meter/beatType: 5 is not allowed here. Write one of 1, 2, 4, 8, 16.',
    ],
    ['/bars', [], 'at /bars: the list has 0 entries. It needs at least 1.'],
    ['/voices', [], 'at /voices: the list has 0 entries. It needs at least 1.'],
    ['/tempo/bpm', 1_000, 'at /tempo/bpm: 1000 is out of range. It must be at most 500.'],
    [
      '/feel/kind',
      'funky',
      "at /feel/kind: 'funky' is not allowed here. Write one of 'straight', 'swing'.",
    ],
    [
      '/meta/created',
      'today',
      "at /meta/created: 'today' does not have the right form. Write it like 2026-01-31T12:00:00Z.",
    ],
    ['/meta', null, 'at /meta: null is not allowed here. Write an object.'],
    [
      '/id',
      'two words',
      "at /id: 'two words' does not have the right form. Use printable ASCII characters without spaces, 1 to 200 of them.",
    ],
    [
      '/voices/0/events/0/notes/0/barDip',
      0.7,
      'bar 0, beat 3, string 5, at /voices/0/events/0/notes/0/barDip: 0.7 is not a multiple of 0.5. Use a multiple of 0.5.',
    ],
  ])('%s = %j', (pointer, value, message) => {
    expect(refusal(pointer, value)).toBe(message);
  });

  it('counts voices by what is there', () => {
    const three = [phrase.voices[0], phrase.voices[1], phrase.voices[0]];
    expect(refusal('/voices', three)).toBe(
      'at /voices: the list has 3 entries. It needs at most 2.',
    );
  });

  it('names fields that do not exist', () => {
    const p = withValue(phrase, '/voices/0/events/0/notes/0/sting', 3);
    expect(problemsOf(decodePhrase(p)).map(formatProblem)).toEqual([
      "bar 0, beat 3, string 5, at /voices/0/events/0/notes/0: there is no field 'sting' here. Remove it, or check its spelling and its place.",
    ]);
  });

  it('escapes names in pointers (RFC 6901)', () => {
    const odd = `{"format":"degreewise-phrase","version":1,"a/b~c":${'['.repeat(22)}${']'.repeat(22)}}`;
    expect(problemsOf(decodePhrase(odd)).length).toBeGreaterThan(0);
    const list = {
      format: 'degreewise-phrase',
      version: 1,
      'a/b~c': Array.from({ length: 101 }, () => 0),
    };
    expect(problemsOf(decodePhrase(list))).toMatchObject([{ pointer: '/a~1b~0c' }]);
  });

  it('lists faults of structure in several places at once', () => {
    const p = withValue(
      withValue(phrase, '/meta/title', 7),
      '/voices/1/events/0/notes/0/string',
      0,
    );
    expect(problemsOf(decodePhrase(p)).map((x) => x.pointer)).toEqual([
      '/meta/title',
      '/voices/1/events/0/notes/0/string',
    ]);
  });

  it('is checked for sense once its structure is right', () => {
    const p = withValue(phrase, '/voices/0/events/4/notes/0/fret', 8);
    expect(problemsOf(decodePhrase(p))).toMatchObject([
      { pointer: '/voices/0/events/4/notes/0/pitch', bar: 1, beat: 2.5, string: 3 },
    ]);
  });

  it.each([
    [
      'a library as a phrase',
      () => decodePhrase({ format: 'degreewise-library', version: 2, phrases: [] }),
      'this is a library, and a phrase is expected',
    ],
    [
      'a phrase as a library',
      () => decodeLibrary(encodePhrase(phrase)),
      'this is a phrase, and a library is expected',
    ],
    [
      'another format',
      () => decodeAny({ format: 'song', version: 1 }),
      'nothing here says that this is a phrase',
    ],
    ['no format', () => decodeAny('{}'), 'nothing here says that this is a phrase'],
  ])('%s', (_, read, message) => {
    expect(problemsOf(read())).toMatchObject([{ pointer: '/format', message }]);
  });

  it.each(['null', '[]', '7', '"text"'])('is no object: %s', (text) => {
    for (const read of [decodePhrase, decodeLibrary, decodeAny]) {
      expect(problemsOf(read(text))).toMatchObject([
        { pointer: '', message: 'there is no phrase and no library here' },
      ]);
    }
  });
});

describe('a library', () => {
  const shell = { format: 'degreewise-library', version: 2 };

  it('places the problems of its phrases', () => {
    const broken = withValue({ ...phrase, id: 'two' }, '/voices/0/events/4/notes/0/fret', 8);
    expect(problemsOf(decodeLibrary({ ...shell, phrases: [phrase, broken] }))).toMatchObject([
      { pointer: '/phrases/1/voices/0/events/4/notes/0/pitch', bar: 1, beat: 2.5, string: 3 },
    ]);
  });

  it('holds each phrase once', () => {
    const twice = { ...shell, phrases: [phrase, { ...phrase, id: 'two' }, phrase] };
    expect(problemsOf(decodeLibrary(twice))).toMatchObject([
      { pointer: '/phrases/2/id', message: 'the phrase has the same id as phrase 1' },
    ]);
  });

  it('holds phrases, not texts of phrases', () => {
    expect(problemsOf(decodeLibrary({ ...shell, phrases: [encodePhrase(phrase)] }))).toMatchObject([
      { pointer: '/phrases/0' },
    ]);
  });

  it('is given up after twenty broken phrases', () => {
    const many = Array.from({ length: 50 }, () => ({ format: 'degreewise-phrase' }));
    const found = problemsOf(decodeLibrary({ ...shell, phrases: many }));
    expect(found.map((x) => x.pointer)).toEqual(
      Array.from({ length: 20 }, (_, i) => `/phrases/${i}/version`),
    );
  });

  it('has a list of phrases', () => {
    expect(problemsOf(decodeLibrary({ ...shell, phrases: {} }))).toMatchObject([
      { pointer: '/phrases' },
    ]);
    expect(problemsOf(decodeLibrary({ ...shell, name: 'x', phrases: [] }))).toMatchObject([
      { pointer: '', message: "there is no field 'name' here" },
    ]);
  });
});

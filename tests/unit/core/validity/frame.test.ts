import { describe, expect, it } from 'vitest';
import { parseKey } from '../../../../src/core/theory/key';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { expectProblem, withValue } from '../../../support/broken';
import { build } from '../../../support/build';

const phrase = build('q 5/7 e 4/5 4/7(h) | q. 3/5 e 3/7 q 2/5 2/8', {
  pickup: 20_160,
  chords: 'G7 C7',
  key: 'G',
});

describe('the head of the page', () => {
  it('is right in the phrase the examples start from', () => {
    expect(checkPhrase(phrase)).toEqual([]);
  });

  it('is not its own parent', () => {
    expectProblem({ ...phrase, parent: phrase.id }, { pointer: '/parent', says: 'own parent' });
  });

  it.each([
    ['G#', 8, 'sharps'],
    ['Fb', 8, 'flats'],
    ['Fbm', 11, 'flats'],
    ['D# blues', 9, 'sharps'],
  ])('has a key with a signature: %s would need %d %s', (name, count, kind) => {
    const key = parseKey(name)!;
    expectProblem({ ...phrase, key }, { pointer: '/key', says: `${count} ${kind}` });
  });

  it.each(['C#', 'Cb', 'A#m', 'Abm'])('has a key of up to seven accidentals: %s', (name) => {
    expect(checkPhrase({ ...phrase, key: parseKey(name)! })).toEqual([]);
  });

  it.each([
    ['/meta/title', 'a\nb'],
    ['/meta/title', 'bell \u0007'],
    ['/meta/styleOf', 'half a pair \ud83c'],
    ['/meta/source', 'c1 \u0085'],
    ['/meta/source', 'delete \u007f'],
    ['/meta/notes', 'carriage\r\nreturn'],
    ['/instrument/name', 'tab\tin a name'],
  ])('has printable text at %s', (pointer, text) => {
    expectProblem(withValue(phrase, pointer, text), { pointer, says: 'control characters' });
  });

  it('takes any script, line feeds in notes, and markup as text', () => {
    const meta = {
      ...phrase.meta,
      title: '<script>alert("🎸 – ブルース")</script>',
      notes: 'one\n\ttwo',
    };
    expect(checkPhrase({ ...phrase, meta })).toEqual([]);
  });

  it('has every tag once', () => {
    const p = withValue(phrase, '/meta/tags', ['blues', 'slow', 'blues']);
    expectProblem(p, { pointer: '/meta/tags/2', says: "'blues' is there twice" });
  });

  it('checks tags and words as text too', () => {
    expectProblem(withValue(phrase, '/meta/tags', ['a', 'b\u0000']), {
      pointer: '/meta/tags/1',
      says: 'control characters',
    });
    const marks = [{ kind: 'words', onset: 0, text: 'x\ny' }] as const;
    expectProblem({ ...phrase, marks }, { pointer: '/marks/0/text', says: 'control characters' });
  });

  it.each(['2026-02-30T00:00:00Z', '2026-13-01T00:00:00Z', '2026-01-01T25:00:00Z', '2026-01-01'])(
    'has dates of the calendar: %s is none',
    (text) => {
      const p = withValue(phrase, '/meta/modified', text);
      expectProblem(p, { pointer: '/meta/modified', says: 'no date' });
    },
  );

  it('has frets left above the capo', () => {
    const p = build('q -', { instrument: { capo: 22 } });
    expectProblem(p, { pointer: '/instrument/capo', says: 'leaves no fret' });
    expect(checkPhrase(build('q -', { instrument: { capo: 21 } }))).toEqual([]);
  });

  it('stays within MIDI pitches on every string', () => {
    const high = withValue(phrase, '/instrument/tuning/0', { letter: 'A', alter: 0, octave: 8 });
    expectProblem(high, { pointer: '/instrument/tuning/0', string: 1, says: 'A8' });
    const low = build('q -', {});
    const sub = withValue(low, '/instrument/tuning/5', { letter: 'C', alter: -1, octave: -1 });
    const lowest = withValue(low, '/instrument/tuning/5', { letter: 'C', alter: 0, octave: -1 });
    expect(checkPhrase(lowest)).toEqual([]);
    // A7 is MIDI 105: with 22 frets exactly up to 127.
    const highest = withValue(low, '/instrument/tuning/0', { letter: 'A', alter: 0, octave: 7 });
    expect(checkPhrase(highest)).toEqual([]);
    expect(checkPhrase(withValue(highest, '/instrument/frets', 23))).toHaveLength(1);
    expectProblem(sub, {
      pointer: '/instrument/tuning/5',
      string: 6,
      says: 'string 6 tuned to Cb-1',
    });
  });

  it('has a swing ratio in lowest terms (T3)', () => {
    const swing = (first: number, second: number) =>
      ({ ...phrase, feel: { kind: 'swing', unit: 'eighth', first, second } }) as const;
    expectProblem(swing(6, 4), { pointer: '/feel', says: '6:4' });
    expectProblem(swing(1, 1), { pointer: '/feel', says: 'is straight' });
    expect(checkPhrase(swing(3, 2))).toEqual([]);
    expect(checkPhrase(swing(1, 2))).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { chordOf, formatChord, parseChord } from '../../../../../src/core/theory/chord';
import { harmonyNode } from '../../../../../src/io/musicxml/write/harmony';
import { formatXml } from '../../../../../src/io/musicxml/xml/format';
import { attributes, imported, n, score } from '../../../../support/score-text';

/*
 * Chord symbols of plain files. Sources: W3C MusicXML 4.0 reference (harmony, root, kind, degree,
 * bass, inversion, numeral, offset) and its tutorial 'Chord Symbols and Diagrams', whose three
 * symbols are the first examples.
 */

const root = (step: string, alter = 0) =>
  `<root><root-step>${step}</root-step>${alter === 0 ? '' : `<root-alter>${alter}</root-alter>`}</root>`;
const kind = (name: string, text?: string) =>
  `<kind${text === undefined ? '' : ` text="${text}"`}>${name}</kind>`;
const degree = (value: number, alter: number, type: string) =>
  `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;
const bass = (step: string, alter = 0) =>
  `<bass><bass-step>${step}</bass-step>${alter === 0 ? '' : `<bass-alter>${alter}</bass-alter>`}</bass>`;
const harmony = (inside: string) => `<harmony>${inside}</harmony>`;

/** The symbol that one `<harmony>` becomes, and the list. */
function symbol(inside: string, key?: string) {
  const { phrase, listed } = imported(
    score([attributes(key === undefined ? {} : { key }) + harmony(inside) + n('E4', 8)]),
  );
  return { symbol: phrase.chords[0]?.symbol, listed: listed.join() };
}

describe('a chord whose kind the file leaves empty', () => {
  it('is told, and stands as N.C.', () => {
    const read = symbol(`${root('C')}<kind/>`);
    expect(read.symbol).toBeNull();
    expect(read.listed).toContain("the kind of the chord on 'C' is not known");
  });

  it('is read by its printed text where it has one', () => {
    expect(symbol(`${root('C')}<kind text="m7"/>`).symbol).toBe('Cm7');
  });

  it('is no chord where the file says so', () => {
    const read = symbol(`${root('C')}${kind('none')}`);
    expect([read.symbol, read.listed.includes('not known')]).toEqual([null, false]);
  });
});

describe('a chord symbol', () => {
  it.each([
    ['G6/D of the tutorial', root('G') + kind('major-sixth', '6') + bass('D'), 'G6/D'],
    ['A(9) of the tutorial', root('A') + kind('major') + degree(9, 0, 'add'), 'Aadd9'],
    ['A11 of the tutorial', root('A') + kind('dominant-11th', '11'), 'A11'],
    ['m(maj7)', root('C') + kind('major-minor'), 'Cm(maj7)'],
    [
      'an added degree counts from a dominant',
      root('E') + kind('suspended-fourth') + degree(7, 0, 'add'),
      'E7sus4',
    ],
    [
      'an altered one counts from the kind',
      root('B', -1) + kind('major-seventh') + degree(5, 1, 'alter'),
      'Bbmaj7#5',
    ],
    ['a sharp ninth', root('F', 1) + kind('dominant') + degree(9, 1, 'add'), 'F#7#9'],
    ['power', root('D') + kind('power'), 'D5'],
    ['half-diminished', root('A') + kind('half-diminished'), 'Am7b5'],
    [
      'an inversion without a bass',
      `${root('F', 1) + kind('major')}<inversion>2</inversion>`,
      'F#/C#',
    ],
    [
      'first inversion of a minor seventh',
      `${root('D') + kind('minor-seventh')}<inversion>1</inversion>`,
      'Dm7/F',
    ],
    ['an altered dominant by its text', root('G') + kind('dominant', '7alt'), 'G7alt'],
    ['a kind of its own, told by its text', root('C') + kind('other', '7b9'), 'C7b9'],
  ])('%s', (_, inside, expected) => {
    const read = symbol(inside);
    expect(read.symbol).toBe(expected);
    expect(read.listed).not.toContain('chord');
  });

  it.each([
    'Cm(maj7)',
    'F#7b9',
    'Bb7#11/D',
    'Ebmaj9',
    'C7sus4',
    'G7alt',
    'Dbdim7',
    'E6/9',
    'A13',
    'Gaug',
  ])('%s comes back as it was written', (text) => {
    const parsed = parseChord(text);
    if (!parsed.ok) throw new Error(text);
    const canonical = formatChord(parsed.value);
    const xml = formatXml(harmonyNode(canonical, { name: (p) => p, offset: 0, staff: null }));
    const inside = /<harmony>(.*)<\/harmony>/su.exec(xml)?.[1] ?? '';
    expect(symbol(inside).symbol).toBe(canonical);
    expect(chordOf(canonical)).toEqual(parsed.value);
  });

  it('a seventh added with a flat is minor, but for a diminished triad; listed', () => {
    const odd = symbol(`${root('C')}${kind('suspended-fourth')}${degree(7, -1, 'add')}`);
    expect(odd.symbol).toBe('C7sus4');
    expect(odd.listed).toContain('a seventh that is added with a flat');
    expect(symbol(`${root('C')}${kind('diminished')}${degree(7, -1, 'add')}`).symbol).toBe('Cdim7');
  });

  it('printed as another chord than its kind is what the kind says, which is listed', () => {
    const other = symbol(`${root('C')}${kind('minor', 'm7b5')}`);
    expect(other.symbol).toBe('Cm');
    expect(other.listed).toContain("a chord printed as 'Cm7b5' is what its kind says: Cm");
    expect(symbol(`${root('C')}${kind('minor-seventh', '-7')}`).listed).not.toContain('printed');
  });

  it('of a kind that the standard does not have is read by what is printed', () => {
    expect(symbol(`${root('C')}${kind('maj69', '6/9')}`).symbol).toBe('C6/9');
    expect(symbol(`${root('C')}${kind('maj69', 'round')}`).symbol).toBeNull();
  });

  it('N.C. is no chord', () => {
    expect(
      symbol(`<root><root-step text="">C</root-step></root>${kind('none', 'N.C.')}`),
    ).toMatchObject({
      symbol: null,
    });
  });

  it('a numeral is read in the key, or in its own', () => {
    const minor = '<key><fifths>1</fifths><mode>minor</mode></key>';
    const numeral = (root: number, rest = '') =>
      `<numeral><numeral-root>${root}</numeral-root>${rest}</numeral>`;
    expect(symbol(numeral(5) + kind('dominant')).symbol).toBe('G7');
    // E minor: its third step is G; with an alteration of its own, the raised sixth is C sharp.
    expect(symbol(numeral(3) + kind('major'), minor).symbol).toBe('G');
    expect(
      symbol(numeral(6, '<numeral-alter>1</numeral-alter>') + kind('diminished'), minor).symbol,
    ).toBe('C#dim');
    const own =
      '<numeral-key><numeral-fifths>-3</numeral-fifths><numeral-mode>major</numeral-mode></numeral-key>';
    expect(symbol(numeral(2, own) + kind('minor-seventh')).symbol).toBe('Fm7');
  });

  it('a function of older files is a roman numeral', () => {
    const key = '<key><fifths>2</fifths><mode>major</mode></key>';
    expect(symbol(`<function>IV</function>${kind('major-seventh')}`, key).symbol).toBe('Gmaj7');
  });

  it('one that has no name here stands as N.C. and is listed', () => {
    const french = symbol(root('A', -1) + kind('French'));
    expect(french.symbol).toBeNull();
    expect(french.listed).toContain("the chord 'A -1 French' is not understood");
    expect(symbol(root('C') + kind('other')).symbol).toBeNull();
  });

  it('diagrams and a chord over a chord are listed', () => {
    const frame =
      '<frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>1</string><fret>0</fret></frame-note></frame>';
    expect(symbol(root('C') + kind('major') + frame).listed).toContain('chord diagrams');
    const poly = symbol(root('C') + kind('major') + root('D') + kind('major'));
    expect(poly.symbol).toBe('C');
    expect(poly.listed).toContain('of a chord over a chord the first is kept');
  });
});

describe('the place of a chord symbol', () => {
  const c = harmony(root('C') + kind('major'));
  const f = (offset = '') => harmony(root('F') + kind('major') + offset);
  const lane = (...measures: string[]) => {
    const { phrase, listed } = imported(score(measures));
    return { chords: phrase.chords.map((x) => [x.onset, x.symbol]), listed: listed.join() };
  };

  it('is where it stands, moved by its offset', () => {
    const read = lane(attributes() + c + n('E4', 2) + f('<offset>3</offset>') + n('E4', 6));
    expect(read.chords).toEqual([
      [0, 'C'],
      [25_200, 'F'],
    ]);
  });

  it('several before one note share it evenly', () => {
    const read = lane(
      attributes() + c + f() + harmony(root('G') + kind('dominant')) + n('E4', 6) + n('E4', 2),
    );
    expect(read.chords).toEqual([
      [0, 'C'],
      [10_080, 'F'],
      [20_160, 'G7'],
    ]);
    expect(read.listed).toContain('share the note');
  });

  it('a copy for the second staff is one symbol; two at one place are one and listed', () => {
    expect(lane(attributes() + c + c + n('E4', 8)).chords).toEqual([[0, 'C']]);
    const read = lane(attributes() + c + f('<offset>0</offset>') + n('E4', 8));
    expect(read.chords).toEqual([[0, 'C']]);
    expect(read.listed).toContain('a second chord symbol at one place');
  });

  it('after the end it is left out, and listed', () => {
    const read = lane(attributes() + c + n('E4', 8) + f());
    expect(read.chords).toEqual([[0, 'C']]);
    expect(read.listed).toContain('after the end');
  });
});

import { type Chord, chordTones, thirdOf } from './chord';
import { type ChordShape, remembered, shapeOf, tonesOf } from './chord-model';
import {
  type Degree,
  type DegreeNumber,
  degreeSemitones,
  parseDegree,
  ROOT,
  sameDegree,
} from './degree';

/** The columns of the quality table; the root is the same everywhere. */
export type Column = 2 | 3 | 4 | 5 | 6 | 7;

const MAJOR_THIRD: Degree = { number: 3, alter: 0 };

export const COLUMNS: readonly Column[] = [2, 3, 4, 5, 6, 7];

/** What a chord makes of each degree number; null is '=': the source's own degree is kept (M4). */
export type TableRow = Readonly<Record<Column, Degree | null>>;

function row(text: string): TableRow {
  const cells = text.split(' ').map((cell) => {
    if (cell === '=') return null;
    const d = parseDegree(cell);
    if (d === null) throw new RangeError(`bad degree ${cell}`);
    return d;
  });
  const at = (i: number) => cells[i] ?? null;
  return { 2: at(0), 3: at(1), 4: at(2), 5: at(3), 6: at(4), 7: at(5) };
}

/** The quality table (M4), columns 2 to 7. The scale named is the usual chord scale it comes from. */
const ROWS = {
  // Major scale without its seventh.
  major: row('2 3 4 5 6 ='),
  // Major scale (Ionian).
  maj7: row('2 3 4 5 6 7'),
  // Mixolydian.
  dominant: row('2 3 4 5 6 b7'),
  // Mixolydian, its fourth in the third's place.
  sus4: row('2 4 4 5 6 ='),
  // The same with the second in the third's place.
  sus2: row('2 2 4 5 6 ='),
  power: row('= = = 5 = ='),
  // Dorian.
  minor: row('2 b3 4 5 6 b7'),
  // Dorian without its seventh.
  minor6: row('2 b3 4 5 6 ='),
  // Ascending melodic minor.
  minorMajor: row('2 b3 4 5 6 7'),
  // Locrian.
  halfDiminished: row('b2 b3 4 b5 b6 b7'),
  // Diminished scale (whole, half) without its major seventh.
  diminished: row('2 b3 4 b5 b6 ='),
  diminished7: row('2 b3 4 b5 b6 bb7'),
  // Whole tone.
  augmented: row('2 3 #4 #5 = ='),
  augmented7: row('2 3 #4 #5 = b7'),
  // Lydian augmented.
  augmentedMaj7: row('2 3 #4 #5 6 7'),
  // Altered scale.
  altered: row('b2 3 = b5 b6 b7'),
} as const;

/** The row of a quality before its named alterations. */
function baseRow(c: Chord, s: ChordShape): TableRow {
  if (c.kind === '7alt') return ROWS.altered;
  switch (s.third) {
    case 'sus4':
      return ROWS.sus4;
    case 'sus2':
      return ROWS.sus2;
    case 'minor':
      if (s.fifth === -1) {
        if (s.seventh === -2) return ROWS.diminished7;
        return s.seventh === -1 ? ROWS.halfDiminished : ROWS.diminished;
      }
      if (s.seventh === 0) return ROWS.minorMajor;
      return s.sixth ? ROWS.minor6 : ROWS.minor;
    case 'none':
      return c.kind === 'power' ? ROWS.power : { ...majorRow(s), 3: null };
    case 'major':
      return majorRow(s);
  }
}

function majorRow(s: ChordShape): TableRow {
  if (s.fifth === 1) {
    if (s.seventh === null) return ROWS.augmented;
    return s.seventh === 0 ? ROWS.augmentedMaj7 : ROWS.augmented7;
  }
  if (s.seventh === null) return ROWS.major;
  return s.seventh === 0 ? ROWS.maj7 : ROWS.dominant;
}

/**
 * The chord's row of the quality table (M4) after its named alterations, each of which changes only
 * its own column. Where a symbol names two alterations of one number (7♭9♯9) the column holds the
 * lower; a degree named beside the natural one (add ♭9 on a 9) leaves it. Without a third (`no3`)
 * column 3 is '='.
 */
export const tableRow: (c: Chord) => TableRow = remembered((c) => {
  const tones = tonesOf(c);
  const s = shapeOf(tones);
  const base = baseRow(c, s);
  if (c.kind === '7alt') return base;
  const named: Partial<Record<Column, Degree | null>> = {};
  for (const column of COLUMNS) {
    if (column === 3) continue;
    const present = tones.filter((t) => t.value === column || t.value === column + 7);
    const own = base[column];
    if (present.length === 0 || present.some((t) => t.alter === own?.alter)) continue;
    const natural = present.find((t) => t.alter === 0);
    named[column] = { number: column, alter: (natural ?? present[0]!).alter };
  }
  return { ...base, ...named };
});

/**
 * The number of the chord's row under which a degree counts when the chord is the source of a move
 * (M3, step 2); 1 for the root, null for a degree outside the row, which the later steps take.
 *
 * The '=' in column 7 accepts ♭7 and 7, and that in column 3 of a power chord 3 (M4); any other '='
 * accepts nothing. The 4 of a sus4 chord and the 2 of a sus2 chord count as its third, not as 4 or 2.
 */
export function rowAcceptsSource(c: Chord, d: Degree): DegreeNumber | null {
  if (sameDegree(d, ROOT)) return 1;
  const cells = tableRow(c);
  const third = thirdOf(c);
  if (third !== null && sameDegree(third, d)) return 3;
  for (const column of COLUMNS) {
    const cell = cells[column];
    if (cell !== null && sameDegree(cell, d)) return column;
  }
  // Nobody who plays 3 over a power chord means anything but its third; a ♭3 is a blue note there.
  if (c.kind === 'power' && sameDegree(d, MAJOR_THIRD)) return 3;
  return cells[7] === null && d.number === 7 && (d.alter === 0 || d.alter === -1) ? 7 : null;
}

/**
 * The chord's home scale (M4): its root, its row and every tone of the symbol, ascending. A '=' adds
 * nothing, in column 7 too: over a plain triad neither seventh is at home, so that the leading note
 * before the root is an approach (D3).
 */
export const homeScale: (c: Chord) => readonly Degree[] = remembered((c) => {
  const cells = tableRow(c);
  const all = [ROOT, ...COLUMNS.flatMap((n) => cells[n] ?? []), ...chordTones(c)];
  return all
    .filter((d, i) => all.findIndex((e) => sameDegree(d, e)) === i)
    .sort((a, b) => degreeSemitones(a) - degreeSemitones(b) || a.number - b.number);
});

import { type Degree, parseDegree } from './degree';

/** A scale by its usual name. */
export interface Scale {
  readonly name: string;
  /** Ascending from the root. */
  readonly degrees: readonly Degree[];
}

function degrees(row: string): readonly Degree[] {
  return row.split(' ').map((text) => {
    const d = parseDegree(text);
    if (d === null) throw new RangeError(`bad degree ${text}`);
    return d;
  });
}

/**
 * The scales that can be asked for by name, in the order in which they are offered.
 *
 * Source: the modes of the major, harmonic minor and melodic minor scales and the symmetric and
 * pentatonic ones as handbooks of theory list them (*common practice*); a test compares every row
 * with the dictionary of the `tonal` package.
 */
const ROWS = {
  major: 'R 2 3 4 5 6 7',
  minor: 'R 2 b3 4 5 b6 b7',
  'major pentatonic': 'R 2 3 5 6',
  'minor pentatonic': 'R b3 4 5 b7',
  blues: 'R b3 4 b5 5 b7',
  'major blues': 'R 2 b3 3 5 6',
  dorian: 'R 2 b3 4 5 6 b7',
  phrygian: 'R b2 b3 4 5 b6 b7',
  lydian: 'R 2 3 #4 5 6 7',
  mixolydian: 'R 2 3 4 5 6 b7',
  locrian: 'R b2 b3 4 b5 b6 b7',
  'harmonic minor': 'R 2 b3 4 5 b6 7',
  'melodic minor': 'R 2 b3 4 5 6 7',
  'phrygian dominant': 'R b2 3 4 5 b6 b7',
  'lydian dominant': 'R 2 3 #4 5 6 b7',
  altered: 'R b2 #2 3 #4 b6 b7',
  'whole tone': 'R 2 3 #4 #5 b7',
  diminished: 'R 2 b3 4 b5 b6 6 7',
  'half-whole diminished': 'R b2 #2 3 #4 5 6 b7',
  bebop: 'R 2 3 4 5 6 b7 7',
  chromatic: 'R b2 2 b3 3 4 b5 5 b6 6 b7 7',
} as const;

/** What scales are also called. */
const OTHER_NAMES: Readonly<Record<string, keyof typeof ROWS>> = {
  ionian: 'major',
  aeolian: 'minor',
  'natural minor': 'minor',
  'minor blues': 'blues',
  'super locrian': 'altered',
  acoustic: 'lydian dominant',
  'dominant diminished': 'half-whole diminished',
  'whole-half diminished': 'diminished',
};

export const SCALE_NAMES = Object.keys(ROWS) as readonly (keyof typeof ROWS)[];

/** The scale of a name, in either case, with hyphens or spaces; null where there is none. */
export function scaleNamed(text: string): Scale | null {
  const plain = (s: string) =>
    s
      .toLowerCase()
      .replace(/[\s-]+/gu, ' ')
      .trim();
  const asked = plain(text);
  const other = Object.keys(OTHER_NAMES).find((n) => plain(n) === asked);
  const name =
    other === undefined ? SCALE_NAMES.find((n) => plain(n) === asked) : OTHER_NAMES[other];
  return name === undefined ? null : { name, degrees: degrees(ROWS[name]) };
}

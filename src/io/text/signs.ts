import type { ChordSymbol } from '../../core/phrase/types';
import { chordSign } from '../../core/theory/chord';
import { type Degree, degreeSign, formatDegree } from '../../core/theory/degree';
import { alterSign, formatPitch, type Pitch } from '../../core/theory/pitch';

/** The same signs in two alphabets: typeset where the reader's screen has them, and plain ASCII. */
export interface Signs {
  readonly degree: (d: Degree) => string;
  readonly chord: (s: ChordSymbol) => string;
  readonly pitch: (p: Pitch) => string;
  /** From start to target. */
  readonly arrow: string;
  /** A quarter tone. */
  readonly quarterTone: string;
  /** Between things in a list. */
  readonly dot: string;
  readonly times: string;
  readonly dash: string;
}

/** The double accidentals of Unicode lie outside what common terminal fonts hold. */
function inOnePlane(text: string): string {
  return text.replaceAll('𝄫', '♭♭').replaceAll('𝄪', '♯♯');
}

export const TYPESET: Signs = {
  degree: (d) => inOnePlane(degreeSign(d)),
  chord: (s) => inOnePlane(chordSign(s)),
  pitch: (p) => inOnePlane(`${p.letter}${alterSign(p.alter)}${p.octave}`),
  arrow: '→',
  quarterTone: '¼',
  dot: '·',
  times: '×',
  dash: '–',
};

export const ASCII: Signs = {
  degree: formatDegree,
  chord: (s) => s,
  pitch: formatPitch,
  arrow: '>',
  quarterTone: 'q',
  dot: ',',
  times: 'x',
  dash: '-',
};

/** After a letter name: what may follow an accidental, so that a word is not taken for a note. */
const NOTE =
  /(?<![A-Za-z])([A-G])(bb?|##?)(?![a-z])|(?<![A-Za-z])([A-G])(bb?|##?)(?=m|dim|sus|aug|add|alt)/gu;
/** Before a degree, a numeral or a tension: `b3`, `bVII7`, `7#9`. */
const DEGREE = /(?<![A-Za-z])(bb?|##?)(?=[1-9]|[IViv]+(?![a-z]))/gu;

/**
 * Text that somebody typed or that is written plainly, with typeset accidentals: keys, chords, numerals
 * and pitches; words stay as they are (`Bb blues` → `B♭ blues`, `bVII7 | C7#9` → `♭VII7 | C7♯9`).
 */
export function typesetText(text: string): string {
  const sign = (accidentals: string) => accidentals.replaceAll('b', '♭').replaceAll('#', '♯');
  return text
    .replaceAll(NOTE, (_, a?: string, b?: string, c?: string, d?: string) => {
      return `${a ?? c}${sign(b ?? d ?? '')}`;
    })
    .replaceAll(DEGREE, sign);
}

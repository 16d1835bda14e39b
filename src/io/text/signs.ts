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

import { fail, ok, type Problem, type Result } from '../result';
import { type Chord, chordOfTones, shapeOf, tonesOf } from './chord-model';
import { type Cursor, readQuality, take } from './chord-read';
import { formatChord, formatQuality, isNoChord, parseChord, refuseLong } from './chord-text';
import {
  type Degree,
  type DegreeNumber,
  degreeOf,
  degreeSign,
  formatDegree,
  parseDegree,
  pitchClassOf,
  sameDegree,
} from './degree';
import type { Key } from './key';
import {
  type Alter,
  alterSign,
  alterText,
  formatPitchClass,
  type PitchClass,
  parseAlter,
  parsePitchClass,
  samePitchClass,
} from './pitch';

const NUMERALS: readonly string[] = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];
const NUMERAL = /(𝄫|𝄪|♭♭|♯♯|bb|##|[b♭#♯n♮])?\s*(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)/uy;

/** A numeral as read: its root degree over the tonic, and its case. */
interface Numeral {
  readonly degree: Degree;
  readonly lowerCase: boolean;
  /** Without any accidental or natural sign. */
  readonly plain: boolean;
}

function readNumeral(c: Cursor, key: Key): Numeral | null {
  const m = take(c, NUMERAL);
  if (m === null) return null;
  const upper = m[2]!.toUpperCase();
  const number = (NUMERALS.indexOf(upper) + 1) as DegreeNumber;
  const lowerCase = m[2] !== upper;
  const sign = m[1] ?? '';
  const plain = sign === '';
  const alter: Alter =
    plain && !lowerCase && isLoweredInMinor(key, number)
      ? -1
      : (parseAlter(sign === 'n' ? '' : sign) ?? 0);
  return { degree: { number, alter }, lowerCase, plain };
}

/** In minor, bare III VI VII mean ♭III ♭VI ♭VII (D6); lower-case numerals count from major. */
function isLoweredInMinor(key: Key, number: DegreeNumber): boolean {
  return key.mode === 'minor' && (number === 3 || number === 6 || number === 7);
}

/**
 * Reads a roman numeral with its quality in a key (D6): `V7`, `ii7`, `bVII7`, `vii°7`, `viiø7`,
 * `Imaj7`, `i m7`, `V7alt`, `V7/ii`, `I/3`, `I/E`.
 *
 * Roots count from the major scale on the tonic; in minor, bare capital III VI VII are ♭III ♭VI
 * ♭VII, and a natural sign (`♮III`, or `nIII` in ASCII) takes that back. Capitals are major, lower
 * case is minor, so `ii7` is a minor seventh. In a blues key bare I, IV and V are sevenths; `Imaj`
 * is the plain triad there. After '/' a numeral makes the whole a chord of that numeral's own key
 * (minor where it is lower-case), a degree number is a bass counted from the chord's root, and a
 * note name is a bass.
 * @returns a Problem with the column of what is not understood.
 */
export function parseRoman(text: string, key: Key): Result<Chord> {
  const tooLong = refuseLong(text);
  if (tooLong !== null) return fail(tooLong);
  const c: Cursor = { text: text.trimEnd(), at: text.length - text.trimStart().length };
  const start = c.at;
  const numeral = readNumeral(c, key);
  if (numeral === null) {
    return fail({
      message: text.trim() === '' ? 'there is no numeral' : `'${text.trim()}' is no roman numeral`,
      fix: 'Begin with I to VII or i to vii, with b or # before it where needed.',
      column: start + 1,
    });
  }
  const after = c.text.slice(c.at);
  // No quality begins so: what was read is the beginning of a numeral that there is not, such as VIII.
  if (/^[IViv]/u.test(after)) {
    const word = /^\S*/u.exec(c.text.slice(start))![0];
    const fix = 'Numerals go from I to VII, or from i to vii.';
    return fail({ message: `'${word}' is no roman numeral`, fix, column: start + 1 });
  }
  const bare = /^\s*(?:\/|$)/u.test(after);
  const quality = readQuality(c, numeral.lowerCase);
  if (quality.kind === 'problem') return fail(quality.problem);

  const slashes = readSlashes(c, key);
  if (!slashes.ok) return slashes;
  const { home, bass } = slashes.value;
  // Which key the numeral counts in is known only now: III/ii is ♭III of ii's own minor.
  c.at = start;
  const own = readNumeral(c, home)!;
  const root = pitchClassOf(home.tonic, own.degree);
  if (root === null) return fail(tooFar(text, key, start));

  const seventh =
    bare && own.plain && home.mode === 'blues' && !own.lowerCase && isPrimary(own.degree.number);
  const tones =
    quality.kind === 'alt'
      ? 'alt'
      : seventh
        ? tonesOf({ kind: 'dominant', degrees: [] })
        : quality.tones;
  const bassNote = bass === null || 'letter' in bass ? bass : pitchClassOf(root, bass);
  if (bass !== null && bassNote === null) return fail(tooFar(text, key, start));
  return ok(chordOfTones(root, tones, bassNote));
}

function isPrimary(number: DegreeNumber): boolean {
  return number === 1 || number === 4 || number === 5;
}

function tooFar(text: string, key: Key, start: number): Problem {
  return {
    message: `'${text.trim()}' in ${formatPitchClass(key.tonic)} needs more than a double accidental`,
    fix: 'Take the enharmonic key.',
    column: start + 1,
  };
}

interface Slashes {
  /** The key in which the numeral before the slashes counts. */
  readonly home: Key;
  readonly bass: PitchClass | Degree | null;
}

function readSlashes(c: Cursor, key: Key): Result<Slashes> {
  if (c.at >= c.text.length) return ok({ home: key, bass: null });
  const start = c.at;
  c.at += 1;
  take(c, /\s+/uy);
  const part = c.text.slice(c.at);
  const note = /^[A-G]/u.test(part) ? parsePitchClass(part) : null;
  const degree = /^[b#♭♯𝄫𝄪]*[1-7]$/u.test(part) ? parseDegree(part) : null;
  if (note !== null || degree !== null) {
    c.at = c.text.length;
    return ok({ home: key, bass: note ?? degree });
  }
  const target = c.at;
  if (readNumeral(c, key) === null || !/^\s*(?:\/|$)/u.test(c.text.slice(c.at))) {
    return fail({
      message: `'${c.text.slice(start)}' is neither a numeral nor a bass`,
      fix: 'After the slash write a numeral (V7/ii), a degree (I/3) or a note (I/E).',
      column: start + 1,
    });
  }
  take(c, /\s+/uy);
  // A target may have a target of its own: V7/V/ii counts the middle V in ii's key.
  const outer = readSlashes(c, key);
  if (!outer.ok) return outer;
  const end = c.at;
  c.at = target;
  const numeral = readNumeral(c, outer.value.home)!;
  c.at = end;
  const tonic = pitchClassOf(outer.value.home.tonic, numeral.degree);
  if (tonic === null) return fail(tooFar(c.text, key, start));
  const mode = numeral.lowerCase ? 'minor' : key.mode === 'blues' ? 'blues' : 'major';
  return ok({ home: { tonic, mode }, bass: outer.value.bass });
}

/**
 * The numeral of a chord in a key (D6), with ASCII accidentals: `V7`, `bVII7`, `ii7`, `vii°7`,
 * `iiø7`, `V+`, `I/3`. `parseRoman` reads it back to the same chord. Secondary functions are
 * written from the tonic (II7, not V7/V). In minor a chord on the raised third, sixth or seventh
 * has a natural sign (`♮III`); in a blues key a plain I, IV or V triad is `Imaj`.
 *
 * A root with no degree name in the key (further than a double alteration) has no numeral: the
 * chord symbol itself is given.
 */
export function formatRoman(c: Chord, key: Key): string {
  return romanText(c, key, false);
}

/** The numeral typeset for the page: `♭VII7`, `♯ivø7`. */
export function romanSign(c: Chord, key: Key): string {
  return romanText(c, key, true);
}

function romanText(c: Chord, key: Key, typeset: boolean): string {
  const d = degreeOf(key.tonic, c.root);
  const back = pitchClassOf(key.tonic, d);
  if (back === null || !samePitchClass(back, c.root)) return formatChord(c);
  const lowerCase = c.kind !== '7alt' && shapeOf(tonesOf(c)).third === 'minor';
  const quality = romanQuality(c, typeset);
  const upper = NUMERALS[d.number - 1]!;
  const lowered = !lowerCase && isLoweredInMinor(key, d.number);
  const sign =
    lowered && d.alter === -1
      ? ''
      : lowered && d.alter === 0
        ? '♮'
        : typeset
          ? alterSign(d.alter)
          : alterText(d.alter);
  const triad =
    quality === '' && !lowerCase && key.mode === 'blues' && isPrimary(d.number) && d.alter === 0;
  const name = sign + (lowerCase ? upper.toLowerCase() : upper);
  return name + (triad ? 'maj' : quality) + romanBass(c, typeset);
}

function romanQuality(c: Chord, typeset: boolean): string {
  const text = formatQuality(c, typeset ? 'sign' : 'roman');
  return /^m(?!aj)/u.test(text) ? text.slice(1) : text;
}

/** The bass as a degree over the chord's root, or as a note where D1 has no name for it. */
function romanBass(c: Chord, typeset: boolean): string {
  if (c.bass === null) return '';
  const d = degreeOf(c.root, c.bass);
  const back = pitchClassOf(c.root, d);
  if (back === null || !samePitchClass(back, c.bass)) return `/${formatPitchClass(c.bass)}`;
  const name = sameDegree(d, { number: 1, alter: d.alter })
    ? `${typeset ? alterSign(d.alter) : alterText(d.alter)}1`
    : typeset
      ? degreeSign(d)
      : formatDegree(d);
  return `/${name}`;
}

/** Reads an absolute symbol (it begins with a capital A to G) or else a roman numeral in the key. */
export function parseChordOrRoman(text: string, key: Key): Result<Chord> {
  const t = text.trim();
  if (/^[A-G]/u.test(t) || isNoChord(t) || refuseLong(t) !== null) return parseChord(text);
  if (/^(?:bb|##|[b#n♭♯♮𝄫𝄪])?\s*[IViv]/u.test(t)) return parseRoman(text, key);
  return fail({
    message: t === '' ? 'there is no chord' : `'${t}' is neither a chord symbol nor a numeral`,
    fix: 'Write a chord like Bb7 or F#m7b5, or a numeral like IV7 or ii7.',
    column: text.length - text.trimStart().length + 1,
  });
}

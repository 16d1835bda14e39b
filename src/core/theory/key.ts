import type { Degree } from './degree';
import { degree } from './degree';
import { classInterval, type Interval, transposeClass } from './interval';
import { formatPitchClass, letterIndex, mod, type PitchClass, parsePitchClass } from './pitch';

/** Keys are major, minor, or blues: a major signature in which bare I, IV, V mean sevenths (D6). */
export type Mode = 'major' | 'minor' | 'blues';

export interface Key {
  readonly tonic: PitchClass;
  readonly mode: Mode;
}

/** Position on the line of fifths, C = 0, G = 1, F = −1. */
export function fifthsOf(p: PitchClass): number {
  const natural = [0, 2, 4, -1, 1, 3, 5][letterIndex(p.letter)]!;
  return natural + 7 * p.alter;
}

/** Sharps (positive) or flats (negative) in the key's own signature; may lie beyond ±7 for theoretical keys. */
export function signatureFifths(k: Key): number {
  return fifthsOf(k.tonic) - (k.mode === 'minor' ? 3 : 0);
}

/** The natural scale of the key above its tonic: major (also for blues) or natural minor. */
export function keyScale(mode: Mode): readonly Degree[] {
  return mode === 'minor'
    ? [degree(1), degree(2), degree(3, -1), degree(4), degree(5), degree(6, -1), degree(7, -1)]
    : [degree(1), degree(2), degree(3), degree(4), degree(5), degree(6), degree(7)];
}

/** `C`, `F#m`, `Bb blues`: the short ASCII name. */
export function formatKey(k: Key): string {
  const t = formatPitchClass(k.tonic);
  return k.mode === 'minor' ? `${t}m` : k.mode === 'blues' ? `${t} blues` : t;
}

/** Reads `C`, `Bb`, `F#m`, `C minor`, `Eb Major`, `G blues`. Null when it is no key. */
export function parseKey(text: string): Key | null {
  const m =
    /^\s*([A-Ga-g](?:bb|##|b|#|♭|♯|𝄫|𝄪)?)\s*(m|[Mm]in(?:or)?|[Mm]aj(?:or)?|[Bb]lues)?\s*$/u.exec(
      text,
    );
  if (m === null) return null;
  const tonic = parsePitchClass(m[1]!);
  if (tonic === null) return null;
  const word = (m[2] ?? '').toLowerCase();
  const mode: Mode = word === 'blues' ? 'blues' : /^(m|min|minor)$/.test(word) ? 'minor' : 'major';
  return { tonic, mode };
}

/**
 * The name a target key takes (P5) when it was not typed by name: more than six accidentals in its
 * own signature becomes the enharmonic key; six against six stays on the source's side, sharp from
 * a signature without accidentals.
 */
export function settleKey(target: Key, source: Key): Key {
  const sharpSide = signatureFifths(source) >= 0;
  const lowest = sharpSide ? -5 : -6;
  const fifths = mod(signatureFifths(target) - lowest, 12) + lowest;
  return { ...target, tonic: tonicAtSignature(fifths, target.mode) };
}

/** The tonic of a key with a signature of at most six accidentals. */
function tonicAtSignature(fifths: number, mode: Mode): PitchClass {
  const tonic = pitchClassAtFifths(fifths + (mode === 'minor' ? 3 : 0));
  if (tonic === null) throw new RangeError(`no key has ${fifths} fifths`);
  return tonic;
}

/** The pitch class at a place on the line of fifths, or null beyond double accidentals. */
export function pitchClassAtFifths(fifths: number): PitchClass | null {
  const letters = ['F', 'C', 'G', 'D', 'A', 'E', 'B'] as const;
  const place = fifths + 1;
  const alter = Math.floor(place / 7);
  if (alter < -2 || alter > 2) return null;
  return { letter: letters[mod(place, 7)]!, alter: alter as PitchClass['alter'] };
}

/** The ascending interval between two tonics, in 0 to 6 steps; one for the whole phrase (P5). */
export function keyInterval(from: Key, to: Key): Interval {
  return classInterval(from.tonic, to.tonic);
}

/**
 * The twelve keys of a mode, one for each semitone above the source's tonic: first the source as it
 * is named, then the others named by P5.
 */
export function twelveKeys(source: Key): readonly Key[] {
  const others = Array.from({ length: 11 }, (_, n) => {
    // Seven fifths make a semitone, and twelve the same key again.
    const tonic = pitchClassAtFifths(mod(fifthsOf(source.tonic) + 7 * (n + 1), 12));
    if (tonic === null) throw new RangeError('C to E# lie within double accidentals');
    return settleKey({ ...source, tonic }, source);
  });
  return [source, ...others];
}

/** A key moved by an interval, settled by P5. */
export function transposeKey(k: Key, i: Interval): Key | null {
  const tonic = transposeClass(k.tonic, i);
  return tonic === null ? null : settleKey({ tonic, mode: k.mode }, k);
}

import type { Key } from '../../../core/phrase/types';
import { type Interval, transposeClass } from '../../../core/theory/interval';
import { pitchClassAtFifths, settleKey, signatureFifths } from '../../../core/theory/key';
import { child, childNumber, childText, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import type { PlacedElement } from './raw';

/** How far the tonic of a mode lies from the major tonic of its signature, in fifths. */
const MODE_FIFTHS: ReadonlyMap<string, { readonly fifths: number; readonly mode: Key['mode'] }> =
  new Map([
    ['major', { fifths: 0, mode: 'major' }],
    ['ionian', { fifths: 0, mode: 'major' }],
    ['mixolydian', { fifths: 1, mode: 'major' }],
    ['lydian', { fifths: -1, mode: 'major' }],
    ['minor', { fifths: 3, mode: 'minor' }],
    ['aeolian', { fifths: 3, mode: 'minor' }],
    ['dorian', { fifths: 2, mode: 'minor' }],
    ['phrygian', { fifths: 4, mode: 'minor' }],
    ['locrian', { fifths: 5, mode: 'minor' }],
  ]);

const PLAIN_MODES = ['major', 'minor', 'ionian', 'aeolian'];

/**
 * The sounding key of a `<key>` or `<numeral-key>`: the tonic of the mode on its signature, moved
 * by the transposition; church modes become major or minor on their own tonic. Null without
 * readable fifths.
 */
export function readKeyElement(
  e: XmlElement,
  sounding: Interval,
  prefix: '' | 'numeral-' = '',
): Key | null {
  const fifths = childNumber(e, `${prefix}fifths`);
  if (fifths === null || !Number.isInteger(fifths)) return null;
  const text = childText(e, `${prefix}mode`) ?? 'major';
  // numeral-mode also names the kinds of minor: 'natural minor', 'melodic minor', 'harmonic minor'.
  const mode =
    MODE_FIFTHS.get(text.endsWith('minor') ? 'minor' : text) ?? MODE_FIFTHS.get('major')!;
  const written = pitchClassAtFifths(fifths + mode.fifths);
  const tonic = written === null ? null : transposeClass(written, sounding);
  if (tonic === null) return null;
  const key: Key = { tonic, mode: mode.mode };
  // No signature has more than seven accidentals.
  return Math.abs(signatureFifths(key)) <= 7 ? key : settleKey(key, key);
}

const C_MAJOR: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** The first key of a part; later ones are logged, a phrase has one. */
export function readKey(keys: readonly PlacedElement[], log: ImportLog): Key {
  const first = keys[0];
  if (first === undefined) {
    log.add('assumed', 'the file names no key: C major');
    return C_MAJOR;
  }
  const found = { line: first.element.line };
  const key = readKeyElement(first.element, first.sounding);
  if (key === null) {
    log.add('dropped', 'a key signature of single accidentals is not kept: C major', found);
  } else {
    const mode = childText(first.element, 'mode');
    if (mode === null || mode === 'none') {
      log.add('assumed', 'the key signature has no mode: major', found);
    } else if (!PLAIN_MODES.includes(mode)) {
      log.add('approximated', `the mode '${mode.slice(0, 20)}' is kept as ${key.mode}`, found);
    }
    const written = childNumber(first.element, 'fifths') ?? 0;
    if (Math.abs(written) > 7 && first.sounding.semitones === 0) {
      log.add('approximated', 'a key of more than seven accidentals is respelled', found);
    }
  }
  for (const k of keys.slice(1)) {
    const changed = readKeyElement(k.element, k.sounding);
    if (changed === null || key === null) continue;
    if (signatureFifths(changed) !== signatureFifths(key) || changed.mode !== key.mode) {
      if (child(k.element, 'fifths') === undefined) continue;
      log.add('dropped', 'a change of key is not kept; the first key holds', {
        line: k.element.line,
      });
    }
  }
  return key ?? C_MAJOR;
}

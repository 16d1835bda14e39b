import { CURL_SEMITONES } from '../../../core/phrase/types';
import { fail, ok, type Result } from '../../../core/result';
import { type Interval, transpose } from '../../../core/theory/interval';
import {
  LETTERS,
  type Letter,
  midiOf,
  mod,
  type Pitch,
  pitchAt,
  pitchOfMidi,
  staffStep,
} from '../../../core/theory/pitch';
import { childNumber, childText, problemAt, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';

/** The letter of a `<step>`; null where it is none. */
export function readLetter(text: string | null): Letter | null {
  return LETTERS.find((l) => l === text) ?? null;
}

/**
 * The pitch written with `<step>`, `<alter>` and `<octave>` or their name with a prefix
 * (`tuning-step` …), moved by `<transpose>` to what sounds (P3). A quarter tone is left to
 * `isQuarterUp`; other fractions go to the nearest semitone, names beyond a double accidental are respelled; both are logged.
 */
export function readPitch(
  e: XmlElement,
  sounding: Interval,
  log: ImportLog,
  prefix: '' | 'tuning-' | 'display-' = '',
): Result<Pitch> {
  const letter = readLetter(childText(e, `${prefix}step`));
  const octave = childNumber(e, `${prefix}octave`);
  const alterText = childText(e, `${prefix}alter`);
  const alter = alterText === null ? 0 : childNumber(e, `${prefix}alter`);
  if (letter === null || octave === null || !Number.isInteger(octave) || Math.abs(octave) > 12) {
    return fail(
      problemAt(
        e,
        `a pitch needs a step from A to G and an octave from 0 to 9`,
        'Correct the note, or export the file again.',
      ),
    );
  }
  if (alter === null || Math.abs(alter) > 12) {
    return fail(
      problemAt(e, `'${alterText}' is no alteration in semitones`, 'Write a number such as -1.'),
    );
  }
  const quarter = prefix === '' && isQuarterUp(e);
  if (!Number.isInteger(alter) && !quarter) {
    log.add('approximated', 'microtones are read as the nearest semitone', { line: e.line });
  }
  const natural: Pitch = { letter, alter: 0, octave };
  const midi = midiOf(natural) + (quarter ? Math.floor(alter) : Math.round(alter));
  const written = spellNear(staffStep(natural), midi);
  if (written.letter !== letter) {
    log.add('approximated', 'a triple accidental is respelled', { line: e.line });
  }
  const moved = transpose(written, sounding);
  if (moved !== null) return ok(moved);
  log.add('approximated', 'a transposed note that would need a triple accidental is respelled', {
    line: e.line,
  });
  return ok(spellNear(staffStep(written) + sounding.steps, midi + sounding.semitones));
}

/** Whether `<alter>` names a quarter tone; `readPitch` then gives the semitone below it. */
export function isQuarterUp(e: XmlElement): boolean {
  const alter = childNumber(e, 'alter') ?? 0;
  return alter - Math.floor(alter) === CURL_SEMITONES;
}

/** The spelling of a sounding pitch nearest to a staff step that needs at most a double accidental. */
export function spellNear(step: number, midi: number): Pitch {
  for (const off of [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7]) {
    const p = pitchAt(step + off, midi);
    if (p !== null) return p;
  }
  // More than an octave off its letter: the file's spelling says nothing.
  return pitchOfMidi(midi, 'sharp');
}

/** Steps that usually go with a number of semitones, for a `<transpose>` without `<diatonic>`. */
const USUAL_STEPS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];

/**
 * The interval from written to sounding pitch that `<transpose>` states: diatonic, chromatic and
 * octave-change together. Null when it has no readable `<chromatic>`.
 */
export function readTranspose(e: XmlElement, log: ImportLog): Interval | null {
  const chromatic = childNumber(e, 'chromatic');
  if (chromatic === null || Math.abs(chromatic) > 127) return null;
  const whole = Math.round(chromatic);
  if (whole !== chromatic) {
    log.add('approximated', 'a transposition by quarter tones is read as whole semitones', {
      line: e.line,
    });
  }
  const octaves = Math.round(childNumber(e, 'octave-change') ?? 0);
  const diatonic = childNumber(e, 'diatonic');
  const usual = 7 * Math.floor(whole / 12) + USUAL_STEPS[mod(whole, 12)]!;
  const steps = diatonic !== null && Number.isInteger(diatonic) ? diatonic : usual;
  return {
    steps: steps + 7 * Math.max(-9, Math.min(9, octaves)),
    semitones: whole + 12 * Math.max(-9, Math.min(9, octaves)),
  };
}

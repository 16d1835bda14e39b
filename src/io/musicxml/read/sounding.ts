import { fretFor, HARMONIC_NODES, openMidi, placeMidi } from '../../../core/phrase/instrument';
import type { Harmonic, Instrument, Place } from '../../../core/phrase/types';
import { midiOf, type Pitch, staffStep } from '../../../core/theory/pitch';
import type { Found, ImportLog } from './log';
import type { HarmonicMark, NoteMarks } from './mark-types';
import { spellNear } from './pitch';

/** Pitch and place of a note as the model has them; null place where the file gives none that fits. */
export interface Sounding {
  readonly pitch: Pitch;
  readonly place: Place | null;
  readonly harmonic: Harmonic | null;
}

/** The string and fret a file gives, where the instrument has them. */
export function writtenPlace(marks: NoteMarks, i: Instrument): Place | null {
  const { string, fret } = marks;
  if (string === null || fret === null || !isString(string, i)) return null;
  return Number.isInteger(fret) && fret >= 0 && fret <= i.frets - i.capo ? { string, fret } : null;
}

function isString(n: number | null, i: Instrument): n is number {
  return n !== null && Number.isInteger(n) && n >= 1 && n <= i.tuning.length;
}

/**
 * Settles pitch, place and harmonic of a note with each other: the pitch goes before the fret, a
 * natural harmonic has the pitch that is heard over its node (M11).
 */
export function settleSounding(
  pitch: Pitch,
  marks: NoteMarks,
  i: Instrument,
  found: Found,
  log: ImportLog,
): Sounding {
  if (marks.harmonic !== null) {
    const settled =
      marks.harmonic.kind === 'natural'
        ? natural(pitch, marks, marks.harmonic, i, found, log)
        : stopped(pitch, marks, marks.harmonic, i);
    if (settled !== null) return settled;
    log.add('dropped', 'a harmonic that no string can sound there is kept as a plain note', found);
  }
  return { pitch, place: plainPlace(pitch, marks, i, found, log), harmonic: null };
}

function plainPlace(
  pitch: Pitch,
  marks: NoteMarks,
  i: Instrument,
  found: Found,
  log: ImportLog,
): Place | null {
  const midi = midiOf(pitch);
  const written = writtenPlace(marks, i);
  if (written !== null && placeMidi(i, written) === midi) return written;
  const said = marks.string !== null || marks.fret !== null;
  if (isString(marks.string, i)) {
    const fret = fretFor(i, marks.string, midi);
    if (fret !== null) {
      if (marks.fret !== null) {
        log.add('mended', 'a fret that does not sound the note is put right', found);
      }
      return { string: marks.string, fret };
    }
  } else if (marks.string === null && marks.fret !== null) {
    const strings = i.tuning.map((_, k) => k + 1).filter((s) => fretFor(i, s, midi) === marks.fret);
    if (strings.length > 0) return { string: strings[0]!, fret: marks.fret };
  }
  if (said) {
    log.add('mended', 'a string or fret that cannot sound the note is chosen anew', found);
  }
  return null;
}

/** A natural harmonic: over the node the file gives, else over one that sounds the pitch. */
function natural(
  pitch: Pitch,
  marks: NoteMarks,
  mark: HarmonicMark,
  i: Instrument,
  found: Found,
  log: ImportLog,
): Sounding | null {
  const place = writtenPlace(marks, i) ?? nodeOf(pitch, marks.string, mark, i);
  const above = place === null ? undefined : HARMONIC_NODES[place.fret];
  if (place === null || above === undefined) return null;
  const heard = openMidi(i, place.string) + above;
  const off = heard - midiOf(pitch);
  const open = openMidi(i, place.string);
  // Heard, touched, or of the open string: every one of them is written for a harmonic.
  if (![heard, open + place.fret, open].includes(midiOf(pitch))) {
    log.add('mended', 'a natural harmonic sounds what its node gives, not what is written', found);
  }
  const same = off % 12 === 0 ? { ...pitch, octave: pitch.octave + off / 12 } : null;
  return {
    pitch: same ?? spellNear(staffStep(pitch) + Math.round((off * 7) / 12), heard),
    place,
    harmonic: { kind: 'natural', above },
  };
}

/** The lowest node that gives the pitch as it is written: heard, touched, or of the open string. */
function nodeOf(
  pitch: Pitch,
  string: number | null,
  mark: HarmonicMark,
  i: Instrument,
): Place | null {
  const midi = midiOf(pitch);
  const strings = isString(string, i) ? [string] : i.tuning.map((_, k) => k + 1);
  for (const fret of [12, 7, 5, 19, 24]) {
    if (fret > i.frets - i.capo) continue;
    for (const s of strings) {
      const open = openMidi(i, s);
      const sounds =
        mark.written === 'base'
          ? open
          : open + (mark.written === 'touching' ? fret : HARMONIC_NODES[fret]!);
      if (sounds === midi) return { string: s, fret };
    }
  }
  return null;
}

/** An artificial or pinch harmonic has the pitch of its fretted note. */
function stopped(
  pitch: Pitch,
  marks: NoteMarks,
  mark: HarmonicMark,
  i: Instrument,
): Sounding | null {
  if (mark.kind === 'natural') return null;
  const written = writtenPlace(marks, i);
  const above =
    written !== null && mark.written === 'sounding' ? midiOf(pitch) - placeMidi(i, written) : 12;
  if (above !== 12 && above !== 19 && above !== 24) return null;
  if (mark.written === 'touching') return null;
  const fretted =
    mark.written === 'sounding'
      ? spellNear(staffStep(pitch) - (above === 19 ? 11 : (above * 7) / 12), midiOf(pitch) - above)
      : pitch;
  const fits = written !== null && placeMidi(i, written) === midiOf(fretted);
  const fret = isString(marks.string, i) ? fretFor(i, marks.string, midiOf(fretted)) : null;
  const place = fits ? written : fret === null ? null : { string: marks.string!, fret };
  return { pitch: fretted, place, harmonic: { kind: mark.kind, above } };
}

/**
 * Whole octaves that nearly all pitches lie above what their strings and frets sound: a part that
 * was written an octave up without saying so. 0 where pitches and frets agree or are mixed.
 */
export function octavesAboveFrets(
  notes: readonly { readonly pitch: Pitch | null; readonly marks: NoteMarks }[],
  i: Instrument,
): number {
  const counts = new Map<number, number>();
  let all = 0;
  for (const { pitch, marks } of notes) {
    const place = writtenPlace(marks, i);
    if (pitch === null || place === null || marks.harmonic !== null) continue;
    const off = midiOf(pitch) - placeMidi(i, place);
    counts.set(off, (counts.get(off) ?? 0) + 1);
    all++;
  }
  for (const [off, n] of counts)
    if (off % 12 === 0 && off !== 0 && n * 5 >= all * 4) return off / 12;
  return 0;
}

import { fretFor } from '../../core/phrase/instrument';
import { problemPlace } from '../../core/phrase/time-words';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { formatPitch, pitchOfMidi } from '../../core/theory/pitch';
import { ImportLog } from '../musicxml/read/log';
import { someInstrumentHolds } from '../musicxml/read/suit';
import { choiceThatReads, type ScoreChoice } from '../musicxml/read/ways-in';
import { barsOf } from './bars';
import { type PartNote, partsOf, type SongPart } from './parts';
import type { Song } from './song';

/** Middle C: where the two staves of a keyboard part (*common practice*) and its two hands usually meet. */
const MIDDLE_C = 60;

/** The notes of a part in another octave. */
export function inOctave(part: SongPart, octaves: number): readonly PartNote[] {
  if (octaves === 0) return part.notes;
  // In another octave nothing is on the string that sent it.
  return part.notes.map((n) => ({ ...n, midi: n.midi + 12 * octaves, string: null }));
}

const STAVES = 'In a MIDI file staff 1 is what lies from middle C up, and staff 2 what is below.';

/**
 * A part with what lies on one of the two staves of a keyboard: a MIDI file has pitches and no staves.
 * @param staff 1 for what lies from middle C up, 2 for what is below; null for both.
 */
export function onStaff(part: SongPart, staff: number | null, log: ImportLog): Result<SongPart> {
  if (staff === null) return ok(part);
  const side = staff === 1 ? 'from middle C up' : 'below middle C';
  const notes = part.notes.filter((n) => n.midi >= MIDDLE_C === (staff === 1));
  if (staff > 2 || notes.length === 0) {
    const message = staff > 2 ? `there is no staff ${staff}` : `the part has no note ${side}`;
    return fail({
      message,
      fix: STAVES,
    });
  }
  const left = part.notes.length - notes.length;
  if (left > 0) {
    const others =
      left === 1 ? '1 note on the other side is' : `${left} notes on the other side are`;
    log.add('dropped', `only what lies ${side} is read: ${others} not`);
  }
  return ok({ ...part, notes });
}

/** Other parts that are tried for music that no instrument can play as it is. */
const MOST_PARTS = 6;

/**
 * What lies on no instrument, with the octave, staff or part that does where there is one; null where
 * all of it can be played. The pitches alone tell it, so that nobody waits for what is refused.
 */
export function refuseOutside(song: Song, part: SongPart, chosen: ScoreChoice): Problem | null {
  const octave = chosen.octave ?? 0;
  if (part.tuned || holds(part, octave)) return null;
  const parts = partsOf(song);
  const before = parts[(chosen.part ?? 1) - 1] ?? part;
  const fix = choiceThatReads(
    chosen,
    parts.slice(0, MOST_PARTS).flatMap((p, i) => (p === before ? [] : [i + 1])),
    before.stringed ? [] : [1, 2],
    (c) => {
      const choice = { ...chosen, ...c };
      const other = parts[(choice.part ?? 1) - 1] ?? part;
      const here = onStaff(other, choice.staff ?? null, new ImportLog());
      return here.ok && (other.tuned || holds(here.value, choice.octave ?? 0));
    },
  );
  const outside = inOctave(part, octave).filter((n) => !onGuitar(part, n.midi));
  const first = outside.reduce((a, b) => (b.at < a.at ? b : a), outside[0] ?? part.notes[0]!);
  const others = outside.length - 1;
  const more = others < 1 ? '' : ` and ${others} more ${others === 1 ? 'note' : 'notes'}`;
  const { instrument } = part;
  return {
    message: `${formatPitch(pitchOfMidi(first.midi, 'sharp'))}${more} cannot be played on '${instrument.name}', nor all of the part on seven strings or a bass`,
    fix: fix?.includes('staff')
      ? `${fix} ${STAVES}`
      : (fix ?? 'Move the notes outside into the range of the instrument, or choose another file.'),
    ...placeOf(song, first.at),
  };
}

function holds(part: SongPart, octave: number): boolean {
  return someInstrumentHolds(
    part.instrument,
    inOctave(part, octave).map((n) => n.midi),
  );
}

function onGuitar({ instrument }: SongPart, midi: number): boolean {
  const most = { ...instrument, frets: Math.max(instrument.frets, 24) };
  return instrument.tuning.some((_, k) => fretFor(most, k + 1, midi) !== null);
}

/** Bar and beat of a moment, to the nearest 16th before it. */
function placeOf(song: Song, at: number) {
  const bars = barsOf(song, at + 1, false, new ImportLog());
  const sixteenth = TICKS_PER_QUARTER / 4;
  return bars.ok ? problemPlace(bars.value, Math.floor(at / sixteenth) * sixteenth) : {};
}

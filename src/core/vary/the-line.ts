import { movePhraseOn } from '../move/move';
import type { HandWay } from '../move/request';
import { openMidi } from '../phrase/instrument';
import type { Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { heardPitch, notesOf } from '../phrase/walk';
import { degreeSign } from '../theory/degree';
import { midiOf, mod, type Pitch } from '../theory/pitch';
import type { Draft, Offer } from './draft';
import { degreeIn, pitchesOf } from './harmony';
import { degreeOfTone, type Work } from './line';
import { withLine, withNote } from './notes';

/** The whole phrase an octave higher or lower, by the same shape or in the area of the hand. */
function octave(by: 1 | -1): (work: Work) => Offer {
  return ({ phrase }) => {
    const drafts = (['shape', 'area'] as const).flatMap((hand: HandWay, i): Draft[] => {
      const moved = movePhraseOn(phrase, [{ to: { kind: 'octaves', octaves: by }, hand }]);
      if (!moved.ok || moved.value.report.unplayable.length > 0) return [];
      if (!isMovedBy(phrase, moved.value.phrase, 12 * by)) return [];
      const where = moved.value.report.hand === 'shape' ? 'in the same shape' : 'under the hand';
      const lost = moved.value.report.notes.some((n) => n.adaptations.some((a) => a.fallback));
      return [
        {
          kind: 'as it lies',
          phrase: moved.value.phrase,
          worth: 2 - i - (lost ? 1 : 0),
          reason: `an octave ${by > 0 ? 'higher' : 'lower'}, ${where}`,
        },
      ];
    });
    const side = by > 0 ? 'higher' : 'lower';
    return drafts.length === 0 ? `there is no room for it an octave ${side}` : drafts;
  };
}

/** Whether everything is heard so many semitones away: no note was left where it was or mended. */
function isMovedBy(before: Phrase, after: Phrase, semitones: number): boolean {
  const is = new Map(notesOf(after).map(({ note }) => [note.id, note]));
  return notesOf(before).every(({ note }) => {
    const now = is.get(note.id);
    if (note.kind === 'dead' || now === undefined || now.kind === 'dead')
      return note.kind === 'dead';
    return midiOf(heardPitch(now)) - midiOf(heardPitch(note)) === semitones;
  });
}

export const octaveUp = octave(1);
export const octaveDown = octave(-1);

/** How finished an ending sounds: R most, then 5 and 3 (common practice). */
const REST: Readonly<Record<number, number>> = { 1: 3, 5: 2.5, 3: 2.5, 7: 1.5, 6: 1.5, 2: 1, 4: 1 };

/** The last note goes to another tone of its chord near by. */
export function turnEnding(work: Work): Offer {
  const last = work.line.at(-1);
  const { events } = work.phrase.voices[0];
  if (last === undefined || last.index !== events.length - 1) return 'it does not end on a pitch';
  if (last.event.notes.length > 1) return 'it ends on several notes at once';
  const here = degreeOfTone(last);
  const { harmony } = last;
  const tones = pitchesOf(harmony.root, harmony.tones, last.midi - 9, last.midi + 9).filter(
    (p) => mod(midiOf(p) - last.midi, 12) !== 0,
  );
  const before = work.line.at(-2);
  const drafts = tones.map((pitch): Draft => {
    const far = Math.abs(midiOf(pitch) - (before?.midi ?? last.midi));
    const d = degreeIn(harmony, pitch);
    const wide = Math.max(0, far - 5) * 0.3 + (far === 0 ? 0.8 : 0);
    return {
      kind: 'notes',
      free: new Set([last.note.id]),
      phrase: withLine(work.phrase, [
        ...events.slice(0, -1),
        withNote(last.event, ending(work, last.note, pitch)),
      ] satisfies PhraseEvent[]),
      worth: (REST[d.number] ?? 1) - wide,
      reason: `ends on ${degreeSign(d)} instead of ${degreeSign(here)}`,
    };
  });
  return drafts.length === 0 ? 'its chord has no other tone near by' : drafts;
}

/** Plucked, with vibrato where it had it: what led into the old ending leads there no more. */
function ending(work: Work, n: PitchedNote, pitch: Pitch): PitchedNote {
  const fret = midiOf(pitch) - openMidi(work.phrase.instrument, n.string);
  const { id, string } = n;
  const vibrato = n.vibrato === undefined ? {} : { vibrato: n.vibrato };
  return { kind: 'pitched', id, pitch, string, fret, ...vibrato };
}

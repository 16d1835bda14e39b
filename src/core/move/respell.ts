import { type Pitch, pitchOfMidi } from '../theory/pitch';
import type { NoteReading } from '../understand/reading';
import { nameOfPitch } from './naming';
import { adapted, type NotePlan } from './plan';
import type { Adaptation } from './request';

/** One note that could not be written: which chord of the target has to be respelled. */
export class NeedsRespelling {
  constructor(readonly laneIndex: number) {}
}

/**
 * What to do with a pitch that cannot be written: ask for the chord's respelling, or, where that was
 * done or there is no chord, take the plain name and report it (P5).
 */
export function unwritable(
  midi: number,
  like: Pitch,
  laneIndex: number,
  tried: ReadonlySet<number>,
  adaptations: Adaptation[],
): Pitch | NeedsRespelling {
  if (laneIndex >= 0 && !tried.has(laneIndex)) return new NeedsRespelling(laneIndex);
  const simple = pitchOfMidi(midi, like.alter < 0 ? 'flat' : 'sharp');
  adaptations.push(
    adapted('P5', `respelled ${nameOfPitch(simple)} to avoid more than a double accidental`),
  );
  return simple;
}

/** Applies one change of pitch to start, target and trill of a note. */
export function assemble(
  base: Pick<NotePlan, 'reading' | 'chord'>,
  segment: number | null,
  note: NoteReading['note'],
  adaptations: readonly Adaptation[],
  move: (p: Pitch) => Pitch | NeedsRespelling,
): NotePlan | NeedsRespelling {
  const start = move(note.pitch);
  if (start instanceof NeedsRespelling) return start;
  let target: Pitch | null = null;
  if (base.reading.heard !== base.reading.start) {
    const moved = move(base.reading.heard.pitch);
    if (moved instanceof NeedsRespelling) return moved;
    target = moved;
  }
  let upper: Pitch | null = null;
  if (note.trill !== undefined) {
    const moved = move(note.trill.upper);
    if (moved instanceof NeedsRespelling) return moved;
    upper = moved;
  }
  // Written out, as in `joined`: a solo weighs hundreds of moved phrases before it has one played.
  const { reading, chord } = base;
  return { reading, chord, segment, start, target, upper, adaptations };
}

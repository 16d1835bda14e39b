import { chosenEvents, chosenNotes } from '../../../core/edit/select';
import type { EditState } from '../../../core/edit/state';
import { barSpans, beatTicks, meterTicks, positionOf } from '../../../core/phrase/time';
import type { Bend, Phrase, PhraseEvent, PitchedNote } from '../../../core/phrase/types';
import { bendSemitones, endOf } from '../../../core/phrase/walk';
import { formatChord } from '../../../core/theory/chord';
import { degreeOf } from '../../../core/theory/degree';
import { midiOf } from '../../../core/theory/pitch';
import { spellAt } from '../../../core/understand/spell';
import { analysisOf } from '../../score/analysis';
import { barName, beatName, chordName, degreeName } from '../../shared/words';

/** A note that is bent, in its event. */
export interface BentNote {
  readonly note: PitchedNote & { readonly bend: Bend };
  readonly event: PhraseEvent;
}

/**
 * The bent notes that are drawn: those of the chosen block, else all of the chosen moment, so that
 * both strings of a double stop are in sight wherever the cursor stands in it.
 */
export function bentNotes(s: EditState): readonly BentNote[] {
  const all =
    s.selection.corner === null
      ? chosenEvents(s).flatMap(({ event }) => event.notes.map((note) => ({ note, event })))
      : chosenNotes(s);
  return all.flatMap(({ note, event }) =>
    note.kind === 'pitched' && note.bend !== undefined
      ? [{ note: { ...note, bend: note.bend }, event }]
      : [],
  );
}

/** What a bent note's heights are called. */
export interface HeightNames {
  /** Degrees by semitones from the fretted pitch: `♭7`, `7`, `R`. */
  readonly names: readonly string[];
  /** What they count from: `A7`, `the key`. */
  readonly over: string;
}

/** The degrees a string rises through when it is bent, over the note's own chord (D1, D2, D5). */
export function heightNames(p: Phrase, { note, event }: BentNote, most: number): HeightNames {
  const chord = analysisOf(p).byId.get(note.id)?.owner?.chord ?? null;
  const root = chord === null ? p.key.tonic : chord.root;
  const width = bendSemitones(note);
  const names = Array.from({ length: most + 1 }, (_, semitones) => {
    const { bend, pitch } = note;
    if (semitones === 0) return degreeName(degreeOf(root, pitch));
    const named = semitones === width && bend.shape !== 'curl' ? bend.target : null;
    return degreeName(degreeOf(root, named ?? spellAt(p, event.onset, midiOf(pitch) + semitones)));
  });
  return { names, over: chord === null ? 'the key' : chordName(formatChord(chord)) };
}

/** A beat inside a note. */
export interface BeatMark {
  /** Percent of the note. */
  readonly at: number;
  readonly text: string;
}

/** Where the note begins and the beats inside it; the first beat of a bar is called by the bar. */
export function beatMarks(p: Phrase, event: PhraseEvent): readonly BeatMark[] {
  const end = endOf(event);
  const inside = barSpans(p).flatMap(({ number, bar, start, end: barEnd }) => {
    const beat = beatTicks(bar.meter);
    // The beats of a pickup count from its end (T2).
    const first = number === 0 ? barEnd - meterTicks(bar.meter) : start;
    const onsets: number[] = [];
    for (let t = first; t < barEnd; t += beat) {
      if (t > event.onset && t >= start && t < end) onsets.push(t);
    }
    return onsets.map((t): BeatMark => {
      const text = t === start ? barName(number) : String(Math.round((t - first) / beat) + 1);
      return { at: (100 * (t - event.onset)) / event.duration, text };
    });
  });
  const { beat } = positionOf(p, event.onset);
  return [{ at: 0, text: beatName(beat) }, ...inside];
}

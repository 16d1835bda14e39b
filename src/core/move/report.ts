import { placeWords } from '../phrase/time-words';
import type { NoteId, Phrase } from '../phrase/types';
import { type Degree, sameDegree } from '../theory/degree';
import { midiOf, mod } from '../theory/pitch';
import { type Analysis, analyse } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import type { Fit } from './fit';
import { newJumps } from './jumps';
import { topLine } from './octave';
import { adapted, heardOf, type MovePlan, type NotePlan } from './plan';
import type {
  Adaptation,
  MoveReport,
  NoteReport,
  NoteState,
  SegmentReport,
  Suggestion,
  Way,
} from './request';

/** The state of a note as the report shows it. */
export function stateOf(r: NoteReading): NoteState {
  const base: NoteState = {
    pitch: r.start.pitch,
    chordDegree: r.start.chordDegree,
    keyDegree: r.start.keyDegree,
    string: r.note.string,
    fret: r.note.fret,
  };
  if (r.heard === r.start) return base;
  return { ...base, target: { pitch: r.heard.pitch, chordDegree: r.heard.chordDegree } };
}

/** Whether two states of a note have the same degrees over their chords. */
export function sameReading(a: NoteState, b: NoteState): boolean {
  const same = (x: Degree | null, y: Degree | null) =>
    x === null || y === null ? x === y : sameDegree(x, y);
  return (
    same(a.chordDegree, b.chordDegree) &&
    same(a.target?.chordDegree ?? null, b.target?.chordDegree ?? null)
  );
}

export interface ReportParts {
  readonly before: Analysis;
  readonly result: Phrase;
  readonly plan: MovePlan;
  readonly fit: Fit;
  readonly way: Way;
  /** The original at the beats it has now. */
  readonly source: Phrase;
  readonly segments: readonly SegmentReport[];
  readonly suggestions: readonly Suggestion[];
  readonly extra: ReadonlyMap<NoteId, readonly Adaptation[]>;
}

/** Puts the report together: a line for every note with pitch, nothing dropped silently (M13). */
export function makeReport(parts: ReportParts): MoveReport {
  const { before, result, plan, fit } = parts;
  const after = analyse(result);
  const repeated = repeatedNotes(before, after);
  const turned = turnedContour(plan);
  const jumps = newJumps(parts.source, result);
  const notes = before.readings.map((was): NoteReport => {
    const id = was.note.id;
    const is = after.byId.get(id);
    if (is === undefined) throw new RangeError(`the move lost note ${id}`);
    return {
      id,
      onset: is.at.onset,
      before: stateOf(was),
      after: stateOf(is),
      adaptations: [
        ...plannedFor(plan.byId.get(id), is),
        ...fit.placed.mends.of(id),
        ...(fit.dropped.get(id) ?? []),
        ...(parts.extra.get(id) ?? []),
        ...(repeated.get(id) ?? []),
        ...(turned.get(id) ?? []),
        ...(jumps.get(id) ?? []),
      ],
    };
  });
  return {
    way: parts.way,
    hand: fit.hand,
    segments: parts.segments,
    notes,
    general: [...plan.general, ...fit.general, ...fit.placed.mends.general],
    suggestions: parts.suggestions,
    obstacles: fit.obstacles,
    unplayable: fit.placed.broken.map((v) => {
      return `${placeWords(result, v.onset)}, string ${v.string}: ${v.message}`;
    }),
  };
}

/** What was planned for a note; of a bend's start only where the bend does start there (M10). */
function plannedFor(n: NotePlan | undefined, is: NoteReading): readonly Adaptation[] {
  if (n === undefined) return [];
  // An octave that the hand chose afterwards changes nothing of what is said.
  const elsewhere = mod(midiOf(n.start) - midiOf(is.start.pitch), 12) !== 0;
  return n.adaptations.filter((a) => a.start !== true || !elsewhere);
}

/** M9: two different notes of one onset, or of two in a row, that land on one pitch. */
function repeatedNotes(before: Analysis, after: Analysis): Map<NoteId, Adaptation[]> {
  const found = new Map<NoteId, Adaptation[]>();
  const heard = (r: NoteReading) => midiOf(r.heard.pitch);
  for (const [i, b] of before.readings.entries()) {
    const near = notesJustBefore(before.readings, i);
    const nb = after.byId.get(b.note.id);
    // Where one of them was this note already, nothing repeats that did not.
    if (nb === undefined || near.some((a) => heard(a) === heard(b))) continue;
    const same = near.find((a) => {
      const na = after.byId.get(a.note.id);
      return na !== undefined && heard(na) === heard(nb);
    });
    if (same === undefined) continue;
    const where =
      same.at.eventIndex === b.at.eventIndex
        ? 'its double stop is now a unison'
        : 'it now repeats the note before';
    found.set(b.note.id, [adapted('M9', `repeated note: ${where}`, false)]);
  }
  return found;
}

/** The notes of the event before, and those of its own that are listed before it, the nearest first. */
function notesJustBefore(list: readonly NoteReading[], i: number): readonly NoteReading[] {
  const { voice, eventIndex } = list[i]!.at;
  let from = i;
  while (
    from > 0 &&
    list[from - 1]!.at.voice === voice &&
    eventIndex - list[from - 1]!.at.eventIndex <= 1
  )
    from--;
  return list.slice(from, i).reverse();
}

/** M13: where the line inside a segment turns otherwise than it did. */
function turnedContour(plan: MovePlan): Map<NoteId, Adaptation[]> {
  const found = new Map<NoteId, Adaptation[]>();
  const tops = topLine(plan);
  for (let i = 1; i < tops.length; i++) {
    const left = tops[i - 1]!;
    const right = tops[i]!;
    if (left.segment !== right.segment) continue;
    const was = Math.sign(midiOf(right.reading.heard.pitch) - midiOf(left.reading.heard.pitch));
    const is = Math.sign(midiOf(heardOf(right)) - midiOf(heardOf(left)));
    if (was === is || is === 0) continue;
    found.set(right.reading.note.id, [
      adapted('M13', 'the line turns the other way here than in the original', false),
    ]);
  }
  return found;
}

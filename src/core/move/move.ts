import type { NoteId, Phrase, PitchedNote } from '../phrase/types';
import { heardPitch, mapNotes, notesOf } from '../phrase/walk';
import { fail, ok, type Problem, type Result } from '../result';
import { techniqueOf } from '../technique/table';
import { without as leave } from '../technique/value';
import { type Analysis, analyse } from '../understand/analyse';
import { type Fit, fitHand, type NoPlace } from './fit';
import { handTask } from './hand-task';
import { nameOf } from './lane';
import { Mends } from './mend';
import { inShort } from './obstacles';
import { nameOf as nameOfSegment } from './octave-words';
import { adapted, type NotePlan } from './plan';
import { makeReport, sameReading, stateOf } from './report';
import type { Adaptation, Moved, MoveRequest, Without } from './request';
import { settle } from './settle';
import { firstStage, nextStage, type Stage } from './stage';

/**
 * Moves a phrase to a key, a chord, a lane of chords, by scale steps, by octaves or to another beat,
 * with what each note is kept as the way says (M1 to M13). Pure: the given phrase is untouched, note
 * ids are kept, and the report has a line for every note with pitch.
 * @returns The moved phrase and its report; or why it cannot be: a way that does not go with the
 *   destination, a lane of another length, notes that lie on no instrument in any octave.
 */
export function movePhrase(p: Phrase, request: MoveRequest): Result<Moved> {
  return movePhraseOn(p, [request]);
}

/**
 * Moves joined: one after the other, with nothing kept of what lies between. A place on the neck is
 * sought once, for the last, from the hand of the original; numerals are those of the key that the
 * moves before have led to. The report leads from the original to the last.
 * @param requests The hand of the last that names one counts; one at least.
 * @param octaves 'kept': rather other strings or signs left out than another octave than the moves choose (M12).
 */
export function movePhraseOn(
  p: Phrase,
  requests: readonly MoveRequest[],
  octaves: 'free' | 'kept' = 'free',
): Result<Moved> {
  const without = requests.flatMap((r) => r.without ?? []);
  const first = firstStage(leaveOut(p, without));
  let stage: Stage =
    without.length === 0 ? first : { ...first, plan: sayLeftOut(p, first.plan, without) };
  for (const [i, request] of requests.entries()) {
    const next = nextStage(stage, request);
    if (!next.ok) return requests.length === 1 ? next : fail(...next.problems.map(inMove(i)));
    stage = next.value;
  }
  return place(p, octaves === 'free' ? stage : { ...stage, otherOctaves: () => [] }, requests);
}

function inMove(i: number) {
  return (x: Problem): Problem => ({ ...x, message: `move ${i + 1}: ${x.message}` });
}

function place(p: Phrase, stage: Stage, requests: readonly MoveRequest[]): Result<Moved> {
  const { source, now, plan } = stage;
  const stays = requests.every((r) => r.to.kind === 'beat');
  const hand = requests.flatMap((r) => r.hand ?? []).at(-1) ?? 'shape';
  const fit = stays
    ? asItLies(now)
    : fitHand(handTask(source, now, plan.notes), {
        hand,
        otherOctaves: stage.otherOctaves,
        asAsked: stage.asAsked,
        names: plan.segments.map(nameOfSegment),
        beyond: stage.beyond,
      });
  if (fit.kind === 'no place') return fail(noRoom(p, stage, fit));
  const settled = settle(source, fit.placed.phrase);
  const before = analyse(p);
  const extra = stays ? standingOver(before, analyse(settled.phrase)) : settled.said;
  const report = makeReport({
    before,
    source,
    plan: {
      ...plan,
      general: [...plan.general, ...stage.sayOctaves(fit.octaves), ...settled.general],
    },
    fit,
    way: wayOf(stage),
    segments: stage.segments.map((s, i) => {
      const open = i - (stage.segments.length - stage.open);
      return open < 0 ? s : { ...s, semitones: s.semitones + 12 * (fit.octaves[open] ?? 0) };
    }),
    result: settled.phrase,
    suggestions: stage.suggestions,
    extra,
  });
  return ok({ phrase: settled.phrase, report });
}

/** Another beat moves no finger. */
function asItLies(phrase: Phrase): Fit {
  const placed = { phrase, mends: new Mends(), broken: [], shifted: 0 };
  const rest = { general: [], dropped: new Map(), obstacles: [] };
  return { kind: 'placed', placed, hand: 'shape', octaves: [], ...rest };
}

/** Notes that came to stand over another chord although nothing about them changed. */
function standingOver(
  before: Analysis,
  after: Analysis,
): ReadonlyMap<NoteId, readonly Adaptation[]> {
  return new Map(
    before.readings.flatMap((was): [NoteId, readonly Adaptation[]][] => {
      const is = after.byId.get(was.note.id);
      if (is === undefined || sameReading(stateOf(was), stateOf(is))) return [];
      const over = is.owner === null ? 'no chord' : nameOf(is.owner.chord);
      return [[was.note.id, [adapted('M2', `stands over ${over} now`)]]];
    }),
  );
}

/** The way that says least of several: what they all keep together (M1). */
function wayOf({ ways }: Stage) {
  return (['tonal', 'chord', 'real'] as const).find((w) => ways.includes(w)) ?? 'hold';
}

function noRoom(p: Phrase, stage: Stage, { obstacles }: NoPlace): Problem {
  const any = stage.otherOctaves().length > 0 ? ' in any octave' : '';
  return {
    message: `the moved notes do not fit on ${p.instrument.name}${any}: ${inShort(obstacles)}`,
    fix: 'Choose another destination or octave, or an instrument with more frets.',
  };
}

/** The phrase without signs that are left out on purpose; a bend leaves what was heard. */
function leaveOut(p: Phrase, without: readonly Without[]): Phrase {
  if (without.length === 0) return p;
  return mapNotes(p, ({ note }) => {
    if (note.kind === 'dead') return note;
    let left: PitchedNote = note;
    for (const { id, technique } of without) {
      if (id !== note.id) continue;
      if (technique === 'bend') left = { ...left, pitch: heardPitch(left) };
      left = leave(left, technique);
    }
    return left;
  });
}

function sayLeftOut(p: Phrase, plan: Stage['plan'], without: readonly Without[]): Stage['plan'] {
  if (without.length === 0) return plan;
  const byId = new Map(notesOf(p).map(({ note }) => [note.id, note]));
  const had = (w: Without) => w.technique in (byId.get(w.id) ?? {});
  const notes = plan.notes.map((n): NotePlan => {
    const gone = without.filter((w) => w.id === n.reading.note.id && had(w));
    const said = gone.map((w) =>
      adapted('M12', `played without the ${techniqueOf(w.technique).word}, as was asked`),
    );
    return { ...n, adaptations: [...n.adaptations, ...said] };
  });
  return { ...plan, notes, byId: new Map(notes.map((n) => [n.reading.note.id, n])) };
}

import type { FingeringProblem } from '../neck/problem';
import type { NoteId, Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { endAt, takeNotes, withEvents } from '../phrase/voices';
import { endOf, heardPitch, mapNotes } from '../phrase/walk';
import { degreeSign, sameDegree } from '../theory/degree';
import { midiOf, type Pitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import { degreeIn, type Harmony, harmonyOf, pitchesOf } from '../vary/harmony';
import { pitchedOf, topNote } from '../vary/line';
import { nameOf, withDegree } from './names';
import { freeAround } from './place-ways';
import type { Spot } from './spots';
import type { Proposal } from './types';

/** An easier double stop or chord: another second note, one held less long, one left out. */
export function pairWays(p: Phrase, problem: FingeringProblem, spot: Spot): readonly Proposal[] {
  return [...partners(p, problem, spot), ...letGo(p, problem, spot), ...leftOut(p, problem, spot)];
}

/** The moments of the spot at which several notes with a pitch are struck together. */
function chordsAt(
  p: Phrase,
  { onset }: Spot,
): readonly { readonly event: PhraseEvent; readonly voice: 0 | 1; readonly top: PitchedNote }[] {
  return p.voices.flatMap((v, voice) => {
    const event = v.events.find((e) => e.onset === onset);
    const top = event === undefined ? null : topNote(event);
    return event === undefined || top === null || pitchedOf(event).length < 2
      ? []
      : [{ event, voice: voice === 0 ? 0 : 1, top } as const];
  });
}

function harmonyAt(p: Phrase, id: NoteId): Harmony {
  return harmonyOf(p.key, analyse(p).byId.get(id)?.owner?.chord ?? null);
}

/** Second notes lie between a minor third and a major sixth below the melody (*common practice*). */
const NEAREST = 3;
const FARTHEST = 9;

/** Of a double stop the melody stays on top; below it goes another tone of the chord. */
function partners(p: Phrase, problem: FingeringProblem, spot: Spot): readonly Proposal[] {
  return chordsAt(p, spot).flatMap(({ event, top }) => {
    const low = event.notes.find((n) => n.id !== top.id);
    if (event.notes.length !== 2 || low?.kind !== 'pitched' || low.pinned) return [];
    if (low.bend !== undefined || low.harmonic !== undefined || low.trill !== undefined) return [];
    if (low.attack !== undefined || event.graces !== undefined) return [];
    const h = harmonyAt(p, top.id);
    const melody = midiOf(top.pitch);
    const free = freeAround(p, problem, [spot.moments[0] - 1, spot.moments[1] + 1]);
    return pitchesOf(h.root, h.tones, melody - FARTHEST, melody - NEAREST)
      .filter((pitch) => midiOf(pitch) !== midiOf(low.pitch))
      .map((pitch): Proposal => {
        const sign = (of: Pitch) => degreeSign(degreeIn(h, of));
        const what = `${sign(pitch)} under ${sign(top.pitch)} instead of ${sign(low.pitch)}`;
        const fret = low.fret + midiOf(pitch) - midiOf(low.pitch);
        const phrase = mapNotes(p, ({ note }) =>
          note.id === low.id ? { ...low, pitch, fret } : note,
        );
        return { kind: 'pair', what, phrase, free };
      });
  });
}

/** What is held from before is let go where the hard moment begins. */
function letGo(
  p: Phrase,
  problem: FingeringProblem,
  { onset, moments }: Spot,
): readonly Proposal[] {
  return p.voices.flatMap((v, voice): readonly Proposal[] => {
    const held = v.events.find((e) => e.onset < onset && endOf(e) > onset);
    if (held === undefined) return [];
    const names = pitchedOf(held).map(nameOf);
    if (names.length === 0) return [];
    const phrase = withEvents(p, voice === 0 ? 0 : 1, (events) =>
      events.map((e) => (e === held ? endAt(e, onset) : e)),
    );
    const free = freeAround(p, problem, [moments[0] - 1, moments[1] + 1]);
    return [{ kind: 'pair', what: `let go of ${names.join(' and ')} here`, phrase, free }];
  });
}

/**
 * The last resort: a note less. The melody stays, and what says least goes first: a tone that sounds
 * twice, the fifth, then the others from the lowest up.
 */
function leftOut(p: Phrase, problem: FingeringProblem, spot: Spot): readonly Proposal[] {
  return chordsAt(p, spot).flatMap(({ event, voice, top }) => {
    const h = harmonyAt(p, top.id);
    const free = freeAround(p, problem, [spot.moments[0] - 1, spot.moments[1] + 1]);
    const lower = pitchedOf(event).filter((n) => n.id !== top.id && !n.pinned);
    return dispensable(lower, event, h).map((n): Proposal => {
      const phrase = takeNotes(p, voice, new Set([n.id]));
      const heard = heardPitch(n);
      const what = `leave out ${withDegree(heard, degreeIn(h, heard))}`;
      return { kind: 'fewer', what, phrase, free };
    });
  });
}

const MOST_LEFT_OUT = 3;

function dispensable(
  lower: readonly PitchedNote[],
  event: PhraseEvent,
  h: Harmony,
): readonly PitchedNote[] {
  const degreeAt = (n: PitchedNote) => degreeIn(h, heardPitch(n));
  const rank = (n: PitchedNote) => {
    const twice = pitchedOf(event).filter((x) => sameDegree(degreeAt(x), degreeAt(n))).length > 1;
    return twice ? 0 : degreeAt(n).number === 5 ? 1 : 2;
  };
  const pitch = (n: PitchedNote) => midiOf(n.pitch);
  return [...lower]
    .sort((a, b) => rank(a) - rank(b) || pitch(a) - pitch(b))
    .slice(0, MOST_LEFT_OUT);
}

import type { FingeringProblem } from '../neck/problem';
import { openMidi, playableFrets } from '../phrase/instrument';
import type { Attack, Phrase, PhraseEvent, PitchedNote, Place } from '../phrase/types';
import { endOf, mapNotes } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { isPlain, plucked } from '../vary/notes';
import { nameOf } from './names';
import { freeAround } from './place-ways';
import type { Spot } from './spots';
import type { Proposal } from './types';

/** A finger that lies down and one that hammers span so many semitones at most (*common practice*). */
const WIDEST_HAMMER = 4;
/** A slide that is heard as one way is no longer than this, in semitones. */
const WIDEST_SLIDE = 7;

/**
 * Other ways to strike a hard spot: a hammer-on, pull-off or slide where there is a stretch, a change
 * of position or a crossing before a plucked note; a pluck where one string asks for a stretch.
 */
export function strikeWays(p: Phrase, problem: FingeringProblem, spot: Spot): readonly Proposal[] {
  if (spot.parts.includes('pace')) return legatoRun(p, spot);
  const { events } = p.voices[0];
  // A change of position is heard where it is made, and can be made one note earlier or later.
  return [spot.onset, ...nextOnset(events, spot.onset)].flatMap((onset) => {
    const i = events.findIndex((e) => e.onset === onset);
    return i < 1 ? [] : [...legatoInto(p, problem, spot, i), ...pluckedAt(p, problem, spot, i)];
  });
}

function nextOnset(events: readonly PhraseEvent[], onset: number): readonly number[] {
  const next = events.find((e) => e.onset > onset);
  return next === undefined ? [] : [next.onset];
}

/** The single plain note of a moment, and the single note it follows without a gap. */
function pairAt(
  events: readonly PhraseEvent[],
  i: number,
): { readonly from: PitchedNote; readonly to: PitchedNote } | null {
  const [before, event] = [events[i - 1], events[i]];
  if (before === undefined || event === undefined || endOf(before) !== event.onset) return null;
  const [from, to] = [before.notes[0], event.notes[0]];
  if (before.notes.length !== 1 || event.notes.length !== 1) return null;
  if (from.kind !== 'pitched' || to.kind !== 'pitched') return null;
  const still =
    from.bend === undefined && from.slideOut === undefined && from.harmonic === undefined;
  return still && from.trill === undefined && isPlain({ note: to, event }) ? { from, to } : null;
}

function legatoInto(
  p: Phrase,
  problem: FingeringProblem,
  spot: Spot,
  i: number,
): readonly Proposal[] {
  const pair = pairAt(p.voices[0].events, i);
  if (pair === null) return [];
  const { from, to } = pair;
  const way = midiOf(to.pitch) - midiOf(from.pitch);
  // A slide carries the hand; where the hand stays there is nothing to carry.
  const slides = spot.parts.includes('shift') || Math.abs(way) > WIDEST_HAMMER;
  const kinds: readonly (readonly [Attack, string])[] = [
    ...(way > 0 && way <= WIDEST_HAMMER ? [['hammer-on', 'hammer on to'] as const] : []),
    ...(way < 0 && -way <= WIDEST_HAMMER ? [['pull-off', 'pull off to'] as const] : []),
    ...(slides && way !== 0 && Math.abs(way) <= WIDEST_SLIDE
      ? [['slide', 'slide to'] as const]
      : []),
  ];
  const free = freeAround(p, problem, [spot.moments[0] - 2, spot.moments[1] + 2]);
  return kinds.flatMap(([attack, words]): Proposal[] => {
    const places = onOneString(p, from, to, attack === 'slide' ? 1 : 0);
    if (places === null) return [];
    const phrase = mapNotes(p, ({ note }) => {
      if (note.id === from.id) return { ...from, ...places[0] };
      return note.id === to.id ? { ...to, ...places[1], attack } : note;
    });
    const what = `${words} ${nameOf(to)} from ${nameOf(from)} instead of plucking it`;
    return [{ kind: 'strike', what, phrase, free }];
  });
}

/** Both notes on one string, that of either; a pin keeps its string. Null where no string has both. */
function onOneString(
  { instrument }: Phrase,
  from: PitchedNote,
  to: PitchedNote,
  lowest: number,
): readonly [Place, Place] | null {
  const last = playableFrets(instrument);
  for (const string of [from.string, to.string]) {
    if (from.pinned && from.string !== string) continue;
    if (to.pinned && to.string !== string) continue;
    const frets = [from, to].map((n) => midiOf(n.pitch) - openMidi(instrument, string));
    if (frets.every((f) => f >= lowest && f <= last) && (frets[1]! > 0 || frets[1]! < frets[0]!))
      return [
        { string, fret: frets[0]! },
        { string, fret: frets[1]! },
      ];
  }
  return null;
}

const STRUCK: Partial<Record<Attack, string>> = {
  'hammer-on': 'hammering it on',
  'pull-off': 'pulling off to it',
  slide: 'sliding to it',
  'slide-plucked': 'sliding to it',
};

/** A note that is tied to its string by legato, plucked: it may lie elsewhere then. */
function pluckedAt(
  p: Phrase,
  problem: FingeringProblem,
  spot: Spot,
  i: number,
): readonly Proposal[] {
  return p.voices[0].events[i]!.notes.flatMap((to): Proposal[] => {
    if (to.kind !== 'pitched' || to.attack === undefined) return [];
    const before = STRUCK[to.attack];
    if (before === undefined) return [];
    const phrase = mapNotes(p, ({ note }) => (note.id === to.id ? plucked(to) : note));
    const free = freeAround(p, problem, [spot.moments[0] - 2, spot.moments[1] + 2]);
    const what = `pluck ${nameOf(to)} instead of ${before}`;
    return [{ kind: 'strike', what, phrase, free }];
  });
}

/** A quick run with hammer-ons and pull-offs wherever its string stays. */
function legatoRun(p: Phrase, spot: Spot): readonly Proposal[] {
  const ids = new Set(spot.noteIds.slice(1));
  const { events } = p.voices[0];
  let fewer = 0;
  const phrase = mapNotes(p, ({ note, voice, eventIndex }) => {
    const pair = voice === 0 && ids.has(note.id) ? pairAt(events, eventIndex) : null;
    if (pair === null || pair.from.string !== pair.to.string) return note;
    const way = pair.to.fret - pair.from.fret;
    if (way === 0 || Math.abs(way) > WIDEST_HAMMER) return note;
    fewer++;
    return { ...pair.to, attack: way > 0 ? 'hammer-on' : 'pull-off' };
  });
  if (fewer === 0) return [];
  const what = `hammer on and pull off where the string stays, ${fewer} ${fewer === 1 ? 'stroke' : 'strokes'} fewer`;
  return [{ kind: 'strike', what, phrase, free: null }];
}

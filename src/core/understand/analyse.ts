import type { Anchor, NoteId, Phrase, PhraseEvent, PitchedNote, Role } from '../phrase/types';
import { endOf, heardPitch, type NoteAt, notesOf } from '../phrase/walk';
import { type Degree, degree, degreeOf, sameDegree } from '../theory/degree';
import { midiOf, type Pitch } from '../theory/pitch';
import { findGoal, type GoalNote } from './goal';
import { type ChordSpan, chordSpans, ownerOf, spanAt } from './owner';
import type { NoteReading, PitchReading } from './reading';
import { inHomeScale, isPowerThird, roleOf } from './role';

/** The reading of a whole phrase; dead notes have none (M11). */
export interface Analysis {
  readonly spans: readonly ChordSpan[];
  /** In the order of `notesOf`. */
  readonly readings: readonly NoteReading[];
  readonly byId: ReadonlyMap<NoteId, NoteReading>;
}

/** A note on its way to a reading: everything but role, goal and anchor. */
interface Draft extends GoalNote {
  readonly at: NoteAt;
  readonly note: PitchedNote;
  readonly owner: ChordSpan | null;
  readonly anticipates: boolean;
}

/**
 * Reads a phrase: owner chord, degrees against chord and key, role, goal and anchor of every note
 * with pitch (D1 to D5, M5). Linear in notes but for goals, which look a quarter ahead.
 */
export function analyse(p: Phrase): Analysis {
  const spans = chordSpans(p);
  const drafts = notesOf(p).flatMap((at): Draft[] => {
    const note = at.note;
    if (note.kind === 'dead') return [];
    const events = p.voices[at.voice]?.events ?? [];
    const owner = ownerOf(note, at.event, events[at.eventIndex + 1], spans);
    const heard = heardPitch(note);
    const chord = owner.span?.chord ?? null;
    const is = chord === null ? null : degreeOf(chord.root, heard);
    const inScale = chord !== null && is !== null && inHomeScale(chord, is);
    const powerThird = chord !== null && is !== null && isPowerThird(chord, is);
    const { span, anticipates } = owner;
    return [{ at, note, owner: span, anticipates, heard, inScale, powerThird }];
  });
  const groups = p.voices.map((_, v) => groupByEvent(drafts.filter((d) => d.at.voice === v)));
  const drones = droneIds(p);
  const readings = drafts.map((d) => read(p, d, groups[d.at.voice] ?? [], spans, drones));
  return { spans, readings, byId: new Map(readings.map((r) => [r.note.id, r])) };
}

/** Drafts of one voice by event index; events without a pitched note are empty. */
function groupByEvent(drafts: readonly Draft[]): Draft[][] {
  const groups: Draft[][] = [];
  for (const d of drafts) {
    while (groups.length <= d.at.eventIndex) groups.push([]);
    groups[d.at.eventIndex]!.push(d);
  }
  return groups;
}

function read(
  p: Phrase,
  d: Draft,
  groups: readonly (readonly Draft[])[],
  spans: readonly ChordSpan[],
  drones: ReadonlySet<NoteId>,
): NoteReading {
  const chord = d.owner?.chord ?? null;
  const start = readPitch(p, chord, d.note.pitch);
  const heard = d.heard === d.note.pitch ? start : readPitch(p, chord, d.heard);
  const wantsGoal = chord !== null && (!d.inScale || d.note.anchor === 'goal');
  const later = laterGroups(groups, d.at.eventIndex);
  const goal = wantsGoal ? findGoal(d, later, isPowerFlatThird(chord, heard.chordDegree)) : null;
  const role = readRole(d, heard, groups, goal);
  const drone = drones.has(d.note.id);
  const automatic = automaticAnchor(chord, role, goal !== null, drone);
  const userAnchor: Anchor | undefined = d.note.anchor;
  return {
    at: d.at,
    note: d.note,
    owner: d.owner,
    anticipates: d.anticipates,
    start,
    heard,
    laterDegree: laterDegree(d, spans),
    role,
    goal: goal?.note.id ?? null,
    anchor: userAnchor ?? automatic,
    anchorBy: userAnchor === undefined ? 'rule' : 'user',
    drone,
  };
}

/** A ♭3 over a power chord leads to that chord's 3, which counts as its third (M4). */
function isPowerFlatThird(chord: ChordSpan['chord'], d: Degree | null): boolean {
  return chord?.kind === 'power' && d !== null && sameDegree(d, degree(3, -1));
}

function* laterGroups(
  groups: readonly (readonly Draft[])[],
  eventIndex: number,
): Generator<readonly Draft[]> {
  for (let i = eventIndex + 1; i < groups.length; i++) yield groups[i]!;
}

function readPitch(
  p: Phrase,
  chord: NonNullable<ChordSpan['chord']> | null,
  pitch: Pitch,
): PitchReading {
  return {
    pitch,
    chordDegree: chord === null ? null : degreeOf(chord.root, pitch),
    keyDegree: degreeOf(p.key.tonic, pitch),
  };
}

/** M5: goal for an approach, key for a drone and where there is no chord, chord otherwise. */
function automaticAnchor(
  chord: ChordSpan['chord'],
  role: Role | null,
  hasGoal: boolean,
  drone: boolean,
): Anchor {
  if (drone || chord === null) return 'key';
  return role === 'approach' && hasGoal ? 'goal' : 'chord';
}

function readRole(
  d: Draft,
  heard: PitchReading,
  groups: readonly (readonly Draft[])[],
  goal: Draft | null,
): Role | null {
  if (d.note.role !== undefined) return d.note.role;
  const chord = d.owner?.chord ?? null;
  if (chord === null || heard.chordDegree === null) return null;
  const here = midiOf(d.heard);
  const before = neighbour(groups[d.at.eventIndex - 1], d);
  const after = neighbour(groups[d.at.eventIndex + 1], d);
  return roleOf(chord, heard.chordDegree, {
    entered: before === null ? null : here - midiOf(before.heard),
    left: after === null ? null : midiOf(after.heard) - here,
    toGoal: goal === null ? null : midiOf(goal.heard) - here,
  });
}

/** The note a melody line connects to in a neighbouring event: the same string's, else the nearest. */
function neighbour(group: readonly Draft[] | undefined, d: Draft): Draft | null {
  if (group === undefined || group.length === 0) return null;
  const same = group.find((n) => n.at.note.string === d.at.note.string);
  if (same !== undefined && group.length > 1) return same;
  const here = midiOf(d.heard);
  return group.reduce((best, n) =>
    Math.abs(midiOf(n.heard) - here) < Math.abs(midiOf(best.heard) - here) ? n : best,
  );
}

/** D2: where the chord changes under a held note, what it becomes over the next one. */
function laterDegree(d: Draft, spans: readonly ChordSpan[]): Degree | null {
  if (d.owner === null) return null;
  const last = spanAt(spans, endOf(d.at.event) - 1);
  if (last === null || last.index <= d.owner.index || last.chord === null) return null;
  return degreeOf(last.chord.root, d.heard);
}

/** Open strings that sound under two or more onsets of the other voice (M5). */
function droneIds(p: Phrase): ReadonlySet<NoteId> {
  const ids = new Set<NoteId>();
  const [a, b] = p.voices;
  if (b === undefined) return ids;
  collectDrones(a.events, b.events, ids);
  collectDrones(b.events, a.events, ids);
  return ids;
}

function collectDrones(
  events: readonly PhraseEvent[],
  others: readonly PhraseEvent[],
  ids: Set<NoteId>,
): void {
  let first = 0;
  for (const e of events) {
    while (first < others.length && others[first]!.onset < e.onset) first++;
    const second = others[first + 1];
    if (second === undefined || second.onset >= endOf(e)) continue;
    for (const n of e.notes) if (n.kind === 'pitched' && n.fret === 0) ids.add(n.id);
  }
}

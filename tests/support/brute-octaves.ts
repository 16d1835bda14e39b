import type { Moved, OctaveChoice, Way } from '../../src/core/move/request';
import { openMidi, playableFrets } from '../../src/core/phrase/instrument';
import type { NoteId, Phrase } from '../../src/core/phrase/types';
import { rowAcceptsSource } from '../../src/core/theory/chord-scale';
import { degreeOf } from '../../src/core/theory/degree';
import { midiOf } from '../../src/core/theory/pitch';
import { analyse } from '../../src/core/understand/analyse';
import type { NoteReading } from '../../src/core/understand/reading';

// An oracle for M7, written from its words and not from the program: of all combinations of octaves,
// one for each segment, none may be better than the one that a move over a lane has chosen.

/** What M7 weighs, in its order: less is better. */
export type Weighed = readonly [outside: number, parting: number, turned: number, motion: number];

export interface OctaveVerdict {
  readonly segments: number;
  readonly chosen: Weighed;
  readonly best: Weighed;
  readonly bestShifts: readonly number[];
}

const OCTAVES = [-3, -2, -1, 0, 1, 2];

/**
 * Compares the octaves of a move with every other combination of them.
 * @param most Segments at most.
 * @returns Null where there are more segments than can be tried, or fewer than the report names.
 */
export function judgeOctaves(
  p: Phrase,
  m: Moved,
  way: Way,
  choice: OctaveChoice,
  most = 5,
): OctaveVerdict | null {
  const { groupOf, count } = groupsOf(p, m, way);
  if (count !== m.report.segments.length || count > most) return null;
  const given = m.report.segments.map((s) => s.semitones);
  const classes = given.map((s) => ((s % 12) + 12) % 12);
  const weigh = (shifts: readonly number[]) => weighAll(p, m, groupOf, choice, given, shifts);
  const chosen = weigh(given);
  let best = chosen;
  let bestShifts: readonly number[] = given;
  const total = OCTAVES.length ** count;
  for (let code = 0; code < total; code++) {
    const shifts = classes.map(
      (c, i) => c + 12 * OCTAVES[Math.floor(code / OCTAVES.length ** i) % OCTAVES.length]!,
    );
    const w = weigh(shifts);
    if (isLess(w, best)) {
      best = w;
      bestShifts = shifts;
    }
  }
  return { segments: count, chosen, best, bestShifts };
}

export function isLess(a: Weighed, b: Weighed): boolean {
  const at = a.findIndex((x, i) => x !== b[i]);
  return at >= 0 && a[at]! < b[at]!;
}

/** Segments by note: an owner chord with what it becomes; null where a note stays with the key. */
function groupsOf(p: Phrase, m: Moved, way: Way) {
  const before = analyse(p);
  const lane = m.phrase.chords;
  const laneAt = (onset: number) =>
    lane.reduce((found, c, i) => (c.onset <= onset ? i : found), lane.length === 0 ? -1 : 0);
  const names = new Map<NoteId, readonly [number, number] | null>();
  for (const r of [...before.readings].reverse()) names.set(r.note.id, nameOf(r));
  function nameOf(r: NoteReading): readonly [number, number] | null {
    const chord = r.owner?.chord ?? null;
    const at = laneAt(r.anticipates ? r.owner!.onset : r.at.onset);
    if (chord === null) return null;
    const own = [at, r.owner!.index] as const;
    if ((lane[at]?.symbol ?? null) === null) return null;
    if (way === 'real') return own;
    if (r.anchor === 'key') return null;
    const goal = r.goal === null ? null : before.byId.get(r.goal)!;
    if (goal === null || (r.anchorBy === 'user' && r.anchor !== 'goal')) return own;
    const theirs = names.get(goal.note.id) ?? null;
    if (theirs !== null && theirs.join() === own.join()) return own;
    const forced = r.anchorBy === 'user';
    const near = Math.abs(midiOf(goal.heard.pitch) - midiOf(r.heard.pitch)) === 1;
    const inRow = rowAcceptsSource(chord, degreeOf(chord.root, r.heard.pitch)) !== null;
    // M3 (3): an approach belongs to the segment of its goal.
    return forced || (near && !inRow) ? theirs : own;
  }
  const all = new Map([...names.values()].flatMap((n) => (n === null ? [] : [[n.join(), n]])));
  const order = [...all.values()].sort((a, b) => a[0]! - b[0]! || a[1]! - b[1]!);
  const index = new Map(order.map((n, i) => [n.join(), i]));
  const groupOf = (id: NoteId): number | null => {
    const n = names.get(id);
    return n === null || n === undefined ? null : index.get(n.join())!;
  };
  return { groupOf, count: order.length };
}

function weighAll(
  p: Phrase,
  m: Moved,
  groupOf: (id: NoteId) => number | null,
  choice: OctaveChoice,
  given: readonly number[],
  shifts: readonly number[],
): Weighed {
  const opens = p.instrument.tuning.map((_, i) => openMidi(p.instrument, i + 1));
  const low = Math.min(...opens);
  const high = Math.max(...opens) + playableFrets(p.instrument);
  const by = (id: NoteId) => {
    const g = groupOf(id);
    return g === null ? 0 : shifts[g]! - given[g]!;
  };
  const outside = m.report.notes.filter((n) => {
    const midi = midiOf(n.after.pitch) + by(n.id);
    return groupOf(n.id) !== null && (midi < low || midi > high);
  }).length;
  const [from, to] = choice === 'up' ? [1, 12] : choice === 'down' ? [-12, -1] : [-6, 6];
  const beyond = shifts.map((s) => Math.max(0, from! - s, s - to!));
  const steps = shifts.slice(1).map((s, i) => Math.abs(s - shifts[i]!));
  const parting = [...beyond, ...steps].reduce((a, b) => a + b, 0);
  const motion = shifts.reduce((a, s) => a + Math.abs(s), 0);
  return [outside, parting, turnedJoints(m, groupOf, by), motion];
}

/** Onsets in a row whose highest heard notes lie in different segments and turn otherwise. */
function turnedJoints(
  m: Moved,
  groupOf: (id: NoteId) => number | null,
  by: (id: NoteId) => number,
): number {
  const heard = (s: Moved['report']['notes'][number]['before']) =>
    midiOf(s.target?.pitch ?? s.pitch);
  const tops: Moved['report']['notes'][number][] = [];
  for (const n of m.report.notes) {
    const last = tops.at(-1);
    if (last?.onset !== n.onset) tops.push(n);
    else if (heard(n.before) > heard(last.before)) tops[tops.length - 1] = n;
  }
  return tops.slice(1).filter((right, i) => {
    const left = tops[i]!;
    if (groupOf(left.id) === groupOf(right.id)) return false;
    const was = heard(right.before) - heard(left.before);
    const is = heard(right.after) + by(right.id) - heard(left.after) - by(left.id);
    return Math.sign(was) !== Math.sign(is);
  }).length;
}

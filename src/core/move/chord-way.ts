import type { NoteId } from '../phrase/types';
import type { Chord } from '../theory/chord';
import {
  type Degree,
  degreeOf,
  degreeSemitones,
  degreeSign,
  pitchOfDegree,
  sameDegree,
} from '../theory/degree';
import { intervalBetween, invertInterval, transpose } from '../theory/interval';
import { midiOf, type Pitch, pitchAt, staffStep } from '../theory/pitch';
import type { Analysis } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import {
  inRow,
  isFlatThirdOrFifth,
  type MovedDegree,
  moveDegree,
  sameQuality,
  spellLed,
} from './degrees';
import { nameOf } from './lane';
import { nameOfPitch, pitchNear } from './naming';
import { adapted, heardOf, type NotePlan, type Segment } from './plan';
import type { Adaptation } from './request';
import { NeedsRespelling, unwritable } from './respell';
import type { SegmentList } from './segments';

/** What the chord way has to know around a note. */
export interface ChordContext {
  readonly analysis: Analysis;
  readonly segments: SegmentList;
  /** The plans of all later notes, goals among them. */
  readonly plans: ReadonlyMap<NoteId, NotePlan>;
  /** Chords that were respelled already. */
  readonly tried: ReadonlySet<number>;
}

/** From which chord to which a note goes, with its segment and what is to be said of it. */
interface Passage {
  readonly source: Chord;
  readonly chord: Chord;
  readonly laneIndex: number;
  readonly own: Segment;
  readonly tried: ReadonlySet<number>;
  readonly adaptations: Adaptation[];
}

/** What a pitch leads to, before and after the move. */
interface Led {
  readonly before: Pitch;
  readonly after: Pitch;
  /** The user anchored the note to its goal, so the interval is kept whatever it is. */
  readonly force: boolean;
  /** Note and goal go to a chord of their own quality together, where nothing changes at all. */
  readonly alike: boolean;
}

/** Plans one note over a chord by M3: anchor, row, goal, blue note, interval, in that order. */
export function planChordNote(
  r: NoteReading,
  laneIndex: number,
  source: Chord,
  chord: Chord,
  c: ChordContext,
): NotePlan | NeedsRespelling {
  const own = c.segments.of(r, laneIndex, source, chord);
  const adaptations: Adaptation[] = [];
  const passage: Passage = { source, chord, laneIndex, own, tried: c.tried, adaptations };
  const goal = r.goal === null ? undefined : c.plans.get(r.goal);
  const led = goal === undefined ? null : ledBy(r, goal, passage);
  if (r.anchorBy === 'user' && r.anchor === 'goal' && led === null) {
    const text =
      'anchored to its goal, but no goal follows within a quarter: it goes with the chord';
    adaptations.push(adapted('M5', text, true));
  }
  const heard = movePitch(r.heard.pitch, led, passage);
  if (heard instanceof NeedsRespelling) return heard;
  const started = r.heard === r.start ? heard : moveStart(r, heard, passage);
  if (started instanceof NeedsRespelling) return started;
  const start = near(started, heard, midiOf(r.start.pitch) - midiOf(r.heard.pitch));
  const trill = r.note.trill;
  const trilled = trill === undefined ? null : movePitch(trill.upper, null, passage);
  if (trilled instanceof NeedsRespelling) return trilled;
  const upper =
    trill === undefined || trilled === null
      ? null
      : near(trilled, start, midiOf(trill.upper) - midiOf(r.start.pitch));
  const follows = led !== null && isLed(r.heard.pitch, led, source);
  return {
    reading: r,
    chord,
    // The octave is the goal's (M3 step 3).
    segment: follows && goal !== undefined ? goal.segment : own.index,
    start,
    target: r.heard === r.start ? null : heard,
    upper,
    adaptations,
  };
}

/**
 * The pitch in the octave in which it is about `semitones` from another pitch of its note. A note that
 * follows a goal in another segment is found in that segment's octave, its other pitches in its own.
 */
function near(p: Pitch, other: Pitch, semitones: number): Pitch {
  const off = midiOf(p) - midiOf(other) - semitones;
  return { ...p, octave: p.octave - Math.round(off / 12) };
}

/** The goal as a note is led by it: the user says so, or it is a semitone away; null otherwise. */
function ledBy(r: NoteReading, goal: NotePlan, p: Passage): Led | null {
  const force = r.anchorBy === 'user' && r.anchor === 'goal';
  const before = goal.reading.heard.pitch;
  const isNear = Math.abs(midiOf(before) - midiOf(r.heard.pitch)) === 1;
  if (!force && (r.anchorBy === 'user' || !isNear)) return null;
  const alike = sameQuality(p.source, p.chord) && goal.segment === p.own.index;
  return { before, after: heardOf(goal), force, alike };
}

/** A bend that starts a semitone below its own target leads to it as a grace leads to its note. */
function moveStart(r: NoteReading, heard: Pitch, p: Passage): Pitch | NeedsRespelling {
  const half = midiOf(r.heard.pitch) - midiOf(r.start.pitch) === 1;
  const alike = sameQuality(p.source, p.chord);
  const led: Led = { before: r.heard.pitch, after: heard, force: false, alike };
  const said: Adaptation[] = [];
  const moved = movePitch(r.start.pitch, half ? led : null, { ...p, adaptations: said });
  p.adaptations.push(...said.map((a): Adaptation => ({ ...a, start: true })));
  return moved;
}

function isLed(p: Pitch, led: Led, source: Chord): boolean {
  return !led.alike && (led.force || !inRow(source, degreeOf(source.root, p)));
}

function movePitch(p: Pitch, led: Led | null, way: Passage): Pitch | NeedsRespelling {
  const d = degreeOf(way.source.root, p);
  if (led !== null && isLed(p, led, way.source)) return followGoal(p, d, led, way);
  const moved = moveDegree(way.source, way.chord, d);
  const root = rootOf(p, way.source, d);
  // ♯7 read as R, or ♭R as 7, counts from the root an octave higher or lower: the sound stays (M7).
  const off = Math.round((degreeSemitones(d) - degreeSemitones(moved.degree)) / 12);
  const newRoot = transpose({ ...root, octave: root.octave + off }, way.own.interval);
  const pitch = newRoot === null ? null : pitchOfDegree(newRoot, moved.degree);
  if (pitch === null) {
    const midi = midiOf(root) + 12 * off + way.own.interval.semitones;
    const sounds = midi + degreeSemitones(moved.degree);
    return unwritable(sounds, p, way.laneIndex, way.tried, way.adaptations);
  }
  sayDegree(d, moved, way);
  return pitch;
}

function sayDegree(d: Degree, moved: MovedDegree, way: Passage): void {
  const was = degreeSign(d);
  const is = degreeSign(moved.degree);
  const becomes = { degrees: [d, moved.degree] } as const;
  const same = sameDegree(moved.degree, d);
  if (moved.rule === 'interval') {
    const why = `outside ${nameOf(way.source)} and leads nowhere`;
    way.adaptations.push(
      same
        ? {
            ...adapted('M3', `${was} is ${why}: its interval from the root is kept`),
            kept: true,
          }
        : {
            ...adapted(
              'M3',
              `${was} becomes ${is}: it is ${why}, and keeps its sound over the root`,
            ),
            ...becomes,
          },
    );
  } else if (!same) {
    const text = `${was} becomes ${is}: that is how ${nameOf(way.chord)} has it`;
    way.adaptations.push({ ...adapted('M4', text), ...becomes });
  } else if (moved.rule === 'kept' && isFlatThirdOrFifth(d)) {
    way.adaptations.push({ ...adapted('M3', `${was} is kept as a blue note`), kept: true });
  }
}

/** A semitone from its goal before, a semitone from it after, on the same side (M3 step 3). */
function followGoal(p: Pitch, d: Degree, led: Led, way: Passage): Pitch | NeedsRespelling {
  const { root } = way.chord;
  const back = invertInterval(intervalBetween(p, led.before));
  const midi = midiOf(led.after) + back.semitones;
  const byGoal = pitchAt(staffStep(led.after) + back.steps, midi);
  const above = midi - midiOf({ ...root, octave: 4 });
  const is = spellLed(way.chord, above, byGoal === null ? null : degreeOf(root, byGoal));
  if (!sameDegree(is, d)) {
    const text = `${degreeSign(d)} becomes ${degreeSign(is)}: it keeps its distance from ${nameOfPitch(led.after)}, where it leads`;
    way.adaptations.push({ ...adapted('M3', text), degrees: [d, is] });
  }
  return (
    pitchNear(way.chord, is, midi) ?? unwritable(midi, p, way.laneIndex, way.tried, way.adaptations)
  );
}

/** The root that a note's degree counts from: ♭R of C5 lies on the root C5, 3 of C5 on the C below. */
function rootOf(p: Pitch, chord: Chord, d: Degree): Pitch {
  const midi = midiOf(p) - degreeSemitones(d);
  const octave = Math.round((midi - midiOf({ ...chord.root, octave: 0 })) / 12);
  return { ...chord.root, octave };
}

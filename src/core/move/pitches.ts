import type { NoteId } from '../phrase/types';
import { degreeOf, degreeSign, sameDegree } from '../theory/degree';
import { type Interval, transpose } from '../theory/interval';
import { midiOf, type Pitch } from '../theory/pitch';
import type { Analysis } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import { type ChordContext, planChordNote } from './chord-way';
import { usualName } from './degrees';
import { nameOf } from './lane';
import { nameOfPitch, pitchNear } from './naming';
import { adapted, type MovePlan, type NotePlan } from './plan';
import type { Adaptation, LaneChord, Way } from './request';
import { assemble, NeedsRespelling, unwritable } from './respell';
import { SegmentList } from './segments';
import { respelled, type Target, targetIndex } from './target';

/** The plan and the target, whose chord roots may have been respelled on the way (P5). */
export interface Planned {
  readonly plan: MovePlan;
  readonly target: Target;
}

/**
 * New pitches for the ways real, chord and hold (M1, M3, M8), before octaves. Where a note would
 * need more than a double accidental, the root of that chord is respelled with all its notes (P5).
 */
export function planPitches(
  analysis: Analysis,
  target: Target,
  way: Exclude<Way, 'tonal'>,
): Planned {
  let current = target;
  const tried = new Set<number>();
  // Ends: every round puts one more chord among those tried.
  for (;;) {
    const plan = tryPlan(analysis, current, way, tried);
    if (!(plan instanceof NeedsRespelling)) return { plan, target: current };
    tried.add(plan.laneIndex);
    current = respellChord(current, plan.laneIndex);
  }
}

function respellChord(t: Target, index: number): Target {
  const change = t.changes[index];
  if (change === undefined || change.chord === null) {
    throw new RangeError('only a note over a chord asks for a respelling');
  }
  const chord = respelled(change.chord);
  const note = adapted(
    'P5',
    `${nameOf(change.chord)} is respelled ${nameOf(chord)} to avoid more than a double accidental`,
  );
  return {
    ...t,
    changes: t.changes.map((c, i) => (i === index ? { ...c, chord } : c)),
    notes: [...t.notes, note],
  };
}

function tryPlan(
  analysis: Analysis,
  target: Target,
  way: Exclude<Way, 'tonal'>,
  tried: ReadonlySet<number>,
): MovePlan | NeedsRespelling {
  const segments = new SegmentList(target);
  const plans = new Map<NoteId, NotePlan>();
  // From the end: a goal is always later than the note that leads to it, so its plan is ready.
  for (let i = analysis.readings.length - 1; i >= 0; i--) {
    const r = analysis.readings[i]!;
    const plan = planNote(r, { analysis, target, way, segments, plans, tried });
    if (plan instanceof NeedsRespelling) return plan;
    plans.set(r.note.id, plan);
  }
  const notes = analysis.readings.map((r) => plans.get(r.note.id)!);
  return segments.renumbered(notes, target.notes);
}

interface Context extends ChordContext {
  readonly target: Target;
  readonly way: Exclude<Way, 'tonal'>;
}

function planNote(r: NoteReading, c: Context): NotePlan | NeedsRespelling {
  const laneIndex = targetIndex(c.target, r);
  const chord = laneIndex < 0 ? undefined : c.target.changes[laneIndex]!.chord;
  const base = { reading: r, chord };
  if (c.way === 'hold') return holdNote(r, chord);
  const source = r.owner?.chord ?? null;
  if (c.way === 'real') {
    if (source === null || chord == null) {
      // Without a chord, before or after, there is no root that could move: over a lane the note stays.
      const segment = c.target.kind === 'key' ? c.segments.ofKey().index : null;
      return transposeNote(base, segment, c.target.keyInterval, -1, c.tried);
    }
    const segment = c.segments.of(r, laneIndex, source, chord);
    return transposeNote(base, segment.index, segment.interval, laneIndex, c.tried);
  }
  if (source === null || chord === undefined || chord === null || r.anchor === 'key') {
    return keepWithKey(r, chord, c);
  }
  return planChordNote(r, laneIndex, source, chord, c);
}

/** Real transposition of every pitch of a note. */
function transposeNote(
  base: Pick<NotePlan, 'reading' | 'chord'>,
  segment: number | null,
  interval: Interval,
  laneIndex: number,
  tried: ReadonlySet<number>,
): NotePlan | NeedsRespelling {
  const { note } = base.reading;
  const adaptations: Adaptation[] = [];
  return assemble(base, segment, note, adaptations, (p) => {
    const moved = transpose(p, interval);
    return moved ?? unwritable(midiOf(p) + interval.semitones, p, laneIndex, tried, adaptations);
  });
}

/** M5: keeps the key degree. The pitch stays when the chord moves and moves with the key. */
function keepWithKey(
  r: NoteReading,
  chord: LaneChord | undefined,
  c: Context,
): NotePlan | NeedsRespelling {
  const segment = c.target.kind === 'key' ? c.segments.ofKey().index : null;
  const base = { reading: r, chord };
  const interval = c.target.keyInterval;
  const plan = transposeNote(base, 0, interval, -1, c.tried);
  if (plan instanceof NeedsRespelling) return plan;
  const why =
    r.owner?.chord == null
      ? 'there is no chord here, so it keeps its degree of the key'
      : chord === null
        ? 'there is no chord to move to, so it keeps its degree of the key'
        : r.anchorBy === 'user'
          ? 'anchored to the key'
          : 'a drone: the open string stays with the key';
  return { ...plan, segment, adaptations: [...plan.adaptations, adapted('M5', why)] };
}

/** The pitches stay; their names come to D1's usual list over the new chord (M1). */
function holdNote(r: NoteReading, chord: LaneChord | undefined): NotePlan | NeedsRespelling {
  const adaptations: Adaptation[] = [];
  const rename = (p: Pitch): Pitch => {
    if (chord === undefined || chord === null) return p;
    const d = degreeOf(chord.root, p);
    const usual = usualName(chord, d);
    const named = sameDegree(d, usual) ? null : pitchNear(chord, usual, midiOf(p));
    if (named === null || (named.letter === p.letter && named.alter === p.alter)) return p;
    adaptations.push(
      adapted('D1', `written ${nameOfPitch(named)} here: ${degreeSign(usual)} of ${nameOf(chord)}`),
    );
    return named;
  };
  return assemble({ reading: r, chord }, null, r.note, adaptations, rename);
}

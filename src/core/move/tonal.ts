import { heardPitch } from '../phrase/walk';
import {
  type Degree,
  type DegreeNumber,
  degree,
  degreeSemitones,
  pitchClassOf,
} from '../theory/degree';
import { classInterval, UNISON } from '../theory/interval';
import { type Key, keyScale } from '../theory/key';
import {
  type Alter,
  chromaOf,
  midiOf,
  mod,
  type Pitch,
  type PitchClass,
  pitchAt,
  pitchOfMidi,
  staffStep,
} from '../theory/pitch';
import type { Analysis } from '../understand/analyse';
import { findGoal, type GoalNote } from '../understand/goal';
import type { NoteReading } from '../understand/reading';
import { nameOfPitch } from './naming';
import { adapted, heardOf, type MovePlan, type NotePlan } from './plan';
import type { Adaptation } from './request';
import type { Target } from './target';

/** Alteration of a step in the key's natural scale (natural minor in minor keys, M2). */
function scaleAlter(key: Key, number: DegreeNumber): number {
  return keyScale(key.mode)[number - 1]!.alter;
}

/** The step of the key on which a pitch is written, and the semitones by which it is raised there. */
function stepIn(
  key: Key,
  p: PitchClass,
): { readonly number: DegreeNumber; readonly raised: number } {
  const { steps, semitones } = classInterval(key.tonic, p);
  const number = (steps + 1) as DegreeNumber;
  return { number, raised: semitones - degreeSemitones(scaleDegree(key, number)) };
}

/** Semitones by which a pitch is raised or lowered against its step of the key; 0 = in the scale. */
function chromatic(key: Key, p: Pitch): number {
  return stepIn(key, p).raised;
}

/**
 * Tonal transposition (M1): every letter moves by the same number of steps; a note outside the scale
 * keeps its alteration against its step, or its semitone to the note of the scale it leads to.
 * @param steps Scale steps, negative down; seven are an octave.
 */
export function planTonal(analysis: Analysis, target: Target, steps: number): MovePlan {
  const key = target.key;
  const byVoice = new Map<number, ScaleNote[][]>();
  for (const r of analysis.readings) {
    const groups = byVoice.get(r.at.voice) ?? [];
    byVoice.set(r.at.voice, groups);
    while (groups.length <= r.at.eventIndex) groups.push([]);
    const heard = heardPitch(r.note);
    groups[r.at.eventIndex]!.push({
      at: r.at,
      heard,
      inScale: chromatic(key, heard) === 0,
      reading: r,
    });
  }
  const plans = new Map<string, NotePlan>();
  for (let i = analysis.readings.length - 1; i >= 0; i--) {
    const r = analysis.readings[i]!;
    const groups = byVoice.get(r.at.voice)!;
    plans.set(r.note.id, planNote(r, key, steps, groups, plans));
  }
  return {
    segments: [{ index: 0, from: '', to: '', interval: UNISON }],
    notes: analysis.readings.map((r) => plans.get(r.note.id)!),
    byId: plans,
    general: target.notes,
  };
}

interface ScaleNote extends GoalNote {
  readonly reading: NoteReading;
}

function planNote(
  r: NoteReading,
  key: Key,
  steps: number,
  groups: readonly (readonly ScaleNote[])[],
  plans: ReadonlyMap<string, NotePlan>,
): NotePlan {
  const adaptations: Adaptation[] = [];
  const self = groups[r.at.eventIndex]!.find((n) => n.reading === r)!;
  const goal = self.inScale
    ? null
    : findGoal(self, groups.slice(r.at.eventIndex + 1, r.at.eventIndex + 1 + LOOK_AHEAD));
  const move = (p: Pitch, next: { before: Pitch; after: Pitch } | null): Pitch => {
    // Whole octaves keep every name, whatever the scale calls the pitch.
    if (steps % 7 === 0) return { ...p, octave: p.octave + steps / 7 };
    if (chromatic(key, p) !== 0 && next !== null) {
      const offset = midiOf(next.before) - midiOf(p);
      if (Math.abs(offset) === 1) return spellBeside(key, next, p, offset);
    }
    const moved = moveBySteps(key, p, steps);
    if (moved !== null) return moved;
    const plain = stepMidi(key, p, steps);
    const simple = pitchOfMidi(plain, p.alter < 0 ? 'flat' : 'sharp');
    adaptations.push(
      adapted('P5', `respelled ${nameOfPitch(simple)} to avoid more than a double accidental`),
    );
    return simple;
  };
  const goalPlan = goal === null ? undefined : plans.get(goal.reading.note.id);
  const next =
    goal === null || goalPlan === undefined
      ? null
      : { before: goal.heard, after: heardOf(goalPlan) };
  const heard = move(r.heard.pitch, next);
  const isBend = r.heard !== r.start;
  return {
    reading: r,
    chord: r.owner === null ? undefined : r.owner.chord,
    segment: 0,
    start: isBend ? move(r.start.pitch, { before: r.heard.pitch, after: heard }) : heard,
    target: isBend ? heard : null,
    upper: r.note.trill === undefined ? null : move(r.note.trill.upper, null),
    adaptations,
  };
}

/** Events beyond this many cannot start within a quarter at the shortest value of T1. */
const LOOK_AHEAD = 128;

/** A pitch moved by steps of the key with its alteration against the step kept. */
function moveBySteps(key: Key, p: Pitch, steps: number): Pitch | null {
  const step = staffStep(p) + steps;
  return pitchAt(step, stepMidi(key, p, steps));
}

function stepMidi(key: Key, p: Pitch, steps: number): number {
  // By its letter: a degree that D1 cannot name would lie on another step, and its octave with it.
  const from = stepIn(key, p);
  const number = (mod(from.number - 1 + steps, 7) + 1) as DegreeNumber;
  const inScale = pitchClassOf(key.tonic, scaleDegree(key, number));
  const plain = inScale === null ? null : onStep(inScale, staffStep(p) + steps);
  if (plain === null) throw new RangeError('the scale of a key can be written');
  return midiOf(plain) + from.raised;
}

function scaleDegree(key: Key, number: DegreeNumber): Degree {
  return degree(number, scaleAlter(key, number) as Alter);
}

function onStep(pc: { letter: Pitch['letter']; alter: Alter }, step: number): Pitch {
  return { ...pc, octave: Math.floor(step / 7) };
}

/**
 * The note a semitone beside a moved goal: under its name in the scale where it has one (M8), else on
 * the letter the old one had against the old goal.
 */
function spellBeside(
  key: Key,
  next: { before: Pitch; after: Pitch },
  p: Pitch,
  offset: number,
): Pitch {
  const midi = midiOf(next.after) - offset;
  const letters = staffStep(p) - staffStep(next.before);
  for (const d of keyScale(key.mode)) {
    const pc = pitchClassOf(key.tonic, d);
    if (pc !== null && chromaOf(pc) === mod(midi, 12)) return atMidi(pc, midi);
  }
  const named = pitchAt(staffStep(next.after) + letters, midi);
  if (named !== null && Math.abs(named.alter) < 2) return named;
  return pitchOfMidi(midi, offset > 0 ? 'sharp' : 'flat');
}

function atMidi(pc: PitchClass, midi: number): Pitch {
  const low = midiOf({ ...pc, octave: 0 });
  return { ...pc, octave: Math.round((midi - low) / 12) };
}

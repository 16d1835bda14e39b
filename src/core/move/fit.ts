import type { HardRule } from '../neck/places';
import type { NoteId, PitchedNote } from '../phrase/types';
import { mapNotes } from '../phrase/walk';
import { type HandTask, type Placed, shiftTask, tryHand } from './hand';
import { adapted } from './plan';
import type { Adaptation, HandWay } from './request';

/** Where the phrase came to lie, and which wishes were given up for it. */
export interface Fit {
  readonly placed: Placed;
  readonly hand: HandWay;
  /** Whole octaves on top of those that M7 chose. */
  readonly octaves: number;
  readonly general: readonly Adaptation[];
  readonly dropped: ReadonlyMap<NoteId, readonly Adaptation[]>;
}

interface Attempt {
  readonly hand: HandWay;
  readonly octaves: number;
}

/**
 * Finds a place for the phrase (M12): first as wished, then by the order of the fallbacks — string,
 * octave, technique — each of which is reported. Null when the notes do not fit on the neck in any
 * octave.
 * @param motion Semitones the phrase moves, to know which other octave is nearer.
 * @param mayShift False where the pitches are not to change (hold).
 */
export function fitHand(t: HandTask, hand: HandWay, motion: number, mayShift: boolean): Fit | null {
  const attempts = attemptsFor(hand, motion, mayShift);
  const none = new Map<NoteId, readonly Adaptation[]>();
  const first = firstPlayable(t, attempts);
  if (first !== null) return { ...first, general: explain(hand, first), dropped: none };
  const pins = releasePins(t);
  if (pins.released.size > 0) {
    const again = firstPlayable(pins.task, attempts);
    if (again !== null) return { ...again, general: explain(hand, again), dropped: pins.released };
  }
  return withoutTechniques(pins.task, hand, attempts, pins.released);
}

function attemptsFor(hand: HandWay, motion: number, mayShift: boolean): readonly Attempt[] {
  const others = !mayShift ? [] : motion > 0 ? [-1, 1] : [1, -1];
  const octave = (h: HandWay) => [0, ...others].map((octaves): Attempt => ({ hand: h, octaves }));
  // A shape is worth an octave (M12); other hands look for other strings first.
  if (hand === 'shape') return [...octave('shape'), ...octave('area')];
  if (hand === 'strings') return [{ hand, octaves: 0 }, ...octave('area')];
  return octave('area');
}

type Tried = Pick<Fit, 'placed' | 'hand' | 'octaves'>;

function firstPlayable(t: HandTask, attempts: readonly Attempt[]): Tried | null {
  for (const a of attempts) {
    const placed = tryHand(shiftTask(t, a.octaves), a.hand);
    if (placed !== null && placed.broken.length === 0) return { placed, ...a };
  }
  return null;
}

function explain(wished: HandWay, found: Tried): readonly Adaptation[] {
  const said: Adaptation[] = [];
  if (found.octaves !== 0) {
    const where = found.octaves > 0 ? 'higher' : 'lower';
    said.push(
      adapted(
        'M7',
        `an octave ${where} than the nearest way, since it could not be played there`,
        true,
      ),
    );
  }
  if (found.hand !== wished) {
    const words =
      wished === 'shape'
        ? 'the shape cannot be kept'
        : 'the shape does not fit on the next strings';
    said.push(adapted('M12', `${words}, so the notes were placed in the area of the hand`, true));
  }
  if (found.placed.shifted !== 0) {
    const n = Math.abs(found.placed.shifted);
    const where = found.placed.shifted > 0 ? 'up' : 'down';
    said.push(
      adapted(
        'M12',
        `the hand moves ${n} ${n === 1 ? 'fret' : 'frets'} ${where} the neck: there is no room where it was`,
        true,
      ),
    );
  }
  return said;
}

/** The plans without pins, and what to say of each. */
function releasePins(t: HandTask): {
  task: HandTask;
  released: Map<NoteId, readonly Adaptation[]>;
} {
  const released = new Map<NoteId, readonly Adaptation[]>();
  const frame = mapNotes(t.frame, ({ note }) => {
    if (note.kind === 'dead' || note.pinned !== true) return note;
    released.set(note.id, [
      adapted(
        'M12',
        `the pin to string ${note.string} was released: it cannot be played there`,
        true,
      ),
    ]);
    const { pinned: _, ...free } = note;
    return free;
  });
  return { task: { ...t, frame }, released };
}

/** The techniques that a broken rule can be about, and how to go on without them. */
const CURES: Readonly<Partial<Record<HardRule, readonly (keyof PitchedNote)[]>>> = {
  'open-string': ['bend', 'vibrato', 'slideIn', 'slideOut', 'attack', 'trill'],
  'slide-start': ['slideIn'],
  'bend-width': ['bend'],
  'trill-fret': ['trill'],
  'harmonic-node': ['harmonic'],
  'off-the-neck': ['slideIn', 'trill'],
  'same-string': ['attack'],
  'legato-direction': ['attack'],
};

/** The last fallback: techniques that stand in the way are given up, note by note. */
function withoutTechniques(
  t: HandTask,
  hand: HandWay,
  attempts: readonly Attempt[],
  released: ReadonlyMap<NoteId, readonly Adaptation[]>,
): Fit | null {
  const dropped = new Map<NoteId, readonly Adaptation[]>(released);
  let task = t;
  let best = leastBroken(task, attempts);
  // Each round gives up at least one technique, and there are finitely many.
  while (best !== null && best.placed.broken.length > 0) {
    const stripped = strip(task, best.placed, dropped);
    if (stripped === null) break;
    task = stripped;
    const next = firstPlayable(task, attempts) ?? leastBroken(task, attempts);
    if (next === null) break;
    best = next;
  }
  if (best === null) return null;
  return { ...best, general: explain(hand, best), dropped };
}

function leastBroken(t: HandTask, attempts: readonly Attempt[]): Tried | null {
  let best: Tried | null = null;
  for (const a of attempts) {
    const placed = tryHand(shiftTask(t, a.octaves), a.hand);
    if (placed === null) continue;
    if (best === null || placed.broken.length < best.placed.broken.length) best = { placed, ...a };
  }
  return best;
}

/** The task with one technique fewer on every note that breaks a rule; null when there is none to give up. */
function strip(
  t: HandTask,
  placed: Placed,
  dropped: Map<NoteId, readonly Adaptation[]>,
): HandTask | null {
  let changed = false;
  const plans = new Map(t.plans);
  const faults = new Map<NoteId, HardRule[]>();
  for (const v of placed.broken) {
    for (const id of v.noteIds) faults.set(id, [...(faults.get(id) ?? []), v.rule]);
  }
  const frame = mapNotes(t.frame, ({ note }) => {
    if (note.kind === 'dead') return note;
    for (const rule of faults.get(note.id) ?? []) {
      const field = (CURES[rule] ?? []).find((f) => note[f] !== undefined);
      if (field === undefined) continue;
      changed = true;
      dropped.set(note.id, [
        ...(dropped.get(note.id) ?? []),
        adapted(
          'M12',
          `played without the ${WORDS[field] ?? field}: it is not possible at this place`,
          true,
        ),
      ]);
      const plan = plans.get(note.id);
      // What was heard stays: a bend that is given up leaves its target.
      if (field === 'bend' && plan !== undefined && plan.target !== null) {
        plans.set(note.id, { ...plan, start: plan.target, target: null });
      }
      const { [field]: _, ...rest } = note;
      return rest as PitchedNote;
    }
    return note;
  });
  return changed ? { ...t, frame, plans } : null;
}

const WORDS: Partial<Record<keyof PitchedNote, string>> = {
  slideIn: 'slide in',
  slideOut: 'slide out',
  attack: 'hammer-on, pull-off or slide',
};

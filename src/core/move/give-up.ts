import type { Violation } from '../neck/playable';
import { graceKey } from '../neck/timeline';
import { mapEventNotes, mapEvents } from '../phrase/rebuild';
import type { Note, NoteId, Phrase, PhraseEvent } from '../phrase/types';
import { legatoSource, mapNotes } from '../phrase/walk';
import type { HardRule } from '../technique/hard-rule';
import { curesOf, techniqueOf } from '../technique/table';
import { without } from '../technique/value';
import { tryHand } from './hand';
import { tryRelaxed } from './hand-area';
import { type HandTask, type Octaves, type Placed, shiftTask } from './hand-task';
import { adapted } from './plan';
import type { Adaptation, HandWay } from './request';

/** A place for the phrase, with the way of the hand and the octaves in which it was found. */
export interface Tried {
  readonly placed: Placed;
  readonly hand: HandWay;
  readonly octaves: Octaves;
}

export interface GivenUp {
  readonly best: Tried;
  readonly dropped: ReadonlyMap<NoteId, readonly Adaptation[]>;
}

/**
 * The last fallback: the notes are placed as if they had no techniques, and those techniques that
 * are not possible there are given up, note by note.
 * @returns Null where what is left could not even be written down.
 */
export function withoutTechniques(
  t: HandTask,
  hand: HandWay,
  octaves: readonly Octaves[],
  released: ReadonlyMap<NoteId, readonly Adaptation[]>,
): GivenUp | null {
  const relaxed = giveUp(t, octaves, tryRelaxed, 'area', released);
  // Not even the bare notes can be placed by the rules: the shape is kept and what it breaks is told.
  const found = relaxed ?? giveUp(t, octaves, (task) => tryHand(task, hand), hand, released);
  if (found === null || found.best.placed.broken.some((v) => !isStrain(v.rule))) return null;
  return found;
}

/** Rules about the hand's size; a phrase that breaks others could not even be written down. */
function isStrain(rule: HardRule): boolean {
  return rule === 'reach' || rule === 'four-fingers';
}

/** Gives up techniques until what is left is possible, or there is nothing more to give up. */
function giveUp(
  t: HandTask,
  octaves: readonly Octaves[],
  attempt: (t: HandTask) => Placed | null,
  hand: HandWay,
  released: ReadonlyMap<NoteId, readonly Adaptation[]>,
): GivenUp | null {
  const dropped = new Map<NoteId, readonly Adaptation[]>(released);
  let task = t;
  let best = leastBroken(octaves, (o) => attempt(shiftTask(task, o)), hand);
  // Each round gives up at least one technique, and there are finitely many.
  while (best !== null && best.placed.broken.length > 0) {
    const stripped = strip(task, best.placed, dropped);
    if (stripped === null) break;
    task = stripped;
    const next = leastBroken(octaves, (o) => attempt(shiftTask(task, o)), hand);
    if (next === null) break;
    best = next;
  }
  return best === null ? null : { best, dropped };
}

function leastBroken(
  octaves: readonly Octaves[],
  attempt: (octaves: Octaves) => Placed | null,
  hand: HandWay,
): Tried | null {
  let best: Tried | null = null;
  for (const o of octaves) {
    const placed = attempt(o);
    if (placed === null) continue;
    if (best === null || placed.broken.length < best.placed.broken.length) {
      best = { placed, hand, octaves: o };
    }
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
  blameSlides(placed.phrase, faults);
  const frame = mapNotes(t.frame, ({ note }) => {
    if (note.kind === 'dead') return note;
    for (const rule of faults.get(note.id) ?? []) {
      const field = curesOf(rule).find((f) => f in note);
      if (field === undefined) continue;
      changed = true;
      dropped.set(note.id, [
        ...(dropped.get(note.id) ?? []),
        adapted(
          'M12',
          `played without the ${techniqueOf(field).word}: it is not possible at this place`,
          true,
        ),
      ]);
      const plan = plans.get(note.id);
      // What was heard stays: a bend that is given up leaves its target.
      if (field === 'bend' && plan !== undefined && plan.target !== null) {
        plans.set(note.id, { ...plan, start: plan.target, target: null });
      }
      return without(note, field);
    }
    return note;
  });
  const graceless = withoutGraces(frame, placed.broken, dropped);
  if (graceless === null) return changed ? { ...t, frame, plans } : null;
  return { ...t, frame: graceless.frame, source: graceless.strip(t.source), plans };
}

/** The event without its graces; a note that one of them led to is plucked. */
function graceless(e: PhraseEvent): PhraseEvent {
  const { graces = [], ...rest } = e;
  const led = new Set(graces.flatMap((g) => g.notes.map((n) => n.string)));
  return mapEventNotes(rest, (n): Note => {
    if (n.kind === 'dead' || n.attack === undefined || n.attack === 'tap' || !led.has(n.string))
      return n;
    const { attack: _, ...plain } = n;
    return plain;
  });
}

/** Grace notes that break a rule are given up with all the graces of their note; null where none do. */
function withoutGraces(
  frame: Phrase,
  broken: readonly Violation[],
  dropped: Map<NoteId, readonly Adaptation[]>,
): { frame: Phrase; strip: (p: Phrase) => Phrase } | null {
  const blamed = new Set(broken.flatMap((v) => v.noteIds));
  const owners = new Set<NoteId>();
  for (const v of frame.voices) {
    for (const e of v.events) {
      const keys = (e.graces ?? []).flatMap((g, i) => g.notes.map((_, k) => graceKey(e, i, k)));
      if (keys.some((k) => blamed.has(k))) owners.add(e.notes[0].id);
    }
  }
  if (owners.size === 0) return null;
  for (const id of owners) {
    const said = adapted(
      'M12',
      'played without the grace notes: they are not possible at this place',
      true,
    );
    dropped.set(id, [...(dropped.get(id) ?? []), said]);
  }
  const strip = (p: Phrase): Phrase =>
    mapEvents(p, (e) => (e.notes.some((n) => owners.has(n.id)) ? graceless(e) : e));
  return { frame: strip(frame), strip };
}

/** A slide from an open string is told of the string; what has to go is the slide of the next note. */
function blameSlides(p: Phrase, faults: Map<NoteId, HardRule[]>): void {
  for (const v of p.voices) {
    for (const [i, e] of v.events.entries()) {
      for (const n of e.notes) {
        if (n.kind === 'dead' || (n.attack !== 'slide' && n.attack !== 'slide-plucked')) continue;
        const id = legatoSource(v.events, i, n.string)?.id ?? null;
        if (id !== null && faults.get(id)?.includes('open-string')) {
          faults.set(n.id, [...(faults.get(n.id) ?? []), 'same-string']);
        }
      }
    }
  }
}

import type { Attack, GraceNote, Note, NoteId, Phrase, PhraseEvent, Ticks } from '../phrase/types';
import { endOf } from '../phrase/walk';

/**
 * Name of a grace note, which has no id of its own: the smallest id among the notes it leads to (so
 * the order of strings does not matter), the number of the grace, the number of the note in it.
 * @example graceKey(event, 0, 0) // 'n3:g0:0'
 */
export function graceKey(event: PhraseEvent, grace: number, note: number): NoteId {
  const first = event.notes.map((n) => n.id).sort()[0]!;
  return `${first}:g${grace}:${note}`;
}

/** A note or grace note with the name it goes by and where it stands. */
export interface Struck {
  readonly id: NoteId;
  readonly note: Note | GraceNote;
  readonly voice: number;
  readonly eventIndex: number;
  /** Number of its grace; null for a main note. */
  readonly grace: number | null;
}

/** What is struck at one moment and what sounds on from before, as written. */
export interface Beat {
  readonly onset: Ticks;
  readonly struck: readonly Struck[];
  readonly held: readonly Struck[];
}

interface Step {
  readonly onset: Ticks;
  /** Graces still to come at this onset, 0 for the main notes: higher is earlier. */
  readonly level: number;
  readonly voice: number;
  readonly eventIndex: number;
  readonly struck: readonly Struck[];
}

/**
 * The phrase as a row of moments. Graces come just before their note and cut the event before in
 * their own voice; a grace from which a later hammer-on, pull-off or slide starts is held until
 * then. What the other voice holds sounds on, up to and including a grace at its very end.
 */
export function beatsOf(p: Phrase): readonly Beat[] {
  const steps = p.voices.flatMap((v, voice) => v.events.flatMap((e, i) => stepsOf(e, voice, i)));
  steps.sort((a, b) => a.onset - b.onset || b.level - a.level || a.voice - b.voice);
  const beats: Beat[] = [];
  /** What sounds in each voice: the last step, and what is kept for a note to come. */
  const now: { step: Step | null; kept: Struck[] }[] = p.voices.map(() => ({
    step: null,
    kept: [],
  }));
  for (let i = 0; i < steps.length; ) {
    const { onset, level } = steps[i]!;
    const here: Step[] = [];
    while (i < steps.length && steps[i]!.onset === onset && steps[i]!.level === level)
      here.push(steps[i++]!);
    const held: Struck[] = [];
    now.forEach((n, voice) => {
      const step = here.find((s) => s.voice === voice);
      const events = p.voices[voice]!.events;
      if (step === undefined) {
        if (n.step !== null && isSounding(n.step, events, onset, level))
          held.push(...n.step.struck, ...n.kept);
        return;
      }
      n.kept = keptSources(n, step, events);
      held.push(...n.kept);
      n.step = step;
    });
    beats.push({ onset, struck: here.flatMap((s) => s.struck), held });
  }
  return beats;
}

function stepsOf(e: PhraseEvent, voice: number, eventIndex: number): Step[] {
  const graces = e.graces ?? [];
  const at = { onset: e.onset, voice, eventIndex };
  const steps: Step[] = graces.map((g, grace) => ({
    ...at,
    level: graces.length - grace,
    struck: g.notes.map((note, k) => ({
      id: graceKey(e, grace, k),
      note,
      voice,
      eventIndex,
      grace,
    })),
  }));
  const struck = e.notes.map((note) => ({ id: note.id, note, voice, eventIndex, grace: null }));
  steps.push({ ...at, level: 0, struck });
  return steps;
}

function isSounding(step: Step, events: readonly PhraseEvent[], onset: Ticks, level: number) {
  const event = events[step.eventIndex]!;
  if (step.level > 0) return true;
  return level > 0 ? event.onset < onset && endOf(event) >= onset : endOf(event) > onset;
}

/** What has sounded up to `step` in its voice and is what a note after `step` starts from. */
function keptSources(
  now: { readonly step: Step | null; readonly kept: readonly Struck[] },
  step: Step,
  events: readonly PhraseEvent[],
): Struck[] {
  if (now.step === null || step.level === 0) return [];
  const needed = new Set<NoteId>();
  for (const later of stepsOf(events[step.eventIndex]!, step.voice, step.eventIndex)) {
    if (later.level >= step.level) continue;
    for (const s of later.struck) {
      const source = sourceOf(events, s);
      if (source !== null) needed.add(source);
    }
  }
  return [...now.kept, ...now.step.struck].filter((s) => needed.has(s.id));
}

/**
 * What a hammer-on, pull-off or slide starts from: the latest grace before it on its string, else
 * the note on its string in the event before, where that lasts up to this one. Null for other
 * attacks and where there is nothing to start from.
 */
export function sourceOf(events: readonly PhraseEvent[], s: Struck): NoteId | null {
  const attack = attackOf(s);
  if (attack === undefined || attack === 'tap') return null;
  const event = events[s.eventIndex]!;
  const graces = event.graces ?? [];
  for (let g = (s.grace ?? graces.length) - 1; g >= 0; g--) {
    const k = graces[g]!.notes.findIndex((n) => n.string === s.note.string);
    if (k >= 0) return graceKey(event, g, k);
  }
  const before = events[s.eventIndex - 1];
  if (s.grace !== null || before === undefined || endOf(before) !== event.onset) return null;
  return before.notes.find((n) => n.kind === 'pitched' && n.string === s.note.string)?.id ?? null;
}

/** How a note is struck; undefined for the usual way, and for dead notes. */
export function attackOf(s: Struck): Attack | undefined {
  return 'attack' in s.note ? s.note.attack : undefined;
}

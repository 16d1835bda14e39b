import type { NoteId, Phrase, Ticks } from '../phrase/types';
import type { HardRule } from '../technique/hard-rule';
import { fingersNeeded, frettedSpan, reachNeeded, type Stop } from './hand';
import { DEFAULT_LIMITS, type Limits } from './limits';
import { placeFaults } from './places';
import { type FingeringProblem, type FingerNote, goesRightWay, type Moment } from './problem';
import { problemOf } from './problem-of';

/** One hard rule broken (N3, M10). */
export interface Violation {
  readonly rule: HardRule;
  /** The notes concerned, by id or grace key. */
  readonly noteIds: readonly NoteId[];
  readonly onset: Ticks;
  /** Plain words, without a full stop. */
  readonly message: string;
  /** String and fret of the first note named. */
  readonly string: number;
  readonly fret: number;
  /** Reach that would be needed in millimetres, for the rule `reach`. */
  readonly mm?: number;
}

/**
 * Every hard rule a phrase breaks at the places it has, in order of time; empty where it can be
 * played. Pitches are not compared with places. Graces count as played just before their note. A
 * let-ring note binds its string for its written length only. A natural harmonic touches and does
 * not press, a tap is the other hand's: neither counts for reach or fingers.
 */
export function checkPlayable(
  phrase: Phrase,
  limits: Limits = DEFAULT_LIMITS,
): readonly Violation[] {
  const problem = problemOf(phrase, { limits, keepPlaces: true });
  const stops = stopsOf(phrase, problem);
  const byId = new Map(problem.notes.map((n, i) => [n.id, stops[i]!]));
  return problem.moments.flatMap((m) => [
    ...m.struck.flatMap((i) => noteViolations(problem, m, stops[i]!)),
    ...stringViolations(m, stops),
    ...handViolations(problem, m, stops),
    ...linkViolations(m, stops, byId),
  ]);
}

function stopsOf(phrase: Phrase, problem: FingeringProblem): readonly Stop[] {
  const dead = new Map<NoteId, number>();
  for (const v of phrase.voices)
    for (const e of v.events)
      for (const n of e.notes) if (n.kind === 'dead') dead.set(n.id, n.fret);
  return problem.notes.map((note) => ({
    note,
    string: note.onlyString!,
    fret: note.onlyFret ?? dead.get(note.id)!,
  }));
}

function violation(rule: HardRule, m: Moment, stops: readonly Stop[], message: string): Violation {
  const first = stops[0]!;
  return {
    rule,
    noteIds: stops.map((s) => s.note.id),
    onset: m.onset,
    message,
    string: first.string,
    fret: first.fret,
  };
}

function noteViolations(problem: FingeringProblem, m: Moment, s: Stop): readonly Violation[] {
  return placeFaults(problem.instrument, problem.limits, s.note, s).map((f) =>
    violation(f.rule, m, [s], f.message),
  );
}

/** Two notes on one string where at least one of them begins now. */
function stringViolations(m: Moment, stops: readonly Stop[]): readonly Violation[] {
  const struck = m.struck.map((i) => stops[i]!);
  const held = m.held.map((i) => stops[i]!);
  return struck.flatMap((s, k) =>
    [...struck.slice(k + 1), ...held]
      .filter((x) => x.string === s.string)
      .map((x) =>
        violation('one-note-a-string', m, [s, x], `two notes sound on string ${s.string} at once`),
      ),
  );
}

function handViolations(
  problem: FingeringProblem,
  m: Moment,
  stops: readonly Stop[],
): readonly Violation[] {
  const { instrument, limits } = problem;
  const struck = m.struck.map((i) => stops[i]!);
  const held = m.held.map((i) => stops[i]!);
  const all = [...struck, ...held];
  if (frettedSpan(all) === null) return [];
  const found: Violation[] = [];
  const fingers = fingersNeeded(all);
  if (fingers > limits.fingers) {
    const message = `${fingers} fingers would be needed, the hand has ${limits.fingers}`;
    found.push(violation('four-fingers', m, all.filter(isPressed), message));
  }
  const mm = reachNeeded(instrument, struck, held);
  if (mm > limits.reach) {
    const message = `the hand would reach ${Math.round(mm)} mm, more than ${limits.reach}`;
    found.push({ ...violation('reach', m, all.filter(isPressed), message), mm });
  }
  return found;
}

function isPressed(s: Stop): boolean {
  return frettedSpan([s]) !== null;
}

function linkViolations(
  m: Moment,
  stops: readonly Stop[],
  byId: ReadonlyMap<NoteId, Stop>,
): readonly Violation[] {
  return m.struck.flatMap((i) => {
    const s = stops[i]!;
    const name = attackName(s.note);
    if (name === null) return [];
    const source = s.note.link === undefined ? undefined : byId.get(s.note.link.source);
    if (source === undefined) {
      const message = `the ${name} has no note before it on string ${s.string} to start from`;
      return [violation('same-string', m, [s], message)];
    }
    if (source.note.kind !== 'stopped' || s.note.kind !== 'stopped') return [];
    if (goesRightWay(s.note.link!.kind, source.fret, s.fret)) return [];
    const message = `the ${name} goes from fret ${source.fret} to fret ${s.fret}`;
    return [violation('legato-direction', m, [s, source], message)];
  });
}

function attackName(note: FingerNote): string | null {
  switch (note.attack) {
    case undefined:
    case 'tap':
      return null;
    case 'slide-plucked':
      return 'slide';
    default:
      return note.attack;
  }
}

import type { NoteId } from '../../phrase/types';
import { sameDegree } from '../../theory/degree';
import { chordTest } from '../chord-test';
import { hasTechnique } from '../query/technique-names';
import type { Atom, RowAtom, RowStep, Turn } from '../query/types';
import { type Found, found, type Subject } from './found';
import type { LineEvent, LineNote } from './line';

/**
 * Every way in which a row of degrees runs through a voice, moments of dead notes left out. What
 * leads to the end from a note at a step is looked for once, or gaps would multiply.
 */
export function defineRow(a: RowAtom, s: Subject): Found {
  const fits = a.over === null ? null : chordTest(a.over);
  const marked = new Set<NoteId>();
  const meets = (step: RowStep, e: LineEvent, n: LineNote) => {
    const degrees = a.from === 'chord' ? n.degrees : n.keyDegrees;
    return (
      n.midi !== null &&
      (step.degree === null || degrees.some((d) => sameDegree(d, step.degree!))) &&
      step.techniques.every((t) => hasTechnique(t, n.note, e.event)) &&
      (fits === null || (n.owner !== null && fits(n.owner, s.phrase.key)))
    );
  };
  const turns = (step: RowStep, rise: number) =>
    step.turn === null || (step.turn === 'up' ? rise > 0 : rise < 0);
  for (const all of s.lines) {
    const line = all.filter((e) => e.top !== null);
    const known = new Map<string, boolean>();
    /** Whether the row can go on to its end from a note that is its step; marks it if so. */
    const leads = (step: number, at: number, here: LineNote): boolean => {
      const name = `${step} ${here.note.id}`;
      const before = known.get(name);
      if (before !== undefined) return before;
      const next = a.steps[step + 1];
      let holds = next === undefined;
      if (next !== undefined) {
        for (const [i, e] of line.entries()) {
          if (i <= at || (!next.gap && i > at + 1)) continue;
          for (const n of e.notes) {
            const goesOn = meets(next, e, n) && turns(next, n.midi! - here.midi!);
            if (goesOn && leads(step + 1, i, n)) holds = true;
          }
        }
      }
      known.set(name, holds);
      if (holds) marked.add(here.note.id);
      return holds;
    };
    for (const [i, e] of line.entries()) {
      for (const n of e.notes) if (meets(a.steps[0], e, n)) leads(0, i, n);
    }
  }
  return found(marked.size > 0, marked);
}

/** Lengths of notes and of the silences between them, next to each other in a voice. */
export function defineRhythm(a: Atom & { kind: 'rhythm' }, s: Subject): Found {
  const marked = new Set<NoteId>();
  for (const line of s.lines) {
    const items = line.flatMap((e) => [
      ...(e.rest > 0 ? [{ rest: true, ticks: e.rest, ids: [] as NoteId[] }] : []),
      { rest: false, ticks: e.event.duration, ids: e.notes.map((n) => n.note.id) },
    ]);
    for (let start = 0; start + a.values.length <= items.length; start++) {
      const here = items.slice(start, start + a.values.length);
      const same = here.every((x, i) => {
        const v = a.values[i]!;
        return x.rest === v.rest && x.ticks === v.ticks;
      });
      if (same) for (const id of here.flatMap((x) => x.ids)) marked.add(id);
    }
  }
  return found(marked.size > 0, marked);
}

/** Whether the line turns as asked somewhere: up, down or level from note to note. */
export function defineContour(a: Atom & { kind: 'contour' }, s: Subject): Found {
  return byRises(s, a.turns.length, (rises) => rises.every((r, i) => turnOf(r) === a.turns[i]));
}

/**
 * Whether the line has these intervals in a row somewhere, in semitones, falling ones negative.
 */
export function defineIntervals(a: Atom & { kind: 'intervals' }, s: Subject): Found {
  return byRises(s, a.semitones.length, (rises) => rises.every((r, i) => r === a.semitones[i]));
}

function turnOf(rise: number): Turn {
  return rise > 0 ? 'up' : rise < 0 ? 'down' : 'same';
}

/** Rises of the highest heard pitch from moment to moment (M13), so many in a row. */
function byRises(s: Subject, count: number, holds: (rises: readonly number[]) => boolean): Found {
  const marked = new Set<NoteId>();
  for (const all of s.lines) {
    const line = all.filter((e) => e.top !== null);
    for (let start = 0; start + count < line.length; start++) {
      const here = line.slice(start, start + count + 1);
      const rises = here.slice(1).map((e, i) => e.top! - here[i]!.top!);
      if (!holds(rises)) continue;
      for (const e of here) {
        for (const n of e.notes) if (n.midi === e.top) marked.add(n.note.id);
      }
    }
  }
  return found(marked.size > 0, marked);
}

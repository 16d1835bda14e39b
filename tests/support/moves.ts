import { parseLane } from '../../src/core/move/lane';
import { movePhrase } from '../../src/core/move/move';
import type { Destination, Moved, MoveRequest, NoteReport } from '../../src/core/move/request';
import type { Phrase } from '../../src/core/phrase/types';
import { formatProblem } from '../../src/core/result';
import { type Degree, formatDegree } from '../../src/core/theory/degree';
import { parseKey } from '../../src/core/theory/key';
import { formatPitch } from '../../src/core/theory/pitch';
import { parseChordOrRoman } from '../../src/core/theory/roman';
import { readQuick } from '../../src/io/quick/read';

/** A chord by symbol or numeral, in the phrase's key. */
export function toChord(p: Phrase, text: string): Destination {
  const r = parseChordOrRoman(text, p.key);
  if (!r.ok) throw new Error(r.problems.map(formatProblem).join(' '));
  return { kind: 'chord', chord: r.value };
}

export function toLane(p: Phrase, text: string): Destination {
  const r = parseLane(text, p.key);
  if (!r.ok) throw new Error(r.problems.map(formatProblem).join(' '));
  return { kind: 'lane', bars: r.value };
}

export function toKey(text: string): Destination {
  const key = parseKey(text);
  if (key === null) throw new Error(`key ${text}`);
  return { kind: 'key', key };
}

/** The moved phrase; a refusal fails the test. */
export function moved(p: Phrase, to: Destination, more: Omit<MoveRequest, 'to'> = {}): Moved {
  const r = movePhrase(p, { to, ...more });
  if (!r.ok) throw new Error(r.problems.map(formatProblem).join(' '));
  return r.value;
}

const d = (x: Degree | null) => (x === null ? '-' : formatDegree(x));

/** A note of the report after the move: `s3 f10 F4 4>5 G4`, `s1 f5 A4 5`. */
export function after(n: NoteReport): string {
  const s = n.after;
  const bend =
    s.target === undefined ? '' : `>${d(s.target.chordDegree)} ${formatPitch(s.target.pitch)}`;
  return `s${s.string} f${s.fret} ${formatPitch(s.pitch)} ${d(s.chordDegree)}${bend}`;
}

/** All notes after the move, by onset and from the lowest string up. */
export function allAfter(m: Moved): readonly string[] {
  return [...m.report.notes]
    .sort((a, b) => a.onset - b.onset || b.after.string - a.after.string)
    .map(after);
}

/** Rules cited for a note of the report, in order. */
export function rulesOf(m: Moved, index: number): readonly string[] {
  return m.report.notes[index]!.adaptations.map((a) => a.rule);
}

/** A phrase written as quick text, as the issues of this project quote them. */
export function quick(text: string): Phrase {
  const r = readQuick(text, { id: 'quick', now: '2026-01-01T00:00:00.000Z' });
  if (!r.ok) throw new Error(r.problems.map(formatProblem).join(' '));
  return r.value;
}

/** Places and pitches after the move, by onset: `3:9 E4`; several at once joined by `+`. */
export function placesAfter(m: Moved): readonly string[] {
  const rows = new Map<number, string[]>();
  for (const n of m.report.notes) {
    const { string, fret, pitch } = n.after;
    rows.set(n.onset, [...(rows.get(n.onset) ?? []), `${string}:${fret} ${formatPitch(pitch)}`]);
  }
  return [...rows].sort((a, b) => a[0] - b[0]).map(([, notes]) => notes.join(' + '));
}

import { expect } from 'vitest';
import { type Chord, chordTones, parseChord } from '../../src/core/theory/chord';
import { type Degree, degreeSemitones, formatDegree } from '../../src/core/theory/degree';
import { type Key, parseKey } from '../../src/core/theory/key';
import { type PitchClass, parsePitchClass } from '../../src/core/theory/pitch';

/** The chord of a symbol that must be readable. */
export function chord(text: string): Chord {
  const read = parseChord(text);
  expect(read.ok ? [] : read.problems, text).toEqual([]);
  if (!read.ok) throw new Error(`${text} is not read`);
  return read.value;
}

export function key(text: string): Key {
  const k = parseKey(text);
  if (k === null) throw new Error(`${text} is no key`);
  return k;
}

export function pc(text: string): PitchClass {
  const p = parsePitchClass(text);
  if (p === null) throw new Error(`${text} is no note name`);
  return p;
}

export function degreesText(all: readonly Degree[]): string {
  return all.map(formatDegree).join(' ');
}

export function tonesText(symbol: string): string {
  return degreesText(chordTones(chord(symbol)));
}

/**
 * An interval in tonal's shorthand (`7m`, `11A`) as a degree, worked out from the shorthand alone;
 * compound intervals are reduced.
 */
export function degreeOfInterval(name: string): Degree {
  const m = /^(\d+)(d{1,2}|A{1,2}|[PMm])$/.exec(name);
  if (m === null) throw new Error(`${name} is no interval`);
  const number = (((Number(m[1]) - 1) % 7) + 1) as Degree['number'];
  const perfect = number === 1 || number === 4 || number === 5;
  const q = m[2]!;
  const alter =
    q === 'P' || q === 'M'
      ? 0
      : q === 'm'
        ? -1
        : q.startsWith('A')
          ? q.length
          : -q.length - (perfect ? 0 : 1);
  return { number, alter: alter as Degree['alter'] };
}

/** Degrees from tonal's intervals, ascending, each once. */
export function degreesOfIntervals(names: readonly string[]): string {
  const all = names.map(degreeOfInterval);
  all.sort((a, b) => degreeSemitones(a) - degreeSemitones(b) || a.number - b.number);
  return [...new Set(all.map(formatDegree))].join(' ');
}

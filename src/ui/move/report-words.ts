import type { Adaptation, MoveReport, NoteReport, NoteState } from '../../core/move/request';
import { placeWords } from '../../core/phrase/time-words';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { formatChord, parseChord } from '../../core/theory/chord';
import { type Degree, degreeSign } from '../../core/theory/degree';
import { changedNotes } from '../../io/text/move-report';
import { capital, chordName, count, noteName } from '../shared/words';

/** One note of a move in plain words. */
export interface NoteInWords {
  readonly id: NoteId;
  /** `Bar 1, beat 2 and`. */
  readonly place: string;
  readonly before: string;
  readonly after: string;
  /** Whether it is marked in the music: there is more to say than that it moved. */
  readonly marked: boolean;
  /** Sentences; `lost` where a wish could not be kept. */
  readonly reasons: readonly { readonly text: string; readonly lost: boolean }[];
  /** Degree kept, or how it changed. */
  readonly degree: string;
}

export interface ReportInWords {
  /** How far it went and what concerns the whole. */
  readonly general: readonly { readonly text: string; readonly lost: boolean }[];
  readonly notes: readonly NoteInWords[];
  /** Notes marked in the music. */
  readonly marked: ReadonlySet<NoteId>;
  readonly suggestions: readonly {
    readonly id: NoteId;
    readonly text: string;
    readonly canApply: boolean;
  }[];
  readonly unplayable: readonly string[];
}

/**
 * The report of a move as sentences (M13).
 * @param after The moved phrase, whose bars and beats are named.
 */
export function reportInWords(after: Phrase, report: MoveReport): ReportInWords {
  const marked = new Set(changedNotes(report).keys());
  const byId = new Map(report.notes.map((n) => [n.id, n]));
  return {
    general: [
      ...segmentsInWords(report).map((text) => ({ text, lost: false })),
      ...eachOnce(report.general.map((a) => ({ text: sentence(a.text), lost: a.fallback }))),
    ],
    notes: report.notes.map((n) => noteInWords(after, n, marked.has(n.id))),
    marked,
    suggestions: report.suggestions.map((s) => {
      const n = byId.get(s.id);
      const place = n === undefined ? '' : `${placeInWords(after, n)}, string ${n.after.string}: `;
      return {
        id: s.id,
        text: `${place}${typesetChords(s.text)}.`,
        canApply: s.pitch !== undefined || s.bendTo !== undefined,
      };
    }),
    unplayable: [...new Set(report.unplayable.map(sentence))],
  };
}

/**
 * What could not be kept as it was asked, each as it goes on after the name of a result: `: an octave higher than
 * asked.`, `, bar 2, beat 1: the slide is left out.`
 * @param after The moved phrase, whose bars and beats are named.
 */
export function lossesInWords(after: Phrase, report: MoveReport): readonly string[] {
  const lost = (place: string, list: readonly Adaptation[]) =>
    list.filter((a) => a.fallback).map((a) => `${place}: ${plainSentence(a.text)}`);
  return [
    ...new Set([
      ...lost('', report.general),
      ...report.notes.flatMap((n) => lost(`, ${placeWords(after, n.onset)}`, n.adaptations)),
      ...report.unplayable.map((u) => `: ${plainSentence(u)}`),
    ]),
  ];
}

function noteInWords(p: Phrase, n: NoteReport, marked: boolean): NoteInWords {
  return {
    id: n.id,
    place: placeInWords(p, n),
    before: stateInWords(n.before),
    after: stateInWords(n.after),
    marked,
    degree: degreeChange(n),
    reasons: eachOnce(n.adaptations.map((a) => ({ text: sentence(a.text), lost: a.fallback }))),
  };
}

function placeInWords(p: Phrase, n: NoteReport): string {
  return capital(placeWords(p, n.onset));
}

function stateInWords(s: NoteState): string {
  const bend = s.target === undefined ? '' : ` bent to ${noteName(s.target.pitch)}`;
  const fret = s.fret === 0 ? 'open' : `fret ${s.fret}`;
  return `${noteName(s.pitch)}${bend}, string ${s.string} ${fret}`;
}

function degreeChange(n: NoteReport): string {
  const was = degreesOf(n.before);
  const is = degreesOf(n.after);
  if (was === is) return is;
  return `${was} becomes ${is}`;
}

/** Against the chord, or against the key where there is none. */
function degreesOf(s: NoteState): string {
  const one = (d: Degree | null) => (d === null ? null : degreeSign(d));
  const start = one(s.chordDegree) ?? `${degreeSign(s.keyDegree)} of the key`;
  const target = s.target === undefined ? null : one(s.target.chordDegree);
  return target === null ? start : `${start}→${target}`;
}

/** A line for each way a chord moved, each once. */
function segmentsInWords(report: MoveReport): readonly string[] {
  if (report.way === 'hold') return ['Every pitch stays where it was.'];
  const lines = report.segments.map((s) => {
    const whole = s.from === '' && s.to === '';
    const names = [s.from, s.to].map(typeset);
    const what = whole ? 'The whole phrase' : s.from === s.to ? names[0]! : names.join(' to ');
    return `${what}: ${distance(s.semitones)}.`;
  });
  return [...new Set(lines)];
}

/** The core names chords in ASCII; `N.C.` and the like stay as they are. */
function typeset(symbol: string): string {
  const read = parseChord(symbol);
  return read.ok ? chordName(formatChord(read.value)) : symbol;
}

function distance(semitones: number): string {
  if (semitones === 0) return 'same pitch';
  return `${semitones > 0 ? 'up' : 'down'} ${count(Math.abs(semitones), 'semitone')}`;
}

function eachOnce<T extends { readonly text: string }>(list: readonly T[]): readonly T[] {
  return list.filter((x, i) => list.findIndex((y) => y.text === x.text) === i);
}

/** The core's texts have no full stop, and name chords in ASCII. */
function sentence(text: string): string {
  return capital(plainSentence(text));
}

/** The same after a colon. */
function plainSentence(text: string): string {
  return `${typesetChords(text)}.`;
}

/** Chord symbols inside a text as they are set above the music. */
function typesetChords(text: string): string {
  return text.replaceAll(/\b[A-G][b#]+[^\s,;:()]*/gu, typeset);
}

import { checkPlayable } from '../neck/playable';
import { barSpans } from '../phrase/time';
import type { Feel, NoteId, Phrase, PitchedNote, Tempo } from '../phrase/types';
import { TICKS_PER_QUARTER } from '../phrase/types';
import { endOf, type NoteAt, notesOf } from '../phrase/walk';
import type { PitchedTechnique } from '../technique/fields';
import { formatDegree } from '../theory/degree';
import type { Key } from '../theory/key';
import { formatPitch, midiOf, type Pitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import { lostTechniques } from './lost';
import { sameData } from './same';
import { TEMPO_TICKS } from './tempo-for';

/** What an edit of the whole phrase brings with it, note by note, so that it can be shown first. */
export interface Consequences {
  /** Full bars, where their number changes. */
  readonly bars: { readonly before: number; readonly after: number } | null;
  /** The tempo, where it counts something else. */
  readonly tempo: { readonly before: Tempo; readonly after: Tempo } | null;
  /** The key, where it is called otherwise. */
  readonly key: { readonly before: Key; readonly after: Key } | null;
  /** Changes of chord that have another name. */
  readonly chords: number;
  /** Sounding length in seconds, where it changes; repeats are not played. */
  readonly seconds: { readonly before: number; readonly after: number } | null;
  /** Notes that hold over a bar line only afterwards, and are written with a tie. */
  readonly tied: readonly NoteId[];
  /** Notes that hold over a bar line only before. */
  readonly untied: readonly NoteId[];
  /** Notes that begin later within their beat than before, or earlier, as another feel is played. */
  readonly swung: readonly NoteId[];
  /** Notes that sound another pitch: at their start, in a bend, a trill or a grace before them. */
  readonly sounding: readonly NoteId[];
  /** Semitones between the two, where all those notes go the same way; else null. */
  readonly by: number | null;
  /** Notes that sound the same and are spelled otherwise. */
  readonly respelled: readonly NoteId[];
  /** Notes on the same string at another fret, or with another grace there. */
  readonly refretted: readonly NoteId[];
  /** Notes on another string. */
  readonly restrung: readonly NoteId[];
  /** Notes that are another degree of their chord, or of none now. */
  readonly degrees: readonly NoteId[];
  /** Notes that are another degree of the key. */
  readonly keyDegrees: readonly NoteId[];
  /** Why notes cannot be played afterwards that could before, each reason once. */
  readonly unplayable: readonly string[];
  /** Techniques that notes lose, as a player calls them, each once. */
  readonly lost: readonly string[];
  /** Every note named above, for marks on the page. */
  readonly changed: ReadonlySet<NoteId>;
}

/**
 * Compares a phrase with what an edit makes of it. Pure; notes are matched by their ids, and those
 * that are only in one of the two are left out.
 */
export function consequencesOf(before: Phrase, after: Phrase): Consequences {
  const was = new Map(notesOf(before).map((at) => [at.note.id, at]));
  const pairs = notesOf(after).flatMap((now) => {
    const old = was.get(now.note.id);
    return old === undefined ? [] : [{ old, now, id: now.note.id }];
  });
  const ids = (holds: (old: NoteAt, now: NoteAt) => boolean) =>
    pairs.filter(({ old, now }) => holds(old, now)).map((p) => p.id);
  const crosses = [crossing(before), crossing(after)] as const;
  const tied = ids((old, now) => !crosses[0](old) && crosses[1](now));
  const untied = ids((old, now) => crosses[0](old) && !crosses[1](now));
  const steps = pairs.map(({ old, now }) => stepBetween(old, now));
  const moved = steps.filter((n) => n !== 0);
  const sounding = ids((old, now) => stepBetween(old, now) !== 0);
  const respelled = ids(
    (old, now) =>
      stepBetween(old, now) === 0 &&
      pitchPairs(old, now).some(([x, y]) => formatPitch(x) !== formatPitch(y)),
  );
  const refretted = ids(
    (old, now) =>
      old.note.string === now.note.string && fretsOf(old).join() !== fretsOf(now).join(),
  );
  const restrung = ids((old, now) => old.note.string !== now.note.string);
  const swings = sameFeel(before.feel, after.feel)
    ? () => false
    : (at: NoteAt) => delayed(before, at) !== delayed(after, at);
  const swung = ids((_, now) => swings(now));
  const [chordBefore, chordAfter] = [degreesIn(before, 'chord'), degreesIn(after, 'chord')];
  const [keyBefore, keyAfter] = [degreesIn(before, 'key'), degreesIn(after, 'key')];
  const degrees = ids(({ note }) => chordBefore.get(note.id) !== chordAfter.get(note.id));
  const keyDegrees = ids(({ note }) => keyBefore.get(note.id) !== keyAfter.get(note.id));
  return {
    bars: differing(before.bars.length, after.bars.length),
    tempo: before.tempo.unit === after.tempo.unit ? null : changed(before.tempo, after.tempo),
    key: changed(before.key, after.key),
    chords: chordsRenamed(before, after),
    seconds: differing(secondsOf(before), secondsOf(after)),
    tied,
    untied,
    swung,
    sounding,
    by: moved.length > 0 && moved.every((n) => n === moved[0]) ? moved[0]! : null,
    respelled,
    refretted,
    restrung,
    degrees,
    keyDegrees,
    unplayable: newFaults(before, after),
    lost: lostTechniques(before, after),
    changed: new Set([
      ...[...tied, ...untied, ...swung, ...sounding, ...respelled],
      ...[...refretted, ...restrung, ...degrees, ...keyDegrees],
    ]),
  };
}

function differing(before: number, after: number) {
  return Math.abs(before - after) < 1e-9 ? null : { before, after };
}

function changed<T>(before: T, after: T) {
  return sameData(before, after) ? null : { before, after };
}

/** Chords of both, one after the other, that are named otherwise. */
function chordsRenamed(before: Phrase, after: Phrase): number {
  if (before.chords.length !== after.chords.length) return 0;
  return before.chords.filter((c, i) => c.symbol !== after.chords[i]!.symbol).length;
}

/** Whether a note holds over a bar line. */
function crossing(p: Phrase): (at: NoteAt) => boolean {
  const spans = barSpans(p);
  return ({ event }) => {
    const bar = spans.find((b) => b.start <= event.onset && event.onset < b.end);
    return bar !== undefined && endOf(event) > bar.end;
  };
}

/**
 * How far everything that sounds with a note went, in semitones; null where it did not go as one: a
 * bend to another width, another grace. Dead notes have no pitch and stay.
 */
function stepBetween(old: NoteAt, now: NoteAt): number | null {
  const pairs = pitchPairs(old, now);
  if (gracesOf(old).length !== gracesOf(now).length) return null;
  const steps = pairs.map(([before, after]) => midiOf(after) - midiOf(before));
  const first = steps[0] ?? 0;
  return steps.every((n) => n === first) ? first : null;
}

/**
 * The pitches of a note before and after: its start, what it is bent to, what it is trilled with, its
 * graces. A bend or trill that is gone altogether is told as taken off, and has no pair.
 */
function pitchPairs(old: NoteAt, now: NoteAt): readonly (readonly [Pitch, Pitch])[] {
  const [a, b] = [old.note, now.note];
  if (a.kind === 'dead' || b.kind === 'dead') return [];
  const graces = gracesOf(now).map((g) => g.pitch);
  const all: readonly (readonly [Pitch | undefined, Pitch | undefined])[] = [
    [a.pitch, b.pitch],
    ...REACHING.map((reached) => [reached(a), reached(b)] as const),
    ...gracesOf(old).map((g, i) => [g.pitch, graces[i]] as const),
  ];
  return all.flatMap(([x, y]) => (x === undefined || y === undefined ? [] : [[x, y] as const]));
}

/** The pitch that a technique reaches beside the note's own; null for one that reaches none. */
const REACHED: Readonly<Record<PitchedTechnique, ((n: PitchedNote) => Pitch | undefined) | null>> =
  {
    bend: ({ bend }) => (bend === undefined || bend.shape === 'curl' ? undefined : bend.target),
    trill: ({ trill }) => trill?.upper,
    // A slide-in keeps its semitones, and so goes along with its note.
    slideIn: null,
    slideOut: null,
    attack: null,
    vibrato: null,
    harmonic: null,
    barDip: null,
    letRing: null,
    ghost: null,
    finger: null,
    pluck: null,
  };

const REACHING = Object.values(REACHED).filter((reached) => reached !== null);

function fretsOf(at: NoteAt): readonly number[] {
  return [at.note.fret, ...gracesOf(at).map((g) => g.fret)];
}

/** The graces before a note, on its string. */
function gracesOf({ event, note }: NoteAt) {
  return (event.graces ?? []).flatMap((g) => g.notes.filter((n) => n.string === note.string));
}

function sameFeel(a: Feel, b: Feel): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/**
 * By how much of a pair a note starts late for its place on the page (T3): pairs of eighths or 16ths
 * are counted from the bar line, and the second of a pair is the one that moves.
 */
function delayed(p: Phrase, { event }: NoteAt): number {
  const { feel } = p;
  if (feel.kind === 'straight') return 0;
  const unit = TICKS_PER_QUARTER / (feel.unit === 'eighth' ? 2 : 4);
  const bar = barSpans(p).find((b) => b.start <= event.onset && event.onset < b.end);
  // The pickup is counted from its end (T2).
  const from = bar === undefined ? 0 : bar.number === 0 ? bar.end : bar.start;
  const into = (((event.onset - from) % (2 * unit)) + 2 * unit) % (2 * unit);
  return into === unit ? feel.first / (feel.first + feel.second) - 0.5 : 0;
}

/** How long a phrase sounds once through, in seconds. */
function secondsOf(p: Phrase): number {
  return ((p.length / TEMPO_TICKS[p.tempo.unit]) * 60) / p.tempo.bpm;
}

/** What each note is, as its name; notes without a chord have none. */
function degreesIn(p: Phrase, against: 'chord' | 'key'): ReadonlyMap<NoteId, string> {
  const names = new Map<NoteId, string>();
  for (const r of analyse(p).readings) {
    const degree = against === 'chord' ? r.heard.chordDegree : r.heard.keyDegree;
    if (degree !== null) names.set(r.note.id, formatDegree(degree));
  }
  return names;
}

/** What a hand cannot do afterwards and could before. */
function newFaults(before: Phrase, after: Phrase): readonly string[] {
  const key = (v: { readonly rule: string; readonly noteIds: readonly NoteId[] }) =>
    `${v.rule} ${v.noteIds.join(' ')}`;
  const known = new Set(checkPlayable(before).map(key));
  return [
    ...new Set(
      checkPlayable(after)
        .filter((v) => !known.has(key(v)))
        .map((v) => v.message),
    ),
  ];
}

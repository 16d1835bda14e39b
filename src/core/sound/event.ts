import { placeMidi } from '../phrase/instrument';
import {
  type Grace,
  type GraceNote,
  type Instrument,
  type Legato,
  type Note,
  type PhraseEvent,
  type PitchedNote,
  TICKS_PER_QUARTER,
} from '../phrase/types';
import { legatoSource } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { addCurves, curveFrom, lineAt } from './curve';
import {
  deadLevel,
  deadManner,
  eventLevel,
  eventShare,
  mannerOf,
  motionOf,
  noteLevel,
  ownCurve,
} from './heard';
import { LEVEL } from './loudness';
import { glideCurve, type SlideManner } from './motion';
import type { Begin, PitchPoint, Seconds, Sound } from './types';

/** A sound before strings are damped by what comes after. */
export interface RawSound extends Sound {
  /** Rings on until its string is struck again. */
  readonly rings: boolean;
}

/** An event with its neighbours. */
export interface EventAt {
  readonly instrument: Instrument;
  readonly events: readonly PhraseEvent[];
  readonly index: number;
  readonly voice: 0 | 1;
}

/** When an event sounds as written, swing included, and how loud its moment is. */
export interface EventTime {
  readonly from: Seconds;
  readonly length: Seconds;
  /** Decibels of the dynamic mark in force. */
  readonly level: number;
}

/** What comes before the notes of an event takes its time from them; in all at most this share (ours). */
const MOST_LEAD = 0.5;
/** Seconds a grace note, a raked string, and a string of a strum take where there is room (ours). */
const GRACE = 0.08;
const RAKE = 0.022;
const STRUM = 0.014;
const STRUM_SHARE = 0.25;
/** A dead string is a click of at most this length. */
const DEAD = 0.12;
/** Notes of a trill a second (ours). */
const TRILL_RATE = 11;

const BEGIN: Readonly<Record<NonNullable<PitchedNote['attack']>, Begin>> = {
  'hammer-on': 'hammered',
  'pull-off': 'pulled',
  slide: 'slid',
  'slide-plucked': 'plucked',
  tap: 'tapped',
};

const BEGIN_LEVEL: Readonly<Record<Begin, number>> = {
  plucked: 0,
  hammered: LEVEL.hammered,
  pulled: LEVEL.pulled,
  slid: LEVEL.slid,
  tapped: LEVEL.tapped,
};

/** Every sound of one event, in written time: rake, graces, then the notes. */
export function eventSounds(at: EventAt, time: EventTime, slides: SlideManner): RawSound[] {
  const event = at.events[at.index]!;
  const rake = rakeSounds(at, event, time);
  const graces = graceSounds(at, event, { ...time, from: time.from + rake.lead }, slides);
  const strum = strumDelays(event, time.length);
  const notes = event.notes.flatMap((n) => {
    const lead = rake.lead + (waitsForGraces(event, n) ? graces.lead : 0);
    const delay = lead + strum(n);
    const length = Math.max(0, time.length - delay);
    return noteSounds(at, event, n, { ...time, from: time.from + delay, length }, slides);
  });
  return [...rake.sounds, ...graces.sounds, ...notes];
}

/** Sounds that lead up to the notes, and the time they take from them. */
interface Lead {
  readonly sounds: readonly RawSound[];
  readonly lead: Seconds;
}

function rakeSounds(at: EventAt, e: PhraseEvent, time: EventTime): Lead {
  const strings = e.rake ?? [];
  const step = Math.min(RAKE, (MOST_LEAD * time.length) / Math.max(1, 2 * strings.length));
  const fret = Math.min(...e.notes.map((n) => n.fret));
  const sounds = strings.map((string, i) => ({
    ...plain(at, e, { string, fret }),
    noteId: null,
    onset: time.from + i * step,
    length: step,
    level: time.level + eventLevel(e) + LEVEL.rake,
    manner: 'dead' as const,
    midi: placeMidi(at.instrument, { string, fret }),
  }));
  return { sounds, lead: step * strings.length };
}

function graceSounds(at: EventAt, e: PhraseEvent, time: EventTime, slides: SlideManner): Lead {
  const graces = e.graces ?? [];
  const step = Math.min(GRACE, (MOST_LEAD * time.length) / Math.max(1, graces.length));
  const sounds = graces.flatMap((g, i) =>
    g.notes.map((n): RawSound => {
      const begin = n.attack === undefined ? 'plucked' : BEGIN[n.attack];
      const midi = midiOf(n.pitch);
      const next = slidTo(e, i, n.string);
      const curve: readonly PitchPoint[] = [{ at: 0, cents: 0 }];
      return {
        ...plain(at, e, n),
        noteId: null,
        onset: time.from + i * step,
        length: step,
        level: time.level + eventLevel(e) + LEVEL.grace + BEGIN_LEVEL[begin],
        begin,
        manner: e.palmMute === true ? 'palm' : 'open',
        midi,
        curve:
          next === null ? curve : addCurves(curve, glideCurve(next - midi, curve, step, slides)),
      };
    }),
  );
  return { sounds, lead: step * graces.length };
}

/** The pitch that a grace is slid to: the next grace on its string, else the note. */
function slidTo(e: PhraseEvent, grace: number, string: number): number | null {
  const later: readonly Grace[] = e.graces?.slice(grace + 1) ?? [];
  const next: GraceNote | Note | undefined =
    later.flatMap((g) => g.notes).find((n) => n.string === string) ??
    e.notes.find((n) => n.string === string);
  if (next === undefined || ('kind' in next && next.kind === 'dead')) return null;
  return slides(next.attack) ? midiOf(next.pitch) : null;
}

function slides(attack: PitchedNote['attack'] | Legato): boolean {
  return attack === 'slide' || attack === 'slide-plucked';
}

/**
 * A note waits for the graces, except where all of them lead on without a new pluck: then the other
 * strings are struck together with the first grace, as in a hammered double stop (common practice).
 */
function waitsForGraces(e: PhraseEvent, n: Note): boolean {
  const graces = e.graces?.flatMap((g) => g.notes) ?? [];
  if (graces.length === 0) return false;
  const led = (string: number) => graces.some((g) => g.string === string);
  if (led(n.string)) return true;
  return !e.notes
    .filter((m) => led(m.string))
    .every((m) => m.kind === 'pitched' && isLegato(m.attack));
}

function isLegato(attack: PitchedNote['attack']): boolean {
  return attack === 'hammer-on' || attack === 'pull-off' || attack === 'slide';
}

/** Seconds by which each string of a strum comes after the first. */
function strumDelays(e: PhraseEvent, length: Seconds): (n: Note) => Seconds {
  if (e.strum === undefined) return () => 0;
  const order = e.notes.map((n) => n.string).sort((a, b) => (e.strum === 'down' ? b - a : a - b));
  const step = Math.min(STRUM, (STRUM_SHARE * length) / order.length);
  return (n) => order.indexOf(n.string) * step;
}

function plain(at: EventAt, e: PhraseEvent, place: { string: number; fret: number }) {
  return {
    voice: at.voice,
    string: place.string,
    fret: place.fret,
    tick: e.onset,
    begin: 'plucked' as Begin,
    curve: [{ at: 0, cents: 0 }] as readonly PitchPoint[],
    rings: false,
  };
}

function noteSounds(
  at: EventAt,
  e: PhraseEvent,
  n: Note,
  time: EventTime,
  slides: SlideManner,
): readonly RawSound[] {
  const level = time.level + eventLevel(e);
  if (n.kind === 'dead') {
    const one: RawSound = {
      ...plain(at, e, n),
      noteId: n.id,
      onset: time.from,
      length: n.scrape === undefined ? Math.min(DEAD, time.length) : time.length,
      level: level + deadLevel(n),
      manner: deadManner(n),
      midi: placeMidi(at.instrument, n),
    };
    return strokes(e, one, time.length);
  }
  const sound = pitchedSound(at, e, n, { ...time, level }, slides);
  if (n.trill !== undefined && e.tremolo === undefined) return trilled(n, sound);
  return strokes(e, sound, sound.length);
}

function pitchedSound(
  at: EventAt,
  e: PhraseEvent,
  n: PitchedNote,
  time: EventTime,
  slides: SlideManner,
): RawSound {
  const source = legatoSource(at.events, at.index, n.string);
  const begin: Begin =
    n.attack === undefined || (n.attack !== 'tap' && source === null) ? 'plucked' : BEGIN[n.attack];
  const length = time.length * eventShare(e);
  return {
    ...plain(at, e, n),
    noteId: n.id,
    onset: time.from,
    length,
    level: time.level + noteLevel(n) + BEGIN_LEVEL[begin],
    begin,
    manner: mannerOf(e, n),
    midi: soundingMidi(n),
    curve: curveOf(at, n, time.length, slides),
    ...motionOf(n, length),
  };
}

/** Where the curve counts from: of a stopped harmonic the pitch that is heard. */
function soundingMidi(n: PitchedNote): number {
  const stopped = n.harmonic !== undefined && n.harmonic.kind !== 'natural';
  return midiOf(n.pitch) + (stopped ? n.harmonic!.above : 0);
}

/** What moves the note's own pitch, and the way to the next note on top of it. */
function curveOf(
  at: EventAt,
  n: PitchedNote,
  length: Seconds,
  slides: SlideManner,
): readonly PitchPoint[] {
  const own = ownCurve(n, length, slides);
  const goal = goalOfSlide(at, n);
  if (goal === null) return own;
  return addCurves(own, glideCurve(goal - midiOf(n.pitch), own, length, slides));
}

/** The pitch of the next note where it is slid to from this one, without graces between them. */
function goalOfSlide(at: EventAt, n: PitchedNote): number | null {
  const next = at.events[at.index + 1]?.notes.find((m) => m.string === n.string);
  if (next === undefined || next.kind === 'dead' || !slides(next.attack)) return null;
  const source = legatoSource(at.events, at.index + 1, n.string);
  return source?.id === n.id ? midiOf(next.pitch) : null;
}

/** Tremolo picking: the note is struck again and again through its length; else once. */
function strokes(e: PhraseEvent, s: RawSound, length: Seconds): readonly RawSound[] {
  if (e.tremolo === undefined) return [s];
  const count = Math.max(1, Math.round(e.duration / (TICKS_PER_QUARTER / 2 ** e.tremolo)));
  const step = length / count;
  return Array.from({ length: count }, (_, i): RawSound => {
    const from = i * step;
    return {
      ...later(s, from),
      length: Math.min(step, s.manner === 'dead' ? s.length : step),
      begin: i === 0 ? s.begin : 'plucked',
      level: s.level + (i % 2 === 1 ? LEVEL.upstroke : 0),
    };
  });
}

/** What is left of a sound from a moment on. */
function later(s: RawSound, from: Seconds): RawSound {
  if (from === 0) return s;
  const { shake, dips, ...rest } = s;
  return {
    ...rest,
    onset: s.onset + from,
    length: s.length - from,
    curve: curveFrom(s.curve, from),
    ...(shake === undefined ? {} : { shake: { ...shake, from: shake.from - from } }),
  };
}

/** A trill: hammered and pulled off in turn on one string, beginning with the written note. */
function trilled(n: PitchedNote, s: RawSound): readonly RawSound[] {
  const interval = midiOf(n.trill!.upper) - midiOf(n.pitch);
  // An odd number: it ends on the written note, from which the line goes on.
  const count = Math.max(3, 2 * Math.round((s.length * TRILL_RATE) / 2) + 1);
  const step = s.length / count;
  return Array.from({ length: count }, (_, i): RawSound => {
    const upper = i % 2 === 1;
    const from = i * step;
    return {
      ...later(s, from),
      length: step,
      fret: s.fret + (upper ? interval : 0),
      midi: s.midi + (upper ? interval : 0),
      begin: i === 0 ? s.begin : upper ? 'hammered' : 'pulled',
      level: s.level + (i === 0 ? 0 : upper ? LEVEL.hammered : LEVEL.pulled),
      curve: upper ? [{ at: 0, cents: lineAt(s.curve, from) }] : curveFrom(s.curve, from),
    };
  });
}

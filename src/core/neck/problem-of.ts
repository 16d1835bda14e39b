import type { NoteId, Phrase, PhraseEvent, PitchedNote, Tempo } from '../phrase/types';
import { TICKS_PER_QUARTER } from '../phrase/types';
import { bendSemitones, endOf } from '../phrase/walk';
import type { PitchedTechnique } from '../technique/fields';
import { midiOf } from '../theory/pitch';
import { DEFAULT_LIMITS, type Limits } from './limits';
import {
  type FingeringProblem,
  type FingerNote,
  goesRightWay,
  type Link,
  type LinkKind,
  type Moment,
  type Neighbour,
} from './problem';
import { styleOf } from './style-of';
import { attackOf, type Beat, beatsOf, type Struck, sourceOf } from './timeline';

/** A wish for one note; where absent, what the options say for all. */
export interface NoteWish {
  readonly onlyString?: number;
  readonly onlyFret?: number;
  readonly fretRange?: readonly [number, number];
  readonly stringCosts?: readonly number[];
}

export interface ProblemOptions {
  readonly limits?: Limits;
  /** Where the hand comes from and where it goes, as evidence (soft). */
  readonly before?: Neighbour;
  readonly after?: Neighbour;
  /** What is struck first stays where it is: the player has said where the phrase begins. */
  readonly keepFirst?: boolean;
  /** Every note stays on its string. */
  readonly keepStrings?: boolean;
  /** Every note stays at its string and fret: only the hand is free. */
  readonly keepPlaces?: boolean;
  /** Lowest and highest fret of every note, both included (M12 'area'); taps, natural harmonics and dead notes are not bound. */
  readonly fretRange?: readonly [number, number];
  /** Wishes by note id or grace key; they go before the options for all. */
  readonly wishes?: (id: NoteId) => NoteWish | undefined;
  /**
   * False where the strings of the phrase mean nothing yet: hammer-ons, pull-offs and slides then
   * start from the note before that is nearest in pitch in their direction.
   */
  readonly placed?: boolean;
}

/** How many notes that ring on are kept in mind at once, the newest first. */
const RINGING_MOST = 3;

/**
 * The fingering problem of a phrase: pitches, techniques, what is held and linked. Strings and frets
 * of the phrase count only where pinned, dead or wished; pitches are what is to be sounded.
 */
export function problemOf(p: Phrase, options: ProblemOptions = {}): FingeringProblem {
  const beats = beatsOf(p);
  const notes: FingerNote[] = [];
  const index = new Map<NoteId, number>();
  const slidFrom = new Set<NoteId>();
  const links = new Map<NoteId, Link>();
  for (const beat of beats) {
    for (const s of beat.struck) {
      const link = linkOf(p, s, options.placed ?? true);
      if (link === null) continue;
      links.set(s.id, link);
      if (link.kind === 'slide' || link.kind === 'slide-plucked') slidFrom.add(link.source);
    }
  }
  const heldUnder = new Set(beats.flatMap((b) => b.held.map((s) => s.id)));
  for (const beat of beats) {
    for (const s of beat.struck) {
      index.set(s.id, notes.length);
      const stays = options.keepFirst === true && beat === beats[0];
      const wish = wishOf(s, stays ? { keepPlaces: true } : options);
      const note = fingerNote(s, links.get(s.id), slidFrom.has(s.id), wish);
      notes.push(heldUnder.has(s.id) ? { ...note, heldUnder: true } : note);
    }
  }
  return {
    instrument: p.instrument,
    limits: options.limits ?? DEFAULT_LIMITS,
    style: styleOf(p),
    notes,
    moments: momentsOf(p, beats, index),
    ...(options.before === undefined ? {} : { before: options.before }),
    ...(options.after === undefined ? {} : { after: options.after }),
  };
}

function momentsOf(
  p: Phrase,
  beats: readonly Beat[],
  index: ReadonlyMap<NoteId, number>,
): readonly Moment[] {
  const perTick = secondsPerTick(p.tempo);
  let ring: Struck[] = [];
  let sounding: readonly Struck[] = [];
  let before = beats[0]?.onset ?? 0;
  return beats.map((beat) => {
    const now = new Set([...beat.struck, ...beat.held].map((s) => s.id));
    const ended = sounding.filter((s) => !now.has(s.id) && ringsOn(s));
    const alive = [...ring, ...ended].filter((s) => !spanEnds(beat, s));
    ring = alive.slice(-RINGING_MOST);
    sounding = [...beat.held, ...beat.struck];
    const seconds = (beat.onset - before) * perTick;
    before = beat.onset;
    const numbers = (list: readonly Struck[]) => list.map((s) => index.get(s.id)!);
    return {
      onset: beat.onset,
      seconds,
      struck: numbers(beat.struck),
      held: numbers(beat.held),
      ringing: numbers(ring),
    };
  });
}

function ringsOn(s: Struck): boolean {
  return 'letRing' in s.note && s.note.letRing === true;
}

/** A span of let ring ends where its voice strikes a note without it. */
function spanEnds(beat: Beat, ringing: Struck): boolean {
  return beat.struck.some((s) => s.voice === ringing.voice && !ringsOn(s));
}

const UNIT_QUARTERS: Readonly<Record<Tempo['unit'], number>> = {
  eighth: 0.5,
  quarter: 1,
  'dotted-quarter': 1.5,
  half: 2,
};

/** Length of a tick as written; feel is left out, it never moves a hand farther. */
export function secondsPerTick(t: Tempo): number {
  return 60 / (t.bpm * UNIT_QUARTERS[t.unit] * TICKS_PER_QUARTER);
}

function wishOf(s: Struck, o: ProblemOptions): NoteWish {
  const own = o.wishes?.(s.id);
  if (own !== undefined) return own;
  if (o.keepPlaces === true) return { onlyString: s.note.string, onlyFret: s.note.fret };
  const wish: { onlyString?: number; fretRange?: readonly [number, number] } = {};
  if (o.keepStrings === true) wish.onlyString = s.note.string;
  if (o.fretRange !== undefined) wish.fretRange = o.fretRange;
  return wish;
}

type Draft = { -readonly [K in keyof FingerNote]: FingerNote[K] };

function fingerNote(
  s: Struck,
  link: Link | undefined,
  slidFrom: boolean,
  wish: NoteWish,
): FingerNote {
  const note = s.note;
  const draft: Draft = { id: s.id, kind: 'stopped', midi: 0, ...wish };
  if (slidFrom) draft.slidFrom = true;
  if (link !== undefined) draft.link = link;
  if (!('kind' in note)) {
    draft.midi = midiOf(note.pitch);
    if (note.attack !== undefined) draft.attack = note.attack;
    return draft;
  }
  if (note.kind === 'dead') {
    const { onlyFret: _, ...rest } = draft;
    return { ...rest, kind: 'dead', onlyString: note.string };
  }
  if (note.pinned) draft.onlyString ??= note.string;
  addTechniques(draft, note);
  return draft;
}

type Ask = (draft: Draft, note: PitchedNote) => void;

/** What each technique of a note asks of its place; null where it asks for nothing. */
const ASKS: Readonly<Record<PitchedTechnique, Ask | null>> = {
  harmonic: (draft, { harmonic }) => {
    if (harmonic?.kind === 'natural') draft.kind = 'harmonic';
  },
  bend: (draft, note) => {
    if (note.bend !== undefined) draft.bend = bendSemitones(note);
  },
  vibrato: (draft, { vibrato }) => {
    if (vibrato !== undefined) draft.vibrato = true;
  },
  slideIn: (draft, { slideIn: s }) => {
    if (s === undefined) return;
    draft.slideIn = { from: s.from, semitones: s.kind === 'interval' ? s.semitones : null };
  },
  slideOut: (draft, { slideOut }) => {
    if (slideOut !== undefined) draft.slideOut = slideOut;
  },
  trill: (draft, { trill }) => {
    if (trill !== undefined) draft.trill = midiOf(trill.upper) - draft.midi;
  },
  attack: (draft, { attack }) => {
    if (attack !== undefined) draft.attack = attack;
  },
  finger: (draft, { finger }) => {
    if (finger === 'T') draft.thumb = true;
  },
  barDip: null,
  letRing: null,
  ghost: null,
  pluck: null,
};

const ASKING = Object.values(ASKS).filter((ask) => ask !== null);

function addTechniques(draft: Draft, note: PitchedNote): void {
  draft.midi = midiOf(note.pitch);
  for (const ask of ASKING) ask(draft, note);
}

function linkOf(p: Phrase, s: Struck, placed: boolean): Link | null {
  const kind = attackOf(s);
  if (kind === undefined || kind === 'tap') return null;
  const events = p.voices[s.voice]!.events;
  const source = sourceOf(events, s);
  if (placed || events[s.eventIndex]!.graces !== undefined)
    return source === null ? null : { source, kind };
  const nearest = nearestSource(events, s, kind);
  return nearest === null ? null : { source: nearest, kind };
}

/** For strings that mean nothing yet: the nearest pitch in the event before that lies the right way. */
function nearestSource(events: readonly PhraseEvent[], s: Struck, kind: LinkKind): NoteId | null {
  const event = events[s.eventIndex]!;
  const before = events[s.eventIndex - 1];
  if (before === undefined || endOf(before) !== event.onset || !('pitch' in s.note)) return null;
  const midi = midiOf(s.note.pitch);
  let best: { id: NoteId; distance: number } | null = null;
  for (const n of before.notes) {
    if (n.kind !== 'pitched' || !goesRightWay(kind, midiOf(n.pitch), midi)) continue;
    const distance = Math.abs(midiOf(n.pitch) - midi);
    if (best === null || distance < best.distance) best = { id: n.id, distance };
  }
  return best?.id ?? null;
}

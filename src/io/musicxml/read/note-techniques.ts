import type { DeadNote, PitchedNote, Ticks } from '../../../core/phrase/types';
import type { DeadTechnique, PitchedTechnique } from '../../../core/technique/fields';
import { midiOf, type Pitch } from '../../../core/theory/pitch';
import type { NoteExtras } from '../misc';
import { bendOf, type PlacedBend } from './bend';
import { type NoteContext, pitchOf } from './built';
import type { DraftEvent, DraftNote } from './events';
import type { Found } from './log';
import type { NoteMarks } from './mark-types';
import type { MarkedNote } from './spans';

/** A note with pitch whose techniques are still being read. */
export type Draft = { -readonly [K in keyof PitchedNote]: PitchedNote[K] };

/** How each technique of a dead note is read. */
const DEAD_COLOURS: Readonly<Record<DeadTechnique, (m: NoteMarks) => Partial<DeadNote>>> = {
  scrape: ({ scrape }) => (scrape === null ? {} : { scrape }),
};

/** What the marks of a dead note say of how it is struck. */
export function deadColour(marks: NoteMarks): Partial<DeadNote> {
  return Object.assign({}, ...Object.values(DEAD_COLOURS).map((read) => read(marks)));
}

/** How a note begins. @param slides Receives the grace note that is the beginning of a slide-in. */
export function addAttack(
  note: Draft,
  d: DraftNote,
  entry: NoteExtras | null,
  slides: Set<MarkedNote>,
  c: NoteContext,
): void {
  const { marks, attack, slidFromGrace } = d.parts[0]!;
  if (slidFromGrace !== null && slidFromGrace.raw.pitch !== null) {
    const from = midiOf(pitchOf(slidFromGrace.raw.pitch, c));
    const semitones = midiOf(note.pitch) - from;
    const size = Math.abs(semitones);
    const direction = semitones > 0 ? 'below' : 'above';
    const said = entry?.slideIn;
    const isSlideIn = !c.own || (said?.from === direction && said.semitones === size);
    if (size >= 1 && size <= 12 && isSlideIn) {
      slides.add(slidFromGrace);
      note.slideIn = { kind: 'interval', from: direction, semitones: size };
      return;
    }
  }
  if (attack !== null) note.attack = attack;
  else if (marks.tap) note.attack = 'tap';
  else if (entry?.attack !== undefined) note.attack = entry.attack;
}

/** Every other technique of a note. */
export function addColour(
  note: Draft,
  d: DraftNote,
  event: DraftEvent,
  entry: NoteExtras | null,
  found: Found,
  c: NoteContext,
): void {
  const { marks } = d.parts[0]!;
  const last = d.parts.at(-1)!.marks;
  for (const read of Object.values(COLOURS)) {
    read?.(note, { d, marks, last, onset: event.onset, entry, found, c });
  }
}

/** A quarter tone is a curl that is up as soon as it can be: on a guitar it is bent from the fret below. */
const UP_AT_ONCE = [
  { at: 0, amount: 0 },
  { at: 1, amount: 100 },
  { at: 100, amount: 100 },
] as const;

const QUARTER_CURLED = 'quarter tones are curled up to from the semitone below';
const QUARTER_LOST = 'a quarter tone that is bent begins at the semitone below';

interface Written {
  readonly d: DraftNote;
  /** Of the first and of the last of its tied notes. */
  readonly marks: NoteMarks;
  readonly last: NoteMarks;
  readonly onset: number;
  readonly entry: NoteExtras | null;
  readonly found: Found;
  readonly c: NoteContext;
}

/**
 * How each technique of a note is read, in this order. Null: what decides about the pitch is read with
 * it, and how the note begins before, since a grace may turn out to be a slide-in.
 */
const COLOURS: Readonly<Record<PitchedTechnique, ((note: Draft, w: Written) => void) | null>> = {
  attack: null,
  harmonic: null,
  slideIn: (note, { marks }) => {
    if (marks.slideIn === null || note.slideIn !== undefined) return;
    note.slideIn = { kind: 'indefinite', from: marks.slideIn };
  },
  slideOut: (note, { marks, last }) => {
    const off = last.slideOut ?? marks.slideOut;
    if (off !== null) note.slideOut = off;
  },
  bend: (note, { d, onset, entry, found, c }) => {
    const bends = bendsOf(d, onset);
    const { raw } = d.parts[0]!;
    // Where no string could be bent up to it the note is fretted above it.
    const below = raw.pitch !== null && midiOf(note.pitch) <= midiOf(pitchOf(raw.pitch, c));
    if (raw.quarterUp && below) {
      if (bends.length === 0) note.bend = { shape: 'curl', curve: UP_AT_ONCE };
      const said = bends.length === 0 ? QUARTER_CURLED : QUARTER_LOST;
      c.log.add('approximated', said, found);
    }
    if (bends.length === 0) return;
    const spell = (midi: number) => c.speller.over(midi, onset);
    const bend = bendOf(bends, note.pitch, spell, entry?.bend, found, c.log);
    if (bend !== null) note.bend = bend;
  },
  trill: (note, { d, entry, c }) => {
    const trill = d.parts.find((p) => p.marks.trill !== null)?.marks.trill ?? null;
    if (trill !== null) note.trill = { upper: trillUpper(note.pitch, trill, entry, c) };
  },
  vibrato: (note, { d }) => {
    const vibrato = d.parts.find((p) => p.vibrato !== null)?.vibrato ?? null;
    // The wavy line behind a trill belongs to it.
    if (vibrato !== null && note.trill === undefined) note.vibrato = vibrato;
  },
  barDip: (note, { d }) => {
    const dip = d.parts.find((p) => p.marks.barDip !== null)?.marks.barDip ?? null;
    if (dip !== null) note.barDip = dip;
  },
  ghost: (note, { d }) => {
    if (d.parts.some((p) => p.marks.ghost)) note.ghost = true;
  },
  letRing: (note, { d, onset, c }) => {
    if (d.parts.some((p) => p.marks.letRing) || c.ringing.covers(onset)) note.letRing = true;
  },
  finger: (note, { marks }) => {
    if (marks.finger !== null && marks.finger !== undefined) note.finger = marks.finger;
  },
  pluck: (note, { marks }) => {
    if (marks.pluck !== null && marks.pluck !== undefined) note.pluck = marks.pluck;
  },
};

/** The bends of tied notes; what stands at a later one begins there. */
function bendsOf(d: DraftNote, onset: Ticks): readonly PlacedBend[] {
  const whole = d.end - onset;
  return d.parts.flatMap((p, i) => {
    const from = i === 0 || whole <= 0 ? 0 : ((d.onsets[i]! - onset) * 100) / whole;
    const to = i === 0 || whole <= 0 ? 100 : (((d.onsets[i + 1] ?? d.end) - onset) * 100) / whole;
    return p.marks.bends.map((m): PlacedBend => ({ ...m, within: [from, to] }));
  });
}

function trillUpper(
  pitch: Pitch,
  trill: NonNullable<NoteMarks['trill']>,
  entry: NoteExtras | null,
  c: NoteContext,
): Pitch {
  const own = entry?.trill;
  if (own !== undefined) {
    const width = midiOf(own) - midiOf(pitch);
    // What the element says goes before the entry: wider ones are only in the entry.
    if (trill.semitones === null ? width > 2 && width <= 12 : width === trill.semitones) return own;
  }
  return trill.semitones === null
    ? c.speller.neighbour(pitch)
    : c.speller.step(pitch, trill.semitones);
}

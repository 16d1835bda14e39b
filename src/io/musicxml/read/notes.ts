import { fretFor } from '../../../core/phrase/instrument';
import { nonEmpty } from '../../../core/phrase/rebuild';
import type {
  DeadNote,
  GraceNote,
  Instrument,
  Note,
  NoteId,
  PhraseEvent,
  PitchedNote,
  Place,
} from '../../../core/phrase/types';
import type {
  DeadTechnique,
  MomentTechnique,
  PitchedTechnique,
} from '../../../core/technique/fields';
import { midiOf, type Pitch } from '../../../core/theory/pitch';
import type { NoteExtras } from '../misc';
import { bendOf } from './bend';
import type { SpanCover } from './directions';
import type { DraftEvent, DraftNote } from './events';
import type { ExtrasFinder } from './extras';
import type { Found, ImportLog } from './log';
import type { NoteMarks } from './marks';
import { settleSounding, writtenPlace } from './sounding';
import type { MarkedNote } from './spans';
import type { Speller } from './spelling';

/** What all notes of a part are built with. */
export interface NoteContext {
  readonly instrument: Instrument;
  readonly speller: Speller;
  readonly finder: ExtrasFinder;
  /** Whether the file was written by us: then a grace with a slide may be just that. */
  readonly own: boolean;
  /** Whether any note of the file has string and fret. */
  readonly hasTab: boolean;
  /** Whether the part is written transposed. */
  readonly transposed: boolean;
  /** Octaves to take off every pitch; see `octavesAboveFrets`. */
  readonly octavesDown: number;
  /** Stretches under 'P.M.' and 'let ring' in a file whose notes do not say so themselves. */
  readonly muted: SpanCover;
  readonly ringing: SpanCover;
  readonly ids: IdSource;
  readonly log: ImportLog;
}

/** Hands out the ids of notes, none twice. */
export class IdSource {
  readonly #used = new Set<string>();
  readonly #newId: () => string;
  #collisions = 0;

  constructor(newId: () => string) {
    this.#newId = newId;
  }

  /** The wanted id where it is free and of the form ids have, else a new one. */
  take(wanted: string | null): NoteId {
    const usable = wanted !== null && /^[!-~]{1,200}$/u.test(wanted) && !this.#used.has(wanted);
    let id = usable ? wanted : this.#newId();
    // A new id may be one that another note brought along.
    while (this.#used.has(id)) id = `${this.#newId()}-${++this.#collisions}`;
    this.#used.add(id);
    return id;
  }
}

/** A note of an event that may have no place yet. */
export interface BuiltNote {
  readonly note: Note;
  /** False where string and fret are still to be chosen; those of the note are then placeholders. */
  readonly placed: boolean;
  /** A dead note whose pitch must tell where the hand is. */
  readonly deadPitch: Pitch | null;
  /** Our own entry says that the event's length was guessed. */
  readonly guessed: boolean;
}

export interface BuiltGrace {
  readonly note: GraceNote;
  readonly placed: boolean;
}

/** An event with its notes by string where placed, else by pitch from the top. */
export interface BuiltEvent {
  readonly event: Omit<PhraseEvent, 'notes' | 'graces'>;
  readonly notes: readonly BuiltNote[];
  readonly graces: readonly (readonly BuiltGrace[])[];
}

/** Builds one event; null when nothing of it can be kept. */
export function buildEvent(draft: DraftEvent, c: NoteContext): BuiltEvent | null {
  const found: Found = { onset: draft.onset, line: draft.line };
  const slides = new Set<MarkedNote>();
  const notes: BuiltNote[] = [];
  for (const d of draft.notes) {
    const built = buildNote(d, draft, slides, found, c);
    if (built !== null) notes.push(built);
  }
  if (notes.length === 0) return null;
  const graces: BuiltGrace[][] = [];
  const rake: number[] = [];
  for (const group of draft.graces) {
    const kept: BuiltGrace[] = [];
    for (const g of group) {
      if (slides.has(g)) continue;
      if (g.marks.rake || g.marks.dead) {
        const string = g.marks.string ?? rakedString(g, notes, c);
        if (string !== null) rake.push(string);
        else c.log.add('dropped', 'raked or dead grace notes without a string: not kept', found);
        continue;
      }
      const built = buildGrace(g, found, c);
      if (built !== null) kept.push(built);
    }
    if (kept.length > 0) graces.push(kept);
  }
  const striking = buildStriking(draft, rake, found, c);
  const event = notes.some((n) => n.guessed) ? { ...striking, guessed: true as const } : striking;
  return { event, notes, graces };
}

/** Without tab: the string that has the muted pitch where the hand is. */
function rakedString(g: MarkedNote, notes: readonly BuiltNote[], c: NoteContext): number | null {
  const { pitch } = g.raw;
  if (pitch === null || notes.some((n) => !n.placed)) return null;
  const frets = notes.map((n) => n.note.fret).filter((f) => f > 0);
  const fret = frets.length === 0 ? 0 : Math.min(...frets);
  const midi = midiOf(pitchOf(pitch, c));
  const i = c.instrument.tuning.findIndex((_, k) => fretFor(c.instrument, k + 1, midi) === fret);
  return i < 0 ? null : i + 1;
}

type Head = { -readonly [K in keyof BuiltEvent['event']]: BuiltEvent['event'][K] };

function buildStriking(
  draft: DraftEvent,
  rake: readonly number[],
  found: Found,
  c: NoteContext,
): BuiltEvent['event'] {
  const marks = draft.notes.map((n) => n.parts[0]!.marks);
  const some = (field: 'palmMute' | 'staccato' | 'accent' | 'tenuto') =>
    marks.some((m) => m[field]);
  const head: Head = { onset: draft.onset, duration: draft.end - draft.onset };
  const said = { marks, some, rake, draft, found, c };
  for (const read of Object.values(STRIKING)) read?.(head, said);
  return head;
}

interface Said {
  readonly marks: readonly NoteMarks[];
  readonly some: (field: 'palmMute' | 'staccato' | 'accent' | 'tenuto') => boolean;
  readonly rake: readonly number[];
  readonly draft: DraftEvent;
  readonly found: Found;
  readonly c: NoteContext;
}

/** How each technique of a moment is read, in this order; graces are built by themselves. */
const STRIKING: Readonly<Record<MomentTechnique, ((head: Head, s: Said) => void) | null>> = {
  strum: (head, { marks, draft, found, c }) => {
    const strum = marks.find((m) => m.strum !== null)?.strum ?? null;
    if (strum === null) return;
    if (draft.notes.length >= 2) head.strum = strum;
    else c.log.add('dropped', 'an arpeggio of one note: not kept', found);
  },
  stroke: (head, { marks, found, c }) => {
    const stroke = marks.find((m) => m.stroke !== null)?.stroke ?? null;
    if (stroke === null) return;
    if (head.strum === undefined) head.stroke = stroke;
    else if (stroke !== head.strum) {
      c.log.add('dropped', 'a pick stroke against its strum is left out', found);
    }
  },
  rake: (head, { rake }) => {
    const struck = nonEmpty(rake);
    if (struck !== null) head.rake = struck;
  },
  palmMute: (head, { some, draft, c }) => {
    if (some('palmMute') || c.muted.covers(draft.onset)) head.palmMute = true;
  },
  staccato: (head, { some }) => {
    if (some('staccato')) head.staccato = true;
  },
  accent: (head, { some }) => {
    if (some('accent')) head.accent = true;
  },
  tenuto: (head, { some }) => {
    if (some('tenuto')) head.tenuto = true;
  },
  tremolo: (head, { marks }) => {
    const tremolo = marks.find((m) => m.tremolo !== null)?.tremolo;
    if (tremolo !== null && tremolo !== undefined) head.tremolo = tremolo;
  },
  graces: null,
};

function pitchOf(raw: Pitch, c: NoteContext): Pitch {
  return c.octavesDown === 0 ? raw : { ...raw, octave: raw.octave - c.octavesDown };
}

/** @param slides Receives the grace notes that are the beginning of a slide-in. */
function buildNote(
  d: DraftNote,
  event: DraftEvent,
  slides: Set<MarkedNote>,
  found: Found,
  c: NoteContext,
): BuiltNote | null {
  const first = d.parts[0]!;
  if (first.marks.dead || first.marks.scrape !== null || d.pitch === null)
    return buildDead(d, event, found, c);
  const written = pitchOf(d.pitch, c);
  const xmlIds = d.parts.flatMap((p) => p.marks.xmlIds);
  const { transposed } = c;
  const trace = { onset: event.onset, pitch: written, place: null, xmlIds, transposed };
  let entry = c.hasTab ? null : c.finder.take(trace);
  const marks =
    entry === null ? first.marks : { ...first.marks, string: entry.at[2], fret: entry.at[3] };
  const sounding = settleSounding(written, marks, c.instrument, found, c.log);
  const { place } = sounding;
  if (c.hasTab && place !== null) {
    entry = c.finder.take({ ...trace, pitch: sounding.pitch, place });
  }
  // What was written transposed gets its sounding name back.
  const named = entry?.at[4];
  const pitch = named === undefined || named === 'x' ? sounding.pitch : named;
  const note: Draft = {
    kind: 'pitched',
    id: c.ids.take(entry?.id ?? null),
    pitch,
    string: place?.string ?? 0,
    fret: place?.fret ?? 0,
  };
  if (sounding.harmonic !== null) {
    const above = sounding.harmonic.kind === 'natural' ? undefined : entry?.above;
    note.harmonic = { ...sounding.harmonic, above: above ?? sounding.harmonic.above };
  }
  addAttack(note, d, entry, slides, c);
  addColour(note, d, event, entry, found, c);
  addUserFields(note, entry);
  return { note, placed: place !== null, deadPitch: null, guessed: entry?.guessed === true };
}

type Draft = { -readonly [K in keyof PitchedNote]: PitchedNote[K] };

function buildDead(
  d: DraftNote,
  event: DraftEvent,
  found: Found,
  c: NoteContext,
): BuiltNote | null {
  const first = d.parts[0]!;
  const xmlIds = d.parts.flatMap((p) => p.marks.xmlIds);
  let place = writtenPlace(first.marks, c.instrument);
  const entry =
    c.hasTab && place === null
      ? null
      : c.finder.take({ onset: event.onset, pitch: null, place, xmlIds, transposed: false });
  if (place === null && entry !== null) place = placeOfEntry(entry, c);
  const raw = d.pitch === null ? null : pitchOf(d.pitch, c);
  if (place === null && raw === null) {
    c.log.add('dropped', 'unpitched notes without string and fret: not kept', found);
    return null;
  }
  const note: Note = {
    kind: 'dead',
    id: c.ids.take(entry?.id ?? null),
    string: place?.string ?? 0,
    fret: place?.fret ?? 0,
    ...deadColour(first.marks),
    ...(entry?.pinned === true ? { pinned: true } : {}),
  };
  const guessed = entry?.guessed === true;
  return { note, placed: place !== null, deadPitch: place === null ? raw : null, guessed };
}

/** How each technique of a dead note is read. */
const DEAD_COLOURS: Readonly<Record<DeadTechnique, (m: NoteMarks) => Partial<DeadNote>>> = {
  scrape: ({ scrape }) => (scrape === null ? {} : { scrape }),
};

function deadColour(marks: NoteMarks): Partial<DeadNote> {
  return Object.assign({}, ...Object.values(DEAD_COLOURS).map((read) => read(marks)));
}

function placeOfEntry(entry: NoteExtras, c: NoteContext): Place | null {
  const place = { string: entry.at[2], fret: entry.at[3] };
  const exists = place.string >= 1 && place.string <= c.instrument.tuning.length;
  return exists && place.fret <= c.instrument.frets - c.instrument.capo ? place : null;
}

function addAttack(
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

function addColour(
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
    const bends = d.parts.flatMap((p) => p.marks.bends);
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

function addUserFields(note: Draft, entry: NoteExtras | null): void {
  if (entry === null) return;
  if (entry.anchor !== undefined) note.anchor = entry.anchor;
  if (entry.role !== undefined) note.role = entry.role;
  if (entry.anticipation !== undefined) note.anticipation = entry.anticipation;
  if (entry.pinned === true) note.pinned = true;
}

function buildGrace(g: MarkedNote, found: Found, c: NoteContext): BuiltGrace | null {
  if (g.raw.pitch === null) {
    c.log.add('dropped', 'unpitched grace notes: not kept', found);
    return null;
  }
  if (g.marks.bends.length > 0) c.log.add('dropped', 'bends of grace notes: not kept', found);
  const { pitch, place } = settleSounding(
    pitchOf(g.raw.pitch, c),
    { ...g.marks, harmonic: null },
    c.instrument,
    found,
    c.log,
  );
  const attack = g.attack === 'slide-plucked' ? 'slide' : g.attack;
  const note: GraceNote = {
    pitch,
    string: place?.string ?? 0,
    fret: place?.fret ?? 0,
    ...(attack === null ? {} : { attack }),
  };
  return { note, placed: place !== null };
}

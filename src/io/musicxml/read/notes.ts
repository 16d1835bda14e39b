import { fretFor } from '../../../core/phrase/instrument';
import type { GraceNote, Note, Place } from '../../../core/phrase/types';
import { midiOf, type Pitch, staffStep } from '../../../core/theory/pitch';
import type { NoteExtras } from '../misc';
import {
  type BuiltEvent,
  type BuiltGrace,
  type BuiltNote,
  type NoteContext,
  pitchOf,
} from './built';
import type { DraftEvent, DraftNote } from './events';
import type { Found } from './log';
import { addAttack, addColour, type Draft, deadColour } from './note-techniques';
import { spellNear } from './pitch';
import { settleSounding, writtenPlace } from './sounding';
import type { MarkedNote } from './spans';
import { buildStriking } from './striking';

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
  const written = heardPitch(d, d.pitch, found, c);
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

/** The pitch as it is fretted; of a quarter tone that no string can be bent up to, the semitone above it. */
function heardPitch(d: DraftNote, raw: Pitch, found: Found, c: NoteContext): Pitch {
  const pitch = pitchOf(raw, c);
  if (!d.parts[0]!.raw.quarterUp) return pitch;
  const midi = midiOf(pitch);
  const fretOn = (sound: number) =>
    Math.max(...c.instrument.tuning.map((_, k) => fretFor(c.instrument, k + 1, sound) ?? -1));
  if (fretOn(midi) > 0 || fretOn(midi + 1) < 0) return pitch;
  c.log.add(
    'approximated',
    'a quarter tone that no string can be bent up to is read as the semitone above it',
    found,
  );
  return spellNear(staffStep(pitch), midi + 1);
}

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
  if (place === null && !c.own) {
    c.log.add(
      'assumed',
      'a note with an x for its head is a dead note: it lies where its pitch is, and sounds none',
      found,
    );
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

function placeOfEntry(entry: NoteExtras, c: NoteContext): Place | null {
  const place = { string: entry.at[2], fret: entry.at[3] };
  const exists = place.string >= 1 && place.string <= c.instrument.tuning.length;
  return exists && place.fret <= c.instrument.frets - c.instrument.capo ? place : null;
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
  if (g.raw.quarterUp) {
    c.log.add('approximated', 'grace notes in quarter tones are read as the semitone below', found);
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

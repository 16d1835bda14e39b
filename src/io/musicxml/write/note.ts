import type { ShownAccidental } from '../../../core/phrase/accidentals';
import { slideInStart } from '../../../core/phrase/slide-in';
import { isUsual } from '../../../core/phrase/tuplet-ratio';
import type { Grace, GraceNote, Note, PhraseEvent } from '../../../core/phrase/types';
import type { WrittenItem } from '../../../core/phrase/written';
import type { Pitch } from '../../../core/theory/pitch';
import { noteXmlId, type StaffKind } from '../misc';
import { el, group, leaf, type XmlNode } from '../xml/format';
import {
  eventSpot,
  graceSpot,
  type Link,
  type Links,
  type SpannerNumbers,
  type Spot,
  slideInSpot,
} from './spanners';
import {
  addDeadTechniques,
  addLink,
  addStriking,
  addTechniques,
  emptyNotations,
  type Notations,
  notationsNode,
} from './technique';

/** What the notes of one voice on one staff have in common. */
export interface NoteContext {
  readonly staff: StaffKind;
  /** Number of the staff where the part has two. */
  readonly staffNumber: number | null;
  /** Index of the voice in the phrase. */
  readonly voice: number;
  /** MusicXML's voice number. */
  readonly voiceNumber: number;
  /** The staff shows only frets under the notation: no stems, beams or rests. */
  readonly bare: boolean;
  /** Stems apart where two voices share the staff. */
  readonly stem: 'up' | 'down' | null;
  readonly links: Links;
  readonly numbers: SpannerNumbers;
  /** How a sounding pitch is written (N2). */
  readonly written: (p: Pitch) => Pitch;
  /** The pitch at which a muted string is drawn. */
  readonly mutedPitch: (string: number, fret: number) => Pitch;
  /** Number of a note in the order of `notesOf`, from 1. */
  readonly numberOf: (note: Note) => number;
  /** Why the accidental at that place of the page is shown, or null; see `accidentalKey`. */
  readonly accidentalAt: (key: string) => ShownAccidental;
  /** Lines of text under a note. */
  readonly lyrics: (voice: number, event: number) => readonly string[];
}

/** Names a written pitch inside its bar for `accidentalAt`. */
export function accidentalKey(spot: Spot, part: number): string {
  return `${spot} ${part}`;
}

/** A rest. On a bare staff it is not printed. */
export function restNode(c: NoteContext, item: WrittenItem): XmlNode {
  return el(
    'note',
    c.bare ? { 'print-object': 'no' } : {},
    el('rest', item.wholeBar ? { measure: 'yes' } : {}),
    leaf('duration', item.duration),
    leaf('voice', c.voiceNumber),
    item.wholeBar ? null : valueNodes(item),
    timeModification(item),
    staffNode(c),
    tupletNotations(c, item),
  );
}

function tupletNotations(c: NoteContext, item: WrittenItem): XmlNode | null {
  const n = emptyNotations();
  addTuplet(n, c, item);
  return notationsNode(n);
}

/** The written notes of an item: the first time with the graces, rakes and slide-ins before it. */
export function eventNodes(c: NoteContext, event: PhraseEvent, item: WrittenItem): XmlNode[] {
  const index = item.event!;
  const before = item.part === 1 ? graceNodes(c, event, index) : [];
  const notes = fromLowestString(event.notes).map((note, i) =>
    mainNode(c, event, note, item, i === 0),
  );
  return [...before, ...notes];
}

function fromLowestString<T extends { readonly string: number }>(notes: readonly T[]): T[] {
  return [...notes].sort((a, b) => b.string - a.string);
}

function mainNode(
  c: NoteContext,
  event: PhraseEvent,
  note: Note,
  item: WrittenItem,
  first: boolean,
): XmlNode {
  const spot = eventSpot(c.voice, item.event!, note.string);
  const isFirstPart = item.part === 1;
  const isLastPart = !item.tieStart;
  const pitch = note.kind === 'dead' ? c.mutedPitch(note.string, note.fret) : note.pitch;
  const n = emptyNotations();
  if (item.tieStop) n.plain.push(el('tied', { type: 'stop' }));
  if (item.tieStart) n.plain.push(el('tied', { type: 'start' }));
  if (first) addTuplet(n, c, item);
  addLinks(n, c, spot, isFirstPart, isLastPart);
  addStriking(n, event, { first: isFirstPart, firstOfChord: first, bare: c.bare });
  const at = {
    first: isFirstPart,
    last: isLastPart,
    duration: event.duration,
    key: `${c.staff} ${spot}`,
    numbers: c.numbers,
  };
  if (note.kind === 'pitched') addTechniques(n, note, at);
  else addDeadTechniques(n, note, at);
  addPlace(n, c, note);
  const lyrics = isFirstPart && first ? c.lyrics(c.voice, item.event!) : [];
  return el(
    'note',
    { id: noteXmlId(c.staff, c.numberOf(note), item.part) },
    first ? null : group('chord'),
    pitchNode(c.written(pitch)),
    leaf('duration', item.duration),
    item.tieStop ? el('tie', { type: 'stop' }) : null,
    item.tieStart ? el('tie', { type: 'start' }) : null,
    leaf('voice', c.voiceNumber),
    valueNodes(item),
    accidentalNode(c, accidentalKey(spot, item.part), pitch),
    timeModification(item),
    stemNode(c),
    headNode(note),
    staffNode(c),
    first && !c.bare ? beamNodes(item) : null,
    notationsNode(n),
    lyrics.map((text, i) =>
      el(
        'lyric',
        { number: i + 1, name: 'degree' },
        leaf('syllabic', 'single'),
        leaf('text', text),
      ),
    ),
    event.palmMute === true ? group('play', leaf('mute', 'palm')) : null,
  );
}

/** Rake, graces and the starts of slide-ins, in the order they sound. */
function graceNodes(c: NoteContext, event: PhraseEvent, index: number): XmlNode[] {
  const nodes: XmlNode[] = [];
  const frets = event.notes.map((n) => n.fret).filter((f) => f > 0);
  const hand = frets.length === 0 ? 0 : Math.min(...frets);
  for (const string of event.rake ?? []) {
    const n = emptyNotations();
    n.technical.push(leaf('other-technical', 'rake'));
    const place = { string, fret: hand };
    const pitch = c.mutedPitch(string, hand);
    nodes.push(graceNode(c, place, pitch, '16th', n, { head: 'x', first: true, accidental: null }));
  }
  event.graces?.forEach((grace, g) => {
    nodes.push(...graceChord(c, event, index, grace, g));
  });
  nodes.push(...slideInNodes(c, event, index));
  return nodes;
}

function graceChord(
  c: NoteContext,
  event: PhraseEvent,
  index: number,
  grace: Grace,
  g: number,
): XmlNode[] {
  const value = event.graces!.length > 1 ? '16th' : 'eighth';
  return fromLowestString<GraceNote>(grace.notes).map((note, i) => {
    const spot = graceSpot(c.voice, index, g, note.string);
    const n = emptyNotations();
    addLinks(n, c, spot, true, true);
    const accidental = accidentalKey(spot, 1);
    return graceNode(c, note, note.pitch, value, n, { head: null, first: i === 0, accidental });
  });
}

function slideInNodes(c: NoteContext, event: PhraseEvent, index: number): XmlNode[] {
  return fromLowestString(slideInStarts(event)).map((start, i) => {
    const spot = slideInSpot(c.voice, index, start.string);
    const n = emptyNotations();
    addLinks(n, c, spot, true, true);
    const accidental = accidentalKey(spot, 1);
    return graceNode(c, start, start.pitch, 'eighth', n, {
      head: null,
      first: i === 0,
      accidental,
    });
  });
}

/** Where the slides-in of an event start. */
export function slideInStarts(
  event: PhraseEvent,
): readonly { readonly string: number; readonly fret: number; readonly pitch: Pitch }[] {
  return event.notes.flatMap((note) =>
    note.kind === 'pitched' && note.slideIn?.kind === 'interval'
      ? [{ string: note.string, ...slideInStart(note, note.slideIn) }]
      : [],
  );
}

interface GraceLook {
  readonly head: 'x' | null;
  /** Not joined to a grace before it as a chord. */
  readonly first: boolean;
  readonly accidental: string | null;
}

function graceNode(
  c: NoteContext,
  place: { readonly string: number; readonly fret: number },
  pitch: Pitch,
  value: 'eighth' | '16th',
  n: Notations,
  look: GraceLook,
): XmlNode {
  addPlace(n, c, place);
  return group(
    'note',
    el('grace', { slash: value === 'eighth' ? 'yes' : 'no' }),
    look.first ? null : group('chord'),
    pitchNode(c.written(pitch)),
    leaf('voice', c.voiceNumber),
    leaf('type', value),
    look.accidental === null ? null : accidentalNode(c, look.accidental, pitch),
    stemNode(c),
    look.head === null ? null : leaf('notehead', look.head),
    staffNode(c),
    notationsNode(n),
  );
}

function addTuplet(n: Notations, c: NoteContext, item: WrittenItem): void {
  const t = item.tuplet;
  if (t === null) return;
  const key = `${c.staff} ${c.voice} ${t.index}`;
  if (t.start) {
    const number = c.numbers.start('tuplet', key);
    // A program writes the number alone unless it is told otherwise.
    const both = isUsual(t) ? {} : { 'show-number': 'both' };
    n.plain.push(el('tuplet', { type: 'start', number, ...both }));
  }
  if (t.stop) n.plain.push(el('tuplet', { type: 'stop', number: c.numbers.stop('tuplet', key) }));
}

function addLinks(n: Notations, c: NoteContext, spot: Spot, first: boolean, last: boolean): void {
  const add = (type: 'start' | 'stop', links: readonly Link[] | undefined) => {
    for (const link of links ?? []) addLink(n, type, link, c.staff, c.numbers);
  };
  if (first) add('stop', c.links.stopAt.get(spot));
  if (last) add('start', c.links.startAt.get(spot));
}

/** String and fret stand on the tab staff, on tied notes too. */
function addPlace(
  n: Notations,
  c: NoteContext,
  place: { readonly string: number; readonly fret: number },
): void {
  if (c.staff === 'tab') n.technical.push(leaf('string', place.string), leaf('fret', place.fret));
}

function pitchNode(p: Pitch): XmlNode {
  return group(
    'pitch',
    leaf('step', p.letter),
    p.alter === 0 ? null : leaf('alter', p.alter),
    leaf('octave', p.octave),
  );
}

const ACCIDENTALS = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
} as const;

function accidentalNode(c: NoteContext, key: string, sounding: Pitch): XmlNode | null {
  const shown = c.staff === 'tab' ? null : c.accidentalAt(key);
  if (shown === null) return null;
  const cautionary = shown === 'cautionary' ? { cautionary: 'yes' } : {};
  return leaf('accidental', ACCIDENTALS[c.written(sounding).alter], cautionary);
}

function valueNodes(item: WrittenItem): XmlNode[] {
  return [leaf('type', item.value), ...(item.dots === 1 ? [group('dot')] : [])];
}

function timeModification(item: WrittenItem): XmlNode | null {
  const t = item.tuplet;
  if (t === null) return null;
  return group(
    'time-modification',
    leaf('actual-notes', t.actual),
    leaf('normal-notes', t.normal),
    leaf('normal-type', t.unit.value),
    t.unit.dots === 1 ? group('normal-dot') : null,
  );
}

function beamNodes(item: WrittenItem): XmlNode[] {
  return item.beams.map((part, level) => leaf('beam', part, { number: level + 1 }));
}

function headNode(note: Note): XmlNode | null {
  if (note.kind === 'dead') return leaf('notehead', 'x');
  return note.ghost === true ? leaf('notehead', 'normal', { parentheses: 'yes' }) : null;
}

function stemNode(c: NoteContext): XmlNode | null {
  if (c.bare) return leaf('stem', 'none');
  return c.stem === null ? null : leaf('stem', c.stem);
}

function staffNode(c: NoteContext): XmlNode | null {
  return c.staffNumber === null ? null : leaf('staff', c.staffNumber);
}

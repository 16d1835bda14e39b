import { accidentalsOf, type LastAlters } from '../../core/phrase/accidentals';
import { placeMidi } from '../../core/phrase/instrument';
import { writeRhythm } from '../../core/phrase/rhythm';
import { slideInStart } from '../../core/phrase/slide-in';
import type { BarSpan } from '../../core/phrase/time';
import type { Note, Phrase, PhraseEvent, PitchedNote, Ticks } from '../../core/phrase/types';
import { endOf } from '../../core/phrase/walk';
import type { WrittenItem } from '../../core/phrase/written';
import { type Alter, type Pitch, pitchOfMidi } from '../../core/theory/pitch';
import type { GlyphName } from '../font/glyphs';
import { SPACE } from '../ink/pen';
import { type Clef, clefOf, shownFifths, staffY, writtenPitch } from './clef';
import { soundsBent } from './held';

export type StemDirection = 'up' | 'down';
export type HeadShape = 'normal' | 'x' | 'diamond';

/** The signs of alteration that are written. */
export type AccidentalSign = Extract<GlyphName, `accidental${string}`>;

/** A place on the staff with the accidental it needs. */
export interface StaffPlace {
  /** Centre of the head; the staff's top line is 0. */
  readonly y: number;
  readonly accidental: AccidentalSign | null;
  /** The accidental only reminds of what the bar before had here. */
  readonly cautionary: boolean;
}

export interface ScoreNote extends StaffPlace {
  readonly note: Note;
  readonly head: HeadShape;
  /** Where a bend arrives; null without one, and for a curl. */
  readonly target: StaffPlace | null;
  /** Whether a bend is still up at the end of this part; its target may lie on the same line. */
  readonly held: boolean;
  /** Where a tie to the next part leaves it: at the end of a bend that is held. */
  readonly tieY: number;
}

export interface ScoreGraceNote extends StaffPlace {
  readonly string: number;
  readonly fret: number;
  readonly attack: 'hammer-on' | 'pull-off' | 'slide' | null;
}

/** A grace note or chord; the last one before its note may be the start of a slide-in. */
export interface ScoreGrace {
  readonly notes: readonly ScoreGraceNote[];
  readonly slideIn: boolean;
}

/** One written value of one voice with all it shows. */
export interface ScoreItem {
  readonly voice: 0 | 1;
  readonly written: WrittenItem;
  /** Null for a rest. */
  readonly event: PhraseEvent | null;
  readonly stem: StemDirection;
  /** Ascending in pitch on the page: the lowest first. */
  readonly notes: readonly ScoreNote[];
  readonly graces: readonly ScoreGrace[];
  /** Written an octave lower under an 8va sign. */
  readonly octave: boolean;
  /** Number of the beam group in its bar and voice; null for what keeps its flag. */
  readonly group: number | null;
  /** The next event of its voice is reached from it without lifting: a slide, hammer-on or pull-off. */
  readonly leadsOn: boolean;
  /** Name of what is drawn as one: the beam group, or the item itself. */
  readonly family: string;
}

/** What begins at one moment. */
export interface ScoreColumn {
  readonly onset: Ticks;
  /** One of each voice at most, the first voice first. */
  readonly items: readonly ScoreItem[];
}

export interface ScoreBar {
  readonly span: BarSpan;
  /** Ascending; whole-bar rests that stand alone are not among them. */
  readonly columns: readonly ScoreColumn[];
  readonly voices: readonly (readonly ScoreItem[])[];
  /** Both voices sound, so stems and signs part: the first upwards, the second downwards. */
  readonly divided: boolean;
  /** Nobody plays: a rest stands in the middle. */
  readonly silent: boolean;
}

const SIGNS: Readonly<Record<Alter, GlyphName>> = {
  [-2]: 'accidentalDoubleFlat',
  [-1]: 'accidentalFlat',
  0: 'accidentalNatural',
  1: 'accidentalSharp',
  2: 'accidentalDoubleSharp',
};

/** Written higher than five ledger lines above the staff, a note goes under an 8va sign. */
const OCTAVE_ABOVE_Y = -5 * SPACE;

/** From three ledger lines on, what stands beside such a note goes with it. */
const OCTAVE_BESIDE_Y = -3 * SPACE;

/** The phrase as bars of written notes with places on the staff and accidentals. */
export function scoreOf(p: Phrase): readonly ScoreBar[] {
  const clef = clefOf(p.instrument);
  let before: LastAlters = new Map();
  return writeRhythm(p).map(({ span, voices }) => {
    const sounding = voices.map((items) => items.some((i) => i.event !== null));
    const divided = sounding.filter(Boolean).length > 1;
    // A silent bar has one rest in its middle; a pickup or an end that is no whole bar has its own.
    const partly = !sounding.includes(true) && voices[0]?.some((i) => !i.wholeBar) === true;
    const shown = voices.map((items, v) => (sounding[v] || (partly && v === 0) ? items : []));
    const { bar, last } = readBar(p, clef, span, shown, divided, before);
    before = last;
    return bar;
  });
}

interface Draft {
  readonly voice: 0 | 1;
  readonly written: WrittenItem;
  readonly event: PhraseEvent | null;
  notes: ScoreNote[];
  graces: readonly ScoreGrace[];
  octave: boolean;
  group: number | null;
}

function readBar(
  p: Phrase,
  clef: Clef,
  span: BarSpan,
  voices: readonly (readonly WrittenItem[])[],
  divided: boolean,
  before: LastAlters,
): { readonly bar: ScoreBar; readonly last: LastAlters } {
  const drafts = voices.map((items, v) =>
    items.map(
      (written): Draft => ({
        voice: v === 0 ? 0 : 1,
        written,
        event: written.event === null ? null : p.voices[v]!.events[written.event]!,
        notes: [],
        graces: [],
        octave: false,
        group: null,
      }),
    ),
  );
  const byOnset = new Map<Ticks, Draft[]>();
  for (const d of drafts.flat()) {
    const list = byOnset.get(d.written.onset);
    if (list === undefined) byOnset.set(d.written.onset, [d]);
    else list.push(d);
  }
  if (!divided) for (const list of drafts) chooseOctaves(p, clef, span, list);
  const onsets = [...byOnset.keys()].sort((a, b) => a - b);
  const printed: Printed[] = [];
  for (const onset of onsets) placeColumn(p, clef, byOnset.get(onset)!, printed);
  const { shown, last } = accidentalsOf(shownFifths(p.key), printed, before);
  printed.forEach((n, i) => {
    if (shown[i] === null) return;
    n.place.accidental = SIGNS[n.pitch.alter];
    n.place.cautionary = shown[i] === 'cautionary';
  });
  drafts.forEach(numberGroups);
  const stems = new Map<Draft, StemDirection>();
  for (const items of drafts) chooseStems(items, divided, stems);
  const items = new Map<Draft, ScoreItem>();
  for (const d of drafts.flat()) {
    items.set(d, {
      ...d,
      stem: stems.get(d) ?? 'up',
      family: familyOf(d, span),
      leadsOn: leadsOn(p, d),
    });
  }
  const bar: ScoreBar = {
    span,
    columns: onsets.map((onset) => ({
      onset,
      items: byOnset.get(onset)!.map((d) => items.get(d)!),
    })),
    voices: drafts.map((list) => list.map((d) => items.get(d)!)),
    divided,
    silent: drafts.flat().length === 0,
  };
  return { bar, last };
}

/**
 * Sets what is too high for the staff under an 8va sign, and with it what is high beside it, so that a
 * line is not broken for a single note; a tie never leads out of the sign.
 */
function chooseOctaves(p: Phrase, clef: Clef, span: BarSpan, list: readonly Draft[]): void {
  const tops = list.map(({ event }) =>
    Math.min(...(event?.notes ?? []).map((n) => staffY(clef, shownPitch(p, clef, n)))),
  );
  const joins = (i: number) => {
    const event = list[i]?.event;
    if (event == null || tops[i]! > OCTAVE_BESIDE_Y) return false;
    return event.onset >= span.start && endOf(event) <= span.end;
  };
  tops.forEach((top, i) => {
    if (top >= OCTAVE_ABOVE_Y) return;
    list[i]!.octave = true;
    for (const step of [-1, 1]) {
      for (let k = i + step; joins(k) && !list[k]!.octave; k += step) list[k]!.octave = true;
    }
  });
}

/** A pitch on the page in the order in which accidentals are read, and where its sign goes. */
interface Printed {
  readonly pitch: Pitch;
  readonly tied: boolean;
  readonly place: { accidental: GlyphName | null; cautionary: boolean };
}

/** Pitches and places of everything that begins together: graces, notes, then targets of bends. */
function placeColumn(p: Phrase, clef: Clef, column: Draft[], printed: Printed[]): void {
  for (const d of column) {
    if (d.event === null) continue;
    if (d.written.part === 1) d.graces = gracesOf(clef, d.event, d.octave, printed);
  }
  const targets: Printed[] = [];
  for (const d of column) {
    for (const note of d.event?.notes ?? []) {
      const { onset, duration, part, tieStop } = d.written;
      const goal = note.kind === 'pitched' ? targetPitch(clef, note) : null;
      const bentAt = (at: Ticks) =>
        goal !== null && note.kind === 'pitched' && soundsBent(note, d.event!, at);
      const pitch = part > 1 && bentAt(onset) ? goal! : shownPitch(p, clef, note);
      const place = placeOf(clef, pitch, d.octave);
      // Let go in a later part, it is another pitch than the one it is tied to.
      const tied = tieStop && !(part > 2 && goal !== null && !bentAt(onset));
      if (note.kind === 'pitched') printed.push({ pitch, tied, place });
      const target = goal === null || part > 1 ? null : placeOf(clef, goal, d.octave);
      if (target !== null) targets.push({ pitch: goal!, tied: false, place: target });
      const held = target !== null && bentAt(onset + duration);
      const tieY = held ? target.y : place.y;
      d.notes.push(Object.assign(place, { note, head: headOf(note), target, held, tieY }));
    }
    d.notes.sort((a, b) => b.y - a.y || b.note.string - a.note.string);
  }
  printed.push(...targets);
}

/** Where a written pitch stands, its accidental not known yet. */
function placeOf(clef: Clef, written: Pitch, octave: boolean) {
  const y = staffY(clef, written) + (octave ? 3.5 * SPACE : 0);
  return { y, accidental: null, cautionary: false };
}

/** The written pitch; a dead note stands where its place on the neck would sound. */
function shownPitch(p: Phrase, clef: Clef, n: Note): Pitch {
  const sounding =
    n.kind === 'pitched'
      ? n.pitch
      : pitchOfMidi(placeMidi(p.instrument, n), shownFifths(p.key) < 0 ? 'flat' : 'sharp');
  return writtenPitch(clef, sounding);
}

function targetPitch(clef: Clef, n: PitchedNote): Pitch | null {
  return n.bend === undefined || n.bend.shape === 'curl' ? null : writtenPitch(clef, n.bend.target);
}

function headOf(n: Note): HeadShape {
  if (n.kind === 'dead') return 'x';
  return n.harmonic?.kind === 'natural' ? 'diamond' : 'normal';
}

function gracesOf(
  clef: Clef,
  event: PhraseEvent,
  octave: boolean,
  printed: Printed[],
): ScoreGrace[] {
  const written = (event.graces ?? []).map((g) => ({
    slideIn: false,
    notes: g.notes.map((n) => ({ ...n, attack: n.attack ?? null })),
  }));
  const slides = event.notes.flatMap((n) => {
    if (n.kind === 'dead' || n.slideIn?.kind !== 'interval') return [];
    return [{ ...slideInStart(n, n.slideIn), string: n.string, attack: null }];
  });
  if (slides.length > 0) written.push({ slideIn: true, notes: slides });
  return written.map(({ slideIn, notes }) => {
    const placed = notes.map((n) => {
      const pitch = writtenPitch(clef, n.pitch);
      const place = placeOf(clef, pitch, octave);
      printed.push({ pitch, tied: false, place });
      return Object.assign(place, { string: n.string, fret: n.fret, attack: n.attack });
    });
    return { slideIn, notes: placed.sort((a, b) => b.y - a.y) };
  });
}

function leadsOn(p: Phrase, d: Draft): boolean {
  if (d.event === null || d.written.event === null || d.written.tieStart) return false;
  const next = p.voices[d.voice]!.events[d.written.event + 1];
  if (next === undefined || next.onset !== endOf(d.event)) return false;
  return next.notes.some(
    (n) => n.kind === 'pitched' && n.attack !== undefined && n.attack !== 'tap',
  );
}

function familyOf(d: Draft, span: BarSpan): string {
  return d.group === null
    ? `${d.voice}/${d.written.onset}`
    : `${d.voice}/${span.number}/${d.group}`;
}

function numberGroups(items: readonly Draft[]): void {
  let group = -1;
  for (const d of items) {
    if (d.written.beams.length === 0) continue;
    if (d.written.beams[0] === 'begin') group++;
    d.group = group;
  }
}

/**
 * Up in the first of two voices, down in the second. A voice alone points to the middle of the staff
 * from the note that is furthest from it; a beam group goes together (common practice).
 */
function chooseStems(
  items: readonly Draft[],
  divided: boolean,
  stems: Map<Draft, StemDirection>,
): void {
  const groups = new Map<string, Draft[]>();
  items.forEach((d, i) => {
    const key = d.group === null ? `alone ${i}` : `group ${d.group}`;
    groups.set(key, [...(groups.get(key) ?? []), d]);
  });
  for (const group of groups.values()) {
    const ys = group.flatMap((d) => d.notes.map((n) => n.y));
    const middle = 2 * SPACE;
    const above = middle - Math.min(...ys, middle);
    const below = Math.max(...ys, middle) - middle;
    const alone: StemDirection = below > above ? 'up' : 'down';
    for (const d of group) {
      stems.set(d, divided ? (d.voice === 0 ? 'up' : 'down') : alone);
    }
  }
}

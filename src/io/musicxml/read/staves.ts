import { fail, ok, type Result } from '../../../core/result';
import { midiOf } from '../../../core/theory/pitch';
import { attribute, child, childrenOf, childText, type XmlElement } from '../xml/parse';
import type { BarLayout } from './bars';
import type { ImportLog } from './log';
import type { RawItem, RawNote, RawPart } from './raw';
import { exactOnset } from './rhythm';

/** The items of one part sorted into voices, tab and notation made one. */
export interface Voices {
  /** Items of each voice in the order of the file; voices in the order of their first note. */
  readonly streams: readonly (readonly RawItem[])[];
  /** Staves that were tab beside notation, or all of them where there is only tab. */
  readonly tabStaves: ReadonlySet<number>;
}

/**
 * Sorts a part into voices. Where a tab staff stands beside a staff with notes, it repeats them:
 * its notes are merged into theirs by onset and pitch, and what it has alone is logged.
 */
export function separateStaves(part: RawPart, layout: BarLayout, log: ImportLog): Voices {
  const used = new Set(part.items.filter((i) => i.notes.length > 0).map((i) => i.staff));
  const tab = new Set([...used].filter((s) => isTab(part, s)));
  const beside = tab.size < used.size;
  if (!beside) return { streams: streamsOf(part.items, new Set()), tabStaves: tab };
  mergeTab(part.items, tab, layout, log);
  return { streams: streamsOf(part.items, tab), tabStaves: tab };
}

/** The staves of a part that have pitches and are no tab, from the top. */
export function notationStaves(part: RawPart): readonly number[] {
  const pitched = part.items.filter((i) => i.notes.some((n) => n.pitch !== null));
  return [...new Set(pitched.map((i) => i.staff))]
    .filter((s) => !isTab(part, s))
    .sort((a, b) => a - b);
}

/**
 * A part with the notes of one staff alone. Chords, words and keys stay: they are written once for
 * all staves.
 * @param staff From 1 at the top; null for all of them.
 */
export function onStaff(part: RawPart, staff: number | null, log: ImportLog): Result<RawPart> {
  if (staff === null) return ok(part);
  const used = [...new Set(part.items.map((i) => i.staff))].sort((a, b) => a - b);
  if (!used.includes(staff)) {
    return fail({
      message: `the part has no staff ${staff}`,
      fix: used.length > 1 ? `It has the staves ${used.join(', ')}.` : 'It has one staff.',
    });
  }
  if (used.length > 1) {
    log.add('dropped', `of ${used.length} staves only staff ${staff} is read`);
  }
  const here = (x: { readonly staff: number }) => x.staff === staff;
  return ok({
    ...part,
    items: part.items.filter(here),
    clefs: part.clefs.filter(here),
    staffDetails: part.staffDetails.filter(here),
  });
}

function isTab(part: RawPart, staff: number): boolean {
  const clef = part.clefs.find((c) => c.staff === staff);
  if (clef !== undefined) return childText(clef.element, 'sign') === 'TAB';
  return part.staffDetails.some(
    (d) => d.staff === staff && child(d.element, 'staff-tuning') !== undefined,
  );
}

function streamsOf(
  items: readonly RawItem[],
  without: ReadonlySet<number>,
): readonly (readonly RawItem[])[] {
  const streams = new Map<string, RawItem[]>();
  for (const item of items) {
    if (without.has(item.staff)) continue;
    const stream = streams.get(item.voice);
    if (stream === undefined) streams.set(item.voice, [item]);
    else stream.push(item);
  }
  return [...streams.values()];
}

interface NoteAt {
  readonly item: RawItem;
  readonly index: number;
}

/** Octaves by which a tab staff may be written away from its notation. */
const OCTAVES = [0, 12, -12] as const;

function mergeTab(
  items: readonly RawItem[],
  tab: ReadonlySet<number>,
  layout: BarLayout,
  log: ImportLog,
): void {
  const written = items.filter((i) => !tab.has(i.staff));
  const tabbed = items.filter((i) => tab.has(i.staff));
  const shift = OCTAVES.reduce<{ by: number; matches: number }>(
    (best, by) => {
      const places = indexNotes(written, layout, 0);
      const matches = tabbed.reduce(
        (n, i) => n + i.notes.filter((x) => places.get(keyOf(i, x, layout, by))?.pop()).length,
        0,
      );
      return matches > best.matches ? { by, matches } : best;
    },
    { by: 0, matches: 0 },
  ).by;
  const places = indexNotes(written, layout, 0);
  // Taken from the front, so that equal notes meet in the order of the file.
  for (const list of places.values()) list.reverse();
  for (const item of tabbed) {
    for (const note of item.notes) {
      const at = places.get(keyOf(item, note, layout, shift))?.pop();
      if (at === undefined) {
        log.add('dropped', 'the tab has a note that the staff does not have', {
          onset: Math.round(exactOnset(item, layout)),
          line: item.element.line,
        });
        continue;
      }
      const own = at.item.notes[at.index]!;
      at.item.notes[at.index] = mergeNotes(own, note);
    }
  }
}

function mergeNotes(own: RawNote, other: RawNote): RawNote {
  return {
    elements: [...own.elements, ...other.elements],
    pitch: own.pitch,
    quarterUp: own.quarterUp,
    tieStart: own.tieStart || other.tieStart,
    tieStop: own.tieStop || other.tieStop,
  };
}

function indexNotes(
  items: readonly RawItem[],
  layout: BarLayout,
  shift: number,
): Map<string, NoteAt[]> {
  const places = new Map<string, NoteAt[]>();
  for (const item of items) {
    item.notes.forEach((note, index) => {
      const key = keyOf(item, note, layout, shift);
      const list = places.get(key);
      if (list === undefined) places.set(key, [{ item, index }]);
      else list.push({ item, index });
    });
  }
  return places;
}

function keyOf(item: RawItem, note: RawNote, layout: BarLayout, shift: number): string {
  const time = Math.round(exactOnset(item, layout) * 16);
  const what =
    note.pitch === null || isCrossed(note.elements[0]!) ? 'x' : midiOf(note.pitch) + shift;
  return `${time} ${item.grace ? 'grace' : ''} ${what}`;
}

/** Whether a note has a crossed head: struck without pitch. */
export function isCrossed(e: XmlElement): boolean {
  return childrenOf(e, 'notehead').some((h) => h.text.trim() === 'x');
}

/** The value of the attribute `id` that MusicXML 3.1 gives every note. */
export function xmlIdOf(e: XmlElement): string | null {
  return attribute(e, 'id');
}

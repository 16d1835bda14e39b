import { CURL_SEMITONES, type Ticks } from '../../../core/phrase/types';
import { midiOf, type Pitch } from '../../../core/theory/pitch';
import { attribute, childrenOf, childText } from '../xml/parse';
import type { ImportLog } from './log';
import type { MarkedItem, MarkedNote } from './spans';

/** A note of the phrase in the making: its written note, or the tied ones together. */
export interface DraftNote {
  /** The first written note and its tied continuations. */
  readonly parts: readonly MarkedNote[];
  /** Where each of them begins. */
  readonly onsets: readonly Ticks[];
  readonly pitch: Pitch | null;
  readonly end: Ticks;
}

/** What is struck at one moment, before techniques and places are settled. */
export interface DraftEvent {
  readonly onset: Ticks;
  readonly end: Ticks;
  readonly notes: readonly DraftNote[];
  /** Grace notes and grace chords before it, in playing order. */
  readonly graces: readonly (readonly MarkedNote[])[];
  /** Place in the tuplets of its stream, or null. */
  readonly tuplet: number | null;
  readonly line: number;
}

/** An event that ends elsewhere than it is written, and its notes with it. */
export function endingAt(e: DraftEvent, end: Ticks): DraftEvent {
  const notes = e.notes.map((n): DraftNote => {
    const heard = n.onsets.filter((onset) => onset < end).length;
    return { ...n, parts: n.parts.slice(0, heard), onsets: n.onsets.slice(0, heard), end };
  });
  return { ...e, end, notes };
}

/** No instrument that is read has more strings. */
const MOST_NOTES = 12;

/** More grace notes before one note cannot be stored. */
const MOST_GRACES = 16;

type Growing = {
  parts: MarkedNote[];
  onsets: Ticks[];
  readonly pitch: Pitch | null;
  end: Ticks;
  /** Held on through a note that has no tie of its own, so only one that names its end goes on with it. */
  bridged: boolean;
};

/**
 * The events of one voice in order of time: ties joined, graces put before the note they belong
 * to, and notes of a chord that last differently told apart, so events may still overlap.
 */
export function draftEvents(items: readonly MarkedItem[], log: ImportLog): readonly DraftEvent[] {
  const started: { item: MarkedItem; notes: Growing[]; graces: (readonly MarkedNote[])[] }[] = [];
  const ties = new OpenTies();
  let graces: (readonly MarkedNote[])[] = [];
  for (const item of items) {
    const found = { onset: item.onset, line: item.item.element.line };
    if (item.item.grace) {
      if (item.notes.length > 0) graces.push(item.notes);
      continue;
    }
    if (item.notes.length === 0) {
      if (graces.length > 0) dropGraces(log, found);
      graces = [];
      continue;
    }
    const fresh: Growing[] = [];
    if (item.notes.length > MOST_NOTES) {
      log.add(
        'dropped',
        `of more than ${MOST_NOTES} notes struck at once the rest is left out`,
        found,
      );
    }
    for (const note of item.notes.slice(0, MOST_NOTES)) {
      if (!continueTie(note, item, ties, log)) {
        fresh.push({
          parts: [note],
          onsets: [item.onset],
          pitch: note.raw.pitch,
          end: item.end,
          bridged: false,
        });
      }
    }
    for (const note of fresh) openTie(note, ties);
    if (fresh.length === 0) {
      if (graces.length > 0) dropGraces(log, found);
    } else {
      if (graces.length > MOST_GRACES) {
        log.add('dropped', `of more than ${MOST_GRACES} grace notes the last are kept`, found);
      }
      started.push({ item, notes: fresh, graces: graces.slice(-MOST_GRACES) });
    }
    graces = [];
  }
  if (graces.length > 0) dropGraces(log, {});
  for (const t of ties.left()) logOpenTie(t, log);
  return started.flatMap((s) => splitByLength(s.item, s.notes, s.graces));
}

function dropGraces(log: ImportLog, found: { onset?: number; line?: number }): void {
  log.add('dropped', 'grace notes without a note after them: not kept', found);
}

/** Notes that are tied on, by pitch; there may be two of one pitch on different strings. */
class OpenTies {
  readonly #byMidi = new Map<number, Growing[]>();

  add(note: Growing, midi: number): void {
    const list = this.#byMidi.get(midi);
    if (list === undefined) this.#byMidi.set(midi, [note]);
    else list.push(note);
  }

  /**
   * Takes the note that ends at an onset, on the same string if the file has strings.
   * @param named Whether the note there says that a tie ends with it.
   */
  take(midi: number, onset: Ticks, string: number | null, named: boolean): Growing | null {
    const list = this.#byMidi.get(midi) ?? [];
    const open = list.filter((n) => n.end === onset && (named || !n.bridged));
    const found = open.find((n) => n.parts.at(-1)!.marks.string === string) ?? open[0];
    if (found === undefined) return null;
    list.splice(list.indexOf(found), 1);
    return found;
  }

  /** Removes and returns those of a pitch that ended before an onset: nothing continues them. */
  expire(midi: number, onset: Ticks): readonly Growing[] {
    const list = this.#byMidi.get(midi) ?? [];
    const gone = list.filter((n) => n.end < onset);
    if (gone.length > 0)
      this.#byMidi.set(
        midi,
        list.filter((n) => n.end >= onset),
      );
    return gone;
  }

  left(): readonly Growing[] {
    return [...this.#byMidi.values()].flat();
  }
}

/** Joins a note to the one it is tied to; true when it was one. */
function continueTie(note: MarkedNote, item: MarkedItem, ties: OpenTies, log: ImportLog): boolean {
  if (note.raw.pitch === null) return false;
  const midi = heard(note);
  const found = { onset: item.onset, line: item.item.element.line };
  for (const gone of ties.expire(midi, item.onset)) logOpenTie(gone, log, found);
  const open = ties.take(midi, item.onset, note.marks.string, note.raw.tieStop);
  if (open === null) {
    if (note.raw.tieStop) log.add('mended', 'a tie that comes from nowhere is removed', found);
    return false;
  }
  if (!note.raw.tieStop) {
    if (isStruckItself(note)) {
      log.add('dropped', 'a tie without its second end leads to a note that is struck', found);
      return false;
    }
    log.add('mended', 'a tie without its second end is closed', found);
  }
  open.parts.push(note);
  open.onsets.push(item.onset);
  open.end = item.end;
  // A start, a note without ties and a stop of one pitch are one note that lost two ends on its way.
  open.bridged = !note.raw.tieStop && !note.raw.tieStart;
  if (note.raw.tieStart || open.bridged) ties.add(open, midi);
  return true;
}

function openTie(note: Growing, ties: OpenTies): void {
  if (note.pitch === null || !note.parts[0]!.raw.tieStart) return;
  ties.add(note, heard(note.parts[0]!));
}

/** What a note with pitch sounds, in semitones. */
function heard({ raw }: MarkedNote): number {
  return midiOf(raw.pitch!) + (raw.quarterUp ? CURL_SEMITONES : 0);
}

/** Whether a note begins anew whatever leads to it: it has a syllable, a stroke or an attack of its own. */
function isStruckItself({ raw, marks, attack }: MarkedNote): boolean {
  if (attack !== null || marks.tap || marks.stroke !== null) return true;
  const lyrics = raw.elements.flatMap((e) => childrenOf(e, 'lyric'));
  return lyrics.some(
    (l) => attribute(l, 'name') !== 'degree' && (childText(l, 'text') ?? '').trim() !== '',
  );
}

function logOpenTie(
  t: Growing,
  log: ImportLog,
  found: { onset?: number; line?: number } = {},
): void {
  if (t.bridged) return;
  const line = t.parts.at(-1)!.raw.elements[0]!.line;
  log.add('dropped', 'a tie that leads to no note of its pitch', { line, ...found });
}

function splitByLength(
  item: MarkedItem,
  notes: readonly Growing[],
  graces: readonly (readonly MarkedNote[])[],
): readonly DraftEvent[] {
  const byEnd = new Map<Ticks, Growing[]>();
  for (const n of notes) {
    const same = byEnd.get(n.end);
    if (same === undefined) byEnd.set(n.end, [n]);
    else same.push(n);
  }
  // The largest group keeps the voice whole, and a long one would bar the way for what follows.
  const groups = [...byEnd].sort(([endA, a], [endB, b]) => b.length - a.length || endA - endB);
  return groups.map(
    ([end, group], i): DraftEvent => ({
      onset: item.onset,
      end,
      notes: group,
      graces: i === 0 ? graces : [],
      tuplet: item.tuplet,
      line: item.item.element.line,
    }),
  );
}

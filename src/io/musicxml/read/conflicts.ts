import { fretFor } from '../../../core/phrase/instrument';
import type { Instrument, Place, Ticks } from '../../../core/phrase/types';
import { midiOf } from '../../../core/theory/pitch';
import type { BuiltEvent, BuiltNote } from './built';
import type { ImportLog } from './log';

/**
 * Frees strings that the places of a file use for two notes at once (N3), in a chord or across the
 * voices: the later note, in a chord the lower one, goes to the nearest string that is free, or is
 * left out where none can sound it. Logged.
 */
export function resolveConflicts<V extends { readonly events: readonly BuiltEvent[] }>(
  voices: readonly V[],
  i: Instrument,
  log: ImportLog,
): readonly V[] {
  const sounding: Sounding[] = [];
  return voices.map((v) => {
    const before = [...sounding];
    const own = new Sounding();
    sounding.push(own);
    const events = v.events.flatMap((e) => {
      const resolved = resolveEvent(e, before, i, log);
      if (resolved === null) return [];
      for (const n of resolved.notes) if (n.placed) own.add(n.note.string, e.event);
      return [resolved];
    });
    return { ...v, events };
  });
}

type Span = { readonly onset: Ticks; readonly duration: Ticks };

/** When each string sounds in one voice; added in the order of time. */
class Sounding {
  readonly #byString = new Map<number, { from: Ticks; to: Ticks }[]>();

  add(string: number, e: Span): void {
    const list = this.#byString.get(string) ?? [];
    list.push({ from: e.onset, to: e.onset + e.duration });
    this.#byString.set(string, list);
  }

  sounds(string: number, e: Span): boolean {
    const list = this.#byString.get(string) ?? [];
    let low = 0;
    let high = list.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (list[middle]!.to <= e.onset) low = middle + 1;
      else high = middle;
    }
    const there = list[low];
    return there !== undefined && there.from < e.onset + e.duration;
  }
}

function resolveEvent(
  e: BuiltEvent,
  others: readonly Sounding[],
  i: Instrument,
  log: ImportLog,
): BuiltEvent | null {
  const used = new Set<number>();
  const isFree = (string: number) =>
    !used.has(string) && !others.some((o) => o.sounds(string, e.event));
  const fromTop = [...e.notes].sort((a, b) => midiOfNote(b) - midiOfNote(a));
  const clashes = fromTop.filter((n) => {
    if (!n.placed) return false;
    if (!isFree(n.note.string)) return true;
    used.add(n.note.string);
    return false;
  });
  if (clashes.length === 0) return e;
  const found = { onset: e.event.onset };
  const kept = new Map<BuiltNote, BuiltNote>();
  for (const n of clashes) {
    const twin = e.notes.some((o) => o !== n && !clashes.includes(o) && isSame(o, n));
    const place = twin ? null : nearestFree(n, isFree, i);
    if (twin) log.add('mended', 'a note that is there twice is kept once', found);
    else if (place === null) {
      log.add('dropped', 'two notes on one string at once: one is left out', found);
    } else {
      log.add('mended', 'two notes on one string at once: one is moved', found);
      used.add(place.string);
      kept.set(n, { ...n, note: { ...n.note, ...place } });
    }
  }
  const notes = e.notes.flatMap((n) => (clashes.includes(n) ? (kept.get(n) ?? []) : [n]));
  return notes.length === 0 ? null : { ...e, notes };
}

function midiOfNote(n: BuiltNote): number {
  return n.note.kind === 'pitched' ? midiOf(n.note.pitch) : -1;
}

function isSame(a: BuiltNote, b: BuiltNote): boolean {
  const samePlace = a.note.string === b.note.string && a.note.fret === b.note.fret;
  return samePlace && midiOfNote(a) === midiOfNote(b);
}

/** A place of the same pitch on a free string, as near as can be along the neck. */
function nearestFree(
  { note }: BuiltNote,
  isFree: (string: number) => boolean,
  i: Instrument,
): Place | null {
  if (note.kind === 'dead' || note.harmonic?.kind === 'natural') return null;
  const midi = midiOf(note.pitch);
  const places = i.tuning.flatMap((_, k): Place[] => {
    const fret = isFree(k + 1) ? fretFor(i, k + 1, midi) : null;
    return fret === null ? [] : [{ string: k + 1, fret }];
  });
  places.sort((a, b) => Math.abs(a.fret - note.fret) - Math.abs(b.fret - note.fret));
  return places[0] ?? null;
}

/**
 * A note that two voices of a staff share is written twice and sounds once: without places it is
 * kept in the voice that holds it longer. Logged.
 */
export function mergeShared<V extends { readonly events: readonly BuiltEvent[] }>(
  voices: readonly V[],
  log: ImportLog,
): readonly V[] {
  const [upper, lower] = voices;
  if (upper === undefined || lower === undefined) return voices;
  const unplaced = (e: BuiltEvent) =>
    e.notes.filter((n) => !n.placed && n.note.kind === 'pitched').map(midiOfNote);
  const inLower = new Map(lower.events.map((e) => [e.event.onset, e]));
  const gone = new Map<BuiltEvent, Set<number>>();
  for (const e of upper.events) {
    const twin = inLower.get(e.event.onset);
    if (twin === undefined) continue;
    const there = new Set(unplaced(twin));
    const shared = unplaced(e).filter((midi) => there.has(midi));
    if (shared.length === 0) continue;
    const shorter = e.event.duration < twin.event.duration ? e : twin;
    gone.set(shorter, new Set(shared));
    log.add('approximated', 'a note shared by two voices is kept in the one that holds it longer', {
      onset: e.event.onset,
    });
  }
  if (gone.size === 0) return voices;
  return voices.map((v) => ({
    ...v,
    events: v.events.flatMap((e) => {
      const midis = gone.get(e);
      if (midis === undefined) return [e];
      const notes = e.notes.filter((n) => n.placed || !midis.has(midiOfNote(n)));
      return notes.length === 0 ? [] : [{ ...e, notes }];
    }),
  }));
}

import type { Legato, Phrase, PhraseEvent } from '../../../core/phrase/types';
import { endOf, legatoSource } from '../../../core/phrase/walk';
import { needsSource } from '../misc';

/**
 * The numbers of what starts at one note and stops at another (slurs, slides, tuplets …): the lowest
 * that is free, in the order of the document, as MusicXML's number-level wants it.
 */
export class SpannerNumbers {
  private readonly open = new Map<string, Map<string, number>>();

  /** @throws RangeError when the same thing is started twice (programmer's error). */
  start(type: string, key: string): number {
    const ofType = this.open.get(type) ?? new Map<string, number>();
    this.open.set(type, ofType);
    if (ofType.has(key)) throw new RangeError(`${type} '${key}' is already open`);
    const used = new Set(ofType.values());
    let number = 1;
    while (used.has(number)) number++;
    ofType.set(key, number);
    return number;
  }

  /** @throws RangeError when it was not started (programmer's error). */
  stop(type: string, key: string): number {
    const number = this.open.get(type)?.get(key);
    if (number === undefined) throw new RangeError(`${type} '${key}' is not open`);
    this.open.get(type)!.delete(key);
    return number;
  }

  /** What is still open, for a check at the end. */
  unclosed(): readonly string[] {
    return [...this.open].flatMap(([type, keys]) => [...keys.keys()].map((k) => `${type} ${k}`));
  }
}

/** A note of the page: an event's note, one of its graces, or the start of its slide-in. */
export type Spot = string;

/** Names a note by its place, for spanners that end at it. */
export function eventSpot(voice: number, event: number, string: number): Spot {
  return `${voice}/${event}/${string}`;
}

/** Names a grace note by its place. */
export function graceSpot(voice: number, event: number, grace: number, string: number): Spot {
  return `${voice}/${event}/${string}/grace ${grace}`;
}

/** Names the note from which another is slid into. */
export function slideInSpot(voice: number, event: number, string: number): Spot {
  return `${voice}/${event}/${string}/slide-in`;
}

/** How one note leads to the next on its string. */
export interface Link {
  readonly kind: Legato | 'slide-plucked' | 'slide-in';
  readonly from: Spot;
  readonly to: Spot;
}

/** The links by the notes they start and stop at. */
export interface Links {
  readonly startAt: ReadonlyMap<Spot, readonly Link[]>;
  readonly stopAt: ReadonlyMap<Spot, readonly Link[]>;
}

/** Every hammer-on, pull-off and slide of a phrase between two written notes (N3: on one string). */
export function findLinks(p: Phrase): Links {
  const startAt = new Map<Spot, Link[]>();
  const stopAt = new Map<Spot, Link[]>();
  const add = (link: Link) => {
    startAt.set(link.from, [...(startAt.get(link.from) ?? []), link]);
    stopAt.set(link.to, [...(stopAt.get(link.to) ?? []), link]);
  };
  p.voices.forEach(({ events }, voice) => {
    events.forEach((event, index) => {
      for (const link of linksOfEvent(events, event, voice, index)) add(link);
    });
  });
  return { startAt, stopAt };
}

function linksOfEvent(
  events: readonly PhraseEvent[],
  event: PhraseEvent,
  voice: number,
  index: number,
): Link[] {
  const links: Link[] = [];
  const graceBefore = (before: number, string: number): Spot | null => {
    for (let g = before - 1; g >= 0; g--) {
      if (event.graces?.[g]?.notes.some((n) => n.string === string) === true) {
        return graceSpot(voice, index, g, string);
      }
    }
    return null;
  };
  event.graces?.forEach((grace, g) => {
    for (const n of grace.notes) {
      const from = graceBefore(g, n.string);
      if (n.attack === undefined || from === null) continue;
      links.push({ kind: n.attack, from, to: graceSpot(voice, index, g, n.string) });
    }
  });
  for (const note of event.notes) {
    if (note.kind === 'dead') continue;
    const to = eventSpot(voice, index, note.string);
    if (note.slideIn?.kind === 'interval') {
      links.push({ kind: 'slide-in', from: slideInSpot(voice, index, note.string), to });
    }
    if (!needsSource(note.attack)) continue;
    if (legatoSource(events, index, note.string) === null) continue;
    const from =
      graceBefore(event.graces?.length ?? 0, note.string) ??
      eventSpot(voice, index - 1, note.string);
    links.push({ kind: note.attack, from, to });
  }
  return links;
}

/** Palm-muted events that follow one another without a gap, as [first, last] indices. */
export function palmMuteRuns(
  events: readonly PhraseEvent[],
): readonly (readonly [number, number])[] {
  const runs: [number, number][] = [];
  events.forEach((e, i) => {
    if (e.palmMute !== true) return;
    const last = runs.at(-1);
    const before = events[i - 1];
    if (
      last !== undefined &&
      last[1] === i - 1 &&
      before !== undefined &&
      endOf(before) === e.onset
    )
      last[1] = i;
    else runs.push([i, i]);
  });
  return runs;
}

import type { PhraseEvent } from '../../core/phrase/types';
import type { ItemPlace } from '../staff/places';
import type { BarPlace, LineLayout, StationPlace } from './line';

/** An item of a voice in its line, with the page position of its column. */
export interface Placed {
  readonly place: ItemPlace;
  readonly at: StationPlace;
  readonly bar: BarPlace;
  readonly x: number;
}

/** The items of one voice through a whole line, in order, rests included. */
export type Thread = readonly Placed[];

/** The threads of both voices of a line; the second may be empty. */
export function threadsOf(line: LineLayout): readonly [Thread, Thread] {
  const threads: [Placed[], Placed[]] = [[], []];
  for (const bar of line.bars) {
    for (const at of bar.stations) {
      for (const place of at.station.items) {
        threads[place.item.voice].push({ place, at, bar, x: at.x });
      }
    }
  }
  return threads;
}

/** The first and last written parts of each event that the line shows. */
export interface EventPlace {
  readonly event: PhraseEvent;
  readonly index: number;
  readonly first: Placed;
  readonly last: Placed;
  /** From `first` to `last`. */
  readonly parts: readonly Placed[];
  /** The event begins in this line; else it is tied over from the one before. */
  readonly begins: boolean;
  /** The event ends in this line. */
  readonly ends: boolean;
}

/**
 * The events of a voice as a line shows them. They are found by identity: a bar that was drawn
 * before events were put in ahead of it still counts them as they were.
 * @param events All events of the voice.
 */
export function eventsOf(thread: Thread, events: readonly PhraseEvent[]): readonly EventPlace[] {
  const out: EventPlace[] = [];
  let index = -1;
  for (const p of thread) {
    const { event, written } = p.place.item;
    if (event === null) continue;
    const before = out.at(-1);
    if (before?.event === event) {
      out[out.length - 1] = {
        ...before,
        last: p,
        parts: [...before.parts, p],
        ends: !written.tieStart,
      };
    } else {
      index = events.indexOf(event, index + 1);
      if (index < 0) throw new RangeError('the line shows an event that its voice does not have');
      out.push({
        event,
        index,
        first: p,
        last: p,
        parts: [p],
        begins: !written.tieStop,
        ends: !written.tieStart,
      });
    }
  }
  return out;
}

/** Room that the sign of one note keeps from what comes after it. */
const SHORT_OF = 3;

/**
 * Where a sign that lasts as long as an event has to end: short of what its line shows at the event's
 * end, a rest too, and short of the bar line where that is nothing.
 */
export function endX(e: EventPlace): number {
  const { bar } = e.last;
  const end = e.event.onset + e.event.duration;
  const after = e.ends ? bar.stations.find((s) => s.station.onset >= end) : undefined;
  return (after?.x ?? bar.x1) - SHORT_OF;
}

/** The notes that each beam of a thread joins, in order. */
export function beamGroups(thread: Thread): readonly (readonly Placed[])[] {
  const groups: Placed[][] = [];
  for (const p of thread) {
    if (p.place.item.group === null) continue;
    const open = groups.at(-1);
    const before = open?.[0];
    if (
      before !== undefined &&
      before.bar === p.bar &&
      before.place.item.group === p.place.item.group
    ) {
      open!.push(p);
    } else groups.push([p]);
  }
  return groups;
}

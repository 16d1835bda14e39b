import type { Ticks, Tuplet } from '../../../core/phrase/types';
import { midiOf } from '../../../core/theory/pitch';
import { type DraftEvent, endingAt } from './events';
import { Grid } from './grid';
import type { ImportLog } from './log';

/** The events of one voice of the file, ascending by onset; they may overlap. */
export interface DraftStream {
  readonly events: readonly DraftEvent[];
  readonly tuplets: readonly Tuplet[];
}

/** One of the phrase's voices: events ascend and do not overlap. */
export interface DraftVoice {
  readonly events: readonly DraftEvent[];
  readonly tuplets: readonly Tuplet[];
}

/** An event that its own voice has no room for. */
interface Homeless {
  readonly event: DraftEvent;
  readonly tuplet: Tuplet | null;
}

/**
 * Fits the voices of the file into one or two (section 1): the two with most notes stay voices,
 * what overlaps in them and what other voices play goes where there is room, and a note that begins
 * and ends with an event joins it. What fits nowhere is shortened, or lasts as long as what is struck
 * with it, or ends what is held: that a note begins counts more than when it ends. All logged.
 * @param crowded False to leave out what only fits by one of the last two: no hand may hold so much.
 */
export function arrangeVoices(
  streams: readonly DraftStream[],
  crowded: boolean,
  log: ImportLog,
): readonly DraftVoice[] {
  const sized = streams
    .map((stream, i) => ({ stream, i, size: stream.events.length }))
    .filter((s) => s.size > 0)
    .sort((a, b) => b.size - a.size);
  const chosen = sized.slice(0, 2).sort((a, b) => a.i - b.i);
  const others = sized.slice(2);
  if (others.length > 0) {
    log.add('approximated', 'the file has more than two voices; they are fitted into two');
  }
  const homeless: Homeless[] = [];
  const kept = chosen.map(({ stream }) => {
    const { inside, outside } = splitOverlaps(stream.events);
    for (const event of outside) homeless.push(homelessOf(event, stream));
    return { events: inside, tuplets: stream.tuplets };
  });
  for (const { stream } of others) {
    for (const event of stream.events) homeless.push(homelessOf(event, stream));
  }
  if (homeless.length === 0) return kept;
  while (kept.length < 2) kept.push({ events: [], tuplets: [] });
  homeless.sort((a, b) => a.event.onset - b.event.onset);
  return settle(kept, homeless, crowded, log).filter((v, i) => i === 0 || v.events.length > 0);
}

function homelessOf(event: DraftEvent, stream: DraftStream): Homeless {
  const tuplet = event.tuplet === null ? null : (stream.tuplets[event.tuplet] ?? null);
  return { event, tuplet };
}

function splitOverlaps(events: readonly DraftEvent[]): {
  inside: DraftEvent[];
  outside: DraftEvent[];
} {
  const inside: DraftEvent[] = [];
  const outside: DraftEvent[] = [];
  let end = 0;
  for (const e of events) {
    if (e.onset >= end) {
      inside.push(e);
      end = e.end;
    } else outside.push(e);
  }
  return { inside, outside };
}

interface JoinedEvent extends DraftEvent {
  readonly notes: DraftEvent['notes'][number][];
}

/** An event of a voice that another one begins with: as it is now, and where it stands. */
interface Twin {
  readonly now: DraftEvent;
  readonly base: DraftEvent | null;
  readonly added: number | null;
}

/** A voice being filled: what it has, and what joins it, both ascending. */
class Filling {
  readonly #base: readonly DraftEvent[];
  readonly #tuplets: readonly Tuplet[];
  readonly #addedTuplets: Tuplet[] = [];
  readonly #added: DraftEvent[] = [];
  readonly #joined = new Map<DraftEvent, DraftEvent>();
  /** Events that others have joined. */
  readonly #sums = new Map<DraftEvent, JoinedEvent>();
  readonly #grid: Grid;
  #next = 0;

  constructor(voice: DraftVoice) {
    this.#base = voice.events;
    this.#tuplets = voice.tuplets;
    this.#grid = new Grid(voice.tuplets);
  }

  /** Puts an event in if nothing sounds meanwhile; events must come in order of onset. */
  take({ event, tuplet }: Homeless): boolean {
    const before = this.#beforeOf(event.onset);
    const after = this.#base[this.#next];
    if (before !== null && before.end > event.onset) return false;
    if (after !== undefined && after.onset < event.end) return false;
    if (!this.#fits(event, tuplet)) return false;
    this.#added.push(event);
    return true;
  }

  /** Adds the notes of an event to one of the same onset and length. */
  join({ event }: Homeless): boolean {
    const twin = this.#twinOf(event);
    if (twin === null || twin.now.end !== event.end || event.graces.length > 0) return false;
    this.#add(event, twin);
    return true;
  }

  /** By how much the end of an event would change if it joined what begins with it. */
  joint({ event }: Homeless): Ticks {
    const twin = this.#twinOf(event);
    return twin === null ? Number.POSITIVE_INFINITY : Math.abs(twin.now.end - event.end);
  }

  /** Adds the notes of an event to one of the same onset, whose end becomes theirs. */
  joinAnyway({ event }: Homeless): boolean {
    const twin = this.#twinOf(event);
    if (twin === null || event.graces.length > 0) return false;
    const there = new Set(
      twin.now.notes
        .map((n) => n.pitch)
        .filter((p) => p !== null)
        .map(midiOf),
    );
    if (event.notes.some((n) => n.pitch !== null && there.has(midiOf(n.pitch)))) return false;
    this.#add(endingAt(event, twin.now.end), twin);
    return true;
  }

  /** Ends what is held where an event begins, and puts this in up to the next one. */
  cut({ event, tuplet }: Homeless): boolean {
    const before = this.#beforeOf(event.onset);
    if (before === null || before.onset >= event.onset) return false;
    const next = this.#base[this.#next];
    const end = Math.min(event.end, next?.onset ?? event.end);
    if (!this.#fits({ ...event, end }, tuplet)) return false;
    this.#replace(before, endingAt(before, event.onset));
    this.#added.push(endingAt(event, end));
    return true;
  }

  #replace(now: DraftEvent, by: DraftEvent): void {
    const added = this.#added.indexOf(now);
    if (added >= 0) this.#added[added] = by;
    else this.#joined.set(this.#base[this.#next - 1]!, by);
  }

  #add(event: DraftEvent, twin: Twin): void {
    // What was joined once is ours to change: a copy for each of many notes would take their square.
    const sum = this.#sums.get(twin.now) ?? { ...twin.now, notes: [...twin.now.notes] };
    sum.notes.push(...event.notes);
    this.#sums.set(sum, sum);
    if (twin.added === null) this.#joined.set(twin.base!, sum);
    else this.#added[twin.added] = sum;
  }

  /** How much of an event fits before the next one begins; 0 when it starts inside another. */
  room({ event, tuplet }: Homeless): Ticks {
    const before = this.#beforeOf(event.onset);
    if (before !== null && before.end > event.onset) return 0;
    const next = this.#base[this.#next];
    const end = Math.min(event.end, next?.onset ?? event.end);
    return end > event.onset && this.#fits({ ...event, end }, tuplet) ? end - event.onset : 0;
  }

  finish(): DraftVoice {
    const events = [...this.#base.map((e) => this.#joined.get(e) ?? e), ...this.#added];
    const tuplets = [...this.#tuplets, ...this.#addedTuplets];
    return {
      events: events.sort((a, b) => a.onset - b.onset),
      tuplets: tuplets.sort((a, b) => a.onset - b.onset),
    };
  }

  /** The last event at or before an onset; `#next` then points past it. */
  #beforeOf(onset: Ticks): DraftEvent | null {
    while (this.#next < this.#base.length && this.#base[this.#next]!.onset <= onset) this.#next++;
    const first = this.#base[this.#next - 1];
    const base = first === undefined ? null : (this.#joined.get(first) ?? first);
    const added = this.#added.at(-1) ?? null;
    if (base === null || added === null) return base ?? added;
    return base.end > added.end ? base : added;
  }

  /** What begins together with an event. */
  #twinOf(e: DraftEvent): Twin | null {
    this.#beforeOf(e.onset);
    const base = this.#base[this.#next - 1];
    if (base !== undefined && base.onset === e.onset) {
      return { now: this.#joined.get(base) ?? base, base, added: null };
    }
    const added = this.#added.length - 1;
    const last = this.#added[added];
    if (last !== undefined && last.onset === e.onset) return { now: last, base: null, added };
    return null;
  }

  /** Whether both ends are places of this voice's rhythm; brings the event's tuplet along if need be. */
  #fits(event: DraftEvent, tuplet: Tuplet | null): boolean {
    const own = tuplet !== null && this.#bring(tuplet);
    if (own) return true;
    const added = new Grid(this.#addedTuplets);
    return [event.onset, event.end].every((t) =>
      added.tupletAt(t) === null ? this.#grid.has(t) : added.has(t),
    );
  }

  #bring(t: Tuplet): boolean {
    const end = t.onset + t.duration;
    const free = [this.#base, this.#added, this.#tuplets, this.#addedTuplets].every(
      (list) => !overlaps(list, t.onset, end),
    );
    if (free) this.#addedTuplets.push(t);
    return free;
  }
}

/** Whether anything in a list that ascends without overlap lies in [from, to). Binary search. */
function overlaps(list: readonly (DraftEvent | Tuplet)[], from: Ticks, to: Ticks): boolean {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const x = list[middle]!;
    if (('end' in x ? x.end : x.onset + x.duration) <= from) low = middle + 1;
    else high = middle;
  }
  const found = list[low];
  return found !== undefined && found.onset < to;
}

function settle(
  voices: readonly DraftVoice[],
  homeless: readonly Homeless[],
  crowded: boolean,
  log: ImportLog,
): readonly DraftVoice[] {
  const fillings = voices.map((v) => new Filling(v));
  for (const h of homeless) {
    // The second voice first: the melody is seldom the one to take something in.
    const order = [...fillings].reverse();
    if (order.some((f) => f.take(h)) || order.some((f) => f.join(h))) continue;
    const found = { onset: h.event.onset, line: h.event.line };
    const roomy = order.find((f) => f.room(h) > 0);
    if (roomy !== undefined) {
      const end = h.event.onset + roomy.room(h);
      roomy.take({ ...h, event: endingAt(h.event, end) });
      log.add('approximated', 'a note that overlaps both voices is shortened', found);
    } else if (
      crowded &&
      order.sort((a, b) => a.joint(h) - b.joint(h)).some((f) => f.joinAnyway(h))
    ) {
      log.add(
        'approximated',
        'a note of a third voice lasts as long as those struck with it',
        found,
      );
    } else if (crowded && order.some((f) => f.cut(h))) {
      log.add('approximated', 'a held note ends where a third voice begins', found);
    } else {
      log.add('dropped', 'notes that overlap both voices are left out', found);
    }
  }
  return fillings.map((f) => f.finish());
}

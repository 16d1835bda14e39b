import type { Phrase, PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import { dropSilentTuplets, reachTo, withLength, withVoice } from '../phrase/voices';
import { endOf } from '../phrase/walk';
import type { Flow } from './state';

/** A phrase with lengths changed, and how many notes gave way to longer ones. */
export interface Relengthed {
  readonly phrase: Phrase;
  readonly covered: number;
}

/**
 * Gives events of a voice other lengths, by their place in it.
 * - `over`: each takes the room it needs, and what begins in it is taken out;
 * - `push`: what comes later keeps its distance, and so moves along, tuplets too.
 * Several at once always push each other, so that a run stays a run.
 */
export function changeLengths(
  p: Phrase,
  voice: 0 | 1,
  lengths: ReadonlyMap<number, Ticks>,
  flow: Flow,
): Relengthed {
  if (flow === 'push' || lengths.size > 1) {
    return { phrase: pushLengths(p, voice, lengths), covered: 0 };
  }
  let covered = 0;
  const grown = [...lengths].reduce((most, [i, ticks]) => {
    const e = p.voices[voice]?.events[i];
    return e === undefined ? most : Math.max(most, e.onset + ticks);
  }, 0);
  const next = withVoice(reachTo(p, grown), voice, (v) => {
    let until = 0;
    const events: PhraseEvent[] = [];
    v.events.forEach((e, i) => {
      if (e.onset < until) {
        covered += e.notes.length;
        return;
      }
      const ticks = lengths.get(i);
      events.push(ticks === undefined ? e : withLength(e, ticks));
      if (ticks !== undefined) until = e.onset + ticks;
    });
    return { ...v, events };
  });
  return { phrase: dropSilentTuplets(next, voice), covered };
}

function pushLengths(p: Phrase, voice: 0 | 1, lengths: ReadonlyMap<number, Ticks>): Phrase {
  const before = p.voices[voice]?.events ?? [];
  /** How far everything from a moment on moves. */
  const shiftAt = (at: Ticks) =>
    before.reduce((sum, e, i) => {
      const ticks = lengths.get(i);
      return ticks === undefined || endOf(e) > at ? sum : sum + ticks - e.duration;
    }, 0);
  const events = before.map((e, i) => {
    const moved = moveBy(e, shiftAt(e.onset));
    const ticks = lengths.get(i);
    return ticks === undefined ? moved : withLength(moved, ticks);
  });
  const end = Math.max(0, ...events.map(endOf));
  return withVoice(reachTo(p, end), voice, (v) => ({
    events,
    tuplets: v.tuplets.map((t) => moveBy(t, shiftAt(t.onset))),
  }));
}

function moveBy<T extends PhraseEvent | Tuplet>(x: T, by: Ticks): T {
  return by === 0 ? x : { ...x, onset: x.onset + by };
}

/** Moves everything in a voice that begins at a moment or later; bars are added as they are needed. */
export function shiftFrom(p: Phrase, voice: 0 | 1, from: Ticks, by: Ticks): Phrase {
  const ends = (p.voices[voice]?.events ?? [])
    .filter((e) => e.onset >= from)
    .map((e) => endOf(e) + by);
  return withVoice(reachTo(p, Math.max(0, ...ends)), voice, (v) => ({
    events: v.events.map((e) => (e.onset >= from ? moveBy(e, by) : e)),
    tuplets: v.tuplets.map((t) => (t.onset >= from ? moveBy(t, by) : t)),
  }));
}

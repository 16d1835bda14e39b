import { byString, replaceAt } from './rebuild';
import { barSpans, fullLength, meterTicks } from './time';
import type { Grace, Note, Phrase, PhraseEvent, Ticks, Tuplet, Voice } from './types';
import { endOf } from './walk';

/** The phrase with one of its voices changed; a second voice is made where there is none. */
export function withVoice(p: Phrase, voice: 0 | 1, change: (v: Voice) => Voice): Phrase {
  const [first, second] = p.voices;
  const next = change(p.voices[voice] ?? { events: [], tuplets: [] });
  if (voice === 0) return { ...p, voices: second === undefined ? [next] : [next, second] };
  return { ...p, voices: [first, next] };
}

/** The phrase with its events of a voice changed. */
export function withEvents(
  p: Phrase,
  voice: 0 | 1,
  change: (events: readonly PhraseEvent[]) => readonly PhraseEvent[],
): Phrase {
  return withVoice(p, voice, (v) => ({ ...v, events: change(v.events) }));
}

/**
 * The phrase long enough to hold a moment: it is filled up to the end of its last bar, then bars
 * like the last one are added.
 */
export function reachTo(p: Phrase, end: Ticks): Phrase {
  if (end <= p.length) return p;
  const bars = [...p.bars];
  const last = { meter: bars.at(-1)!.meter };
  let length = fullLength(p);
  for (; length < end; length += meterTicks(last.meter)) bars.push(last);
  return { ...p, bars: bars.length === p.bars.length ? p.bars : bars, length };
}

/** The graces on some strings alone; one of which nothing is left goes. */
export function gracesOn(
  graces: PhraseEvent['graces'],
  takes: (string: number) => boolean,
): readonly Grace[] {
  return (graces ?? []).flatMap((g): Grace[] => {
    const [head, ...tail] = g.notes.filter((n) => takes(n.string));
    return head === undefined ? [] : [{ notes: [head, ...tail] }];
  });
}

/**
 * Writes a note into a voice. Where something starts at that moment the note joins it, and takes
 * the place of what is on its string; its length is then that of the moment. Elsewhere a new event
 * is made, which ends what sounds over it and is itself no longer than up to the next one.
 */
export function putNote(
  p: Phrase,
  voice: 0 | 1,
  onset: Ticks,
  duration: Ticks,
  note: Note,
): Phrase {
  return withEvents(reachTo(p, onset + duration), voice, (events) => {
    const same = events.findIndex((e) => e.onset === onset);
    if (same >= 0) {
      const event = events[same]!;
      const others = event.notes.filter((n) => n.string !== note.string);
      return replaceAt(events, same, { ...event, notes: byString([...others, note]) });
    }
    const next = events.find((e) => e.onset > onset);
    const room = next === undefined ? duration : Math.min(duration, next.onset - onset);
    const before = events.filter((e) => e.onset < onset).map((e) => endAt(e, onset));
    const after = events.filter((e) => e.onset > onset);
    return [...before, { onset, duration: room, notes: [note] }, ...after];
  });
}

/** The event, no longer sounding at a moment after its onset. */
export function endAt(e: PhraseEvent, at: Ticks): PhraseEvent {
  return endOf(e) <= at ? e : withLength(e, at - e.onset);
}

/** The event with a length that somebody chose: it is guessed no more. */
export function withLength(e: PhraseEvent, duration: Ticks): PhraseEvent {
  if (e.duration === duration && e.guessed === undefined) return e;
  const { guessed, ...sure } = e;
  return { ...sure, duration };
}

/** Takes notes out with the graces before them; an event without notes becomes silence, and tuplets of silence alone go. */
export function takeNotes(p: Phrase, voice: 0 | 1, ids: ReadonlySet<string>): Phrase {
  const taken = withEvents(p, voice, (events) =>
    events.flatMap((e) => {
      const notes = e.notes.filter((n) => !ids.has(n.id));
      if (notes.length === e.notes.length) return [e];
      if (notes.length === 0) return [];
      const gone = new Set(e.notes.filter((n) => ids.has(n.id)).map((n) => n.string));
      const { graces, ...rest } = e;
      const [first, ...more] = gracesOn(graces, (string) => !gone.has(string));
      const kept = first === undefined ? {} : { graces: [first, ...more] as const };
      return [{ ...rest, ...kept, notes: byString(notes) }];
    }),
  );
  return dropSilentTuplets(taken, voice);
}

/** The phrase without the tuplets in which nothing starts or sounds. */
export function dropSilentTuplets(p: Phrase, voice: 0 | 1): Phrase {
  return withVoice(p, voice, (v) => {
    const tuplets = v.tuplets.filter((t) => v.events.some((e) => overlaps(e, t)));
    return tuplets.length === v.tuplets.length ? v : { ...v, tuplets };
  });
}

function overlaps(e: PhraseEvent, t: Tuplet): boolean {
  return e.onset < t.onset + t.duration && endOf(e) > t.onset;
}

/** The phrase without an empty second voice. */
export function dropEmptyVoice(p: Phrase): Phrase {
  const [first, second] = p.voices;
  return second !== undefined && second.events.length === 0 ? { ...p, voices: [first] } : p;
}

/** The bar that holds a moment; the last for the end of the phrase. */
export function barOver(p: Phrase, onset: Ticks) {
  const spans = barSpans(p);
  return spans.find((b) => b.start <= onset && onset < b.end) ?? spans.at(-1)!;
}

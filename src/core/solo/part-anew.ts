import { checkPlayable } from '../neck/playable';
import type { Note, Phrase, PhraseEvent, PhrasePart, Ticks, Voice } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { checkPhrase } from '../validity/check-phrase';
import { handBefore, ownAt, placedFrom } from './from-hand';
import { cutAt, firstOnset, laidPrint } from './laid';
import { layPart, standsAt } from './part-now';

/**
 * The whole with a part laid again from its source as that is now, over the chords that stand there now. What
 * was changed by hand in the notes of the part goes; notes that were written beside them stay.
 * @returns Or why it cannot be laid there, without a full stop.
 */
export function layAnew(whole: Phrase, part: PhrasePart, source: Phrase): Result<Phrase> {
  const stands = standsAt(whole, part, source);
  if (!stands.ok) return stands;
  const { zero, bars } = stands.value;
  const laid = layPart(source, whole, bars, part);
  if (!laid.ok) return laid;
  const own = (n: Note) => n.id.startsWith(part.notes);
  const events = whole.voices.flatMap((v) => v.events);
  if (events.some((e) => e.notes.some(own) && !e.notes.every(own))) {
    return fail({ message: 'a note of another part is struck with its own' });
  }
  const given = cutAt(fromHand(whole, part, source, laid.value.moved, zero), part.until);
  const voices = [0, 1].map((v) => voiceWith(whole.voices[v], given[v], part, zero));
  const [first, second] = voices as [Voice, Voice];
  const next: Phrase = {
    ...whole,
    voices: second.events.length === 0 ? [first] : [first, second],
    parts: (whole.parts ?? []).map((p) =>
      p.notes === part.notes ? { ...p, title: source.meta.title, laid: laidPrint(given) } : p,
    ),
  };
  const wrong = checkPhrase(next)[0] ?? unplayable(whole, next);
  return wrong === undefined ? ok(next) : fail({ message: `laid there, ${wrong.message}` });
}

/** The source as it was moved, where the hand comes to it from what stands before it. */
function fromHand(
  whole: Phrase,
  part: PhrasePart,
  source: Phrase,
  moved: Phrase,
  zero: Ticks,
): Phrase {
  const { tempo } = whole;
  const others = (v: Voice): Voice => ({
    ...v,
    events: v.events.filter((e) => !e.notes.some((n) => n.id.startsWith(part.notes))),
  });
  const [first, second] = whole.voices;
  const before: Phrase = {
    ...whole,
    voices: second === undefined ? [others(first)] : [others(first), others(second)],
  };
  const from = handBefore(before, zero + firstOnset(moved.voices), tempo) ?? undefined;
  return placedFrom(moved, { from, own: ownAt(source, tempo), tempo });
}

/** What the hand could do before, and cannot any more. */
function unplayable(before: Phrase, after: Phrase) {
  const known = new Set(checkPlayable(before).map((v) => v.message));
  return checkPlayable(after).find((v) => !known.has(v.message));
}

/** A voice without the notes that the part had, and with those that it gets. */
function voiceWith(
  had: Voice | undefined,
  given: Voice | undefined,
  part: PhrasePart,
  zero: Ticks,
): Voice {
  const all = had?.events ?? [];
  const stays = all.filter((e) => !e.notes.some((n) => n.id.startsWith(part.notes)));
  const comes = (given?.events ?? []).map((e): PhraseEvent => {
    const [one, ...more] = e.notes;
    const marked = (n: Note) => ({ ...n, id: part.notes + n.id });
    return { ...e, onset: e.onset + zero, notes: [marked(one), ...more.map(marked)] };
  });
  const events = [...stays, ...comes].sort((a, b) => a.onset - b.onset);
  const tuplets = [
    ...(had?.tuplets ?? []).filter((t) => !left(t, all, stays)),
    ...(given?.tuplets ?? []).map((t) => ({ ...t, onset: t.onset + zero })),
  ];
  return { events, tuplets: tuplets.sort((a, b) => a.onset - b.onset) };
}

/** Whether a tuplet goes with the part: it had notes, and none of them stays. */
function left(
  { onset, duration }: Voice['tuplets'][number],
  all: readonly PhraseEvent[],
  stays: readonly PhraseEvent[],
): boolean {
  const inside = (e: PhraseEvent) => e.onset < onset + duration && endOf(e) > onset;
  return all.some(inside) && !stays.some(inside);
}

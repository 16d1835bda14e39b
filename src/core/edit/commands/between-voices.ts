import { byString } from '../../phrase/rebuild';
import type { PhraseEvent, Tuplet } from '../../phrase/types';
import { dropEmptyVoice, dropSilentTuplets, gracesOn, withVoice } from '../../phrase/voices';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import { chosenNotes } from '../select';

/** The two voices change places. */
export const swapVoices = defineCommand<undefined>({
  id: 'bar.swap-voices',
  group: 'Bars and beats',
  title: 'Let the two voices change places',
  words: 'melody drone swap',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const [first, second] = s.phrase.voices;
    if (second === undefined || second.events.length === 0)
      return cannot('there is one voice only');
    return done({ ...s, phrase: { ...s.phrase, voices: [second, first] } }, 'voices changed');
  },
});

/** The chosen notes go to the other voice; of a moment that is chosen in part, only they. */
export const toOtherVoice = defineCommand<undefined>({
  id: 'bar.to-voice',
  group: 'Bars and beats',
  title: 'Put what is chosen into the other voice',
  words: 'second voice melody drone',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const from = s.selection.voice;
    const to = from === 0 ? 1 : 0;
    const ids = new Set(chosenNotes(s).map((c) => c.note.id));
    if (ids.size === 0) return cannot('no note is chosen');
    const source = s.phrase.voices[from] ?? { events: [], tuplets: [] };
    const target = s.phrase.voices[to] ?? { events: [], tuplets: [] };
    const moving = source.events.flatMap((e) => partOf(e, (id) => ids.has(id)));
    const staying = source.events.flatMap((e) => partOf(e, (id) => !ids.has(id)));
    if (target.events.some((e) => moving.some((m) => overlaps(e, m)))) {
      return cannot('the other voice has notes there');
    }
    const needed = source.tuplets.filter((t) => moving.some((m) => overlaps(m, t)));
    const come = needed.filter((t) => !target.tuplets.some((u) => sameData(t, u)));
    if (target.tuplets.some((u) => come.some((t) => overlaps(t, u)))) {
      return cannot('the other voice is divided otherwise there');
    }
    const left = withVoice(s.phrase, from, (v) => ({ ...v, events: staying }));
    const both = withVoice(dropSilentTuplets(left, from), to, (v) => ({
      events: [...v.events, ...moving].sort((a, b) => a.onset - b.onset),
      tuplets: [...v.tuplets, ...come].sort((a, b) => a.onset - b.onset),
    }));
    return done(
      { ...s, phrase: dropEmptyVoice(both), selection: { ...s.selection, voice: to } },
      to === 0 ? 'in the first voice' : 'in the second voice',
    );
  },
});

/**
 * An event with some of its notes alone, and the graces on their strings; none where it has none of
 * them. A rake leads up from below and goes with the lowest string.
 */
function partOf(e: PhraseEvent, takes: (id: string) => boolean): readonly PhraseEvent[] {
  const notes = e.notes.filter((n) => takes(n.id));
  if (notes.length === 0) return [];
  if (notes.length === e.notes.length) return [e];
  const { graces, rake, strum, ...rest } = e;
  const own = new Set(notes.map((n) => n.string));
  const lowest = e.notes.at(-1)!.string;
  const [first, ...more] = gracesOn(graces, (string) => own.has(string));
  return [
    {
      ...rest,
      ...(first === undefined ? {} : { graces: [first, ...more] }),
      ...(rake !== undefined && own.has(lowest) ? { rake } : {}),
      ...(strum !== undefined && notes.length > 1 ? { strum } : {}),
      notes: byString(notes),
    },
  ];
}

function overlaps(a: PhraseEvent | Tuplet, b: PhraseEvent | Tuplet): boolean {
  return a.onset < b.onset + b.duration && a.onset + a.duration > b.onset;
}

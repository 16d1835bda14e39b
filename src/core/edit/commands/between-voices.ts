import type { PhraseEvent } from '../../phrase/types';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { dropEmptyVoice, withVoice } from '../voices';

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

/** What is chosen goes to the other voice. */
export const toOtherVoice = defineCommand<undefined>({
  id: 'bar.to-voice',
  group: 'Bars and beats',
  title: 'Put what is chosen into the other voice',
  words: 'second voice melody drone',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const from = s.selection.voice;
    const to = from === 0 ? 1 : 0;
    const { cursor, corner } = s.selection;
    const low = Math.min(cursor.onset, (corner ?? cursor).onset);
    const high = Math.max(cursor.onset, (corner ?? cursor).onset);
    const inRange = (e: PhraseEvent) => e.onset >= low && e.onset <= high;
    const moving = (s.phrase.voices[from]?.events ?? []).filter(inRange);
    if (moving.length === 0) return cannot('no note is chosen');
    const there = s.phrase.voices[to]?.events ?? [];
    if (there.some((e) => moving.some((m) => e.onset < endOf(m) && endOf(e) > m.onset))) {
      return cannot('the other voice has notes there');
    }
    const tuplets = (s.phrase.voices[from]?.tuplets ?? []).filter(
      (t) => t.onset >= low && t.onset <= high,
    );
    const left = withVoice(s.phrase, from, (v) => ({
      events: v.events.filter((e) => !moving.includes(e)),
      tuplets: v.tuplets.filter((t) => !tuplets.includes(t)),
    }));
    const phrase = withVoice(left, to, (v) => ({
      events: [...v.events, ...moving].sort((a, b) => a.onset - b.onset),
      tuplets: [...v.tuplets, ...tuplets].sort((a, b) => a.onset - b.onset),
    }));
    return done(
      { ...s, phrase: dropEmptyVoice(phrase), selection: { ...s.selection, voice: to } },
      to === 0 ? 'in the first voice' : 'in the second voice',
    );
  },
});

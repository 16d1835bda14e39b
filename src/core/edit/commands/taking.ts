import type { PhraseEvent } from '../../phrase/types';
import { barOver, takeNotes } from '../../phrase/voices';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import { chosenNotes, moveCursor, voiceOf } from '../select';
import type { EditState, Selection } from '../state';

/** Wider choices. */
export const chooseAll = defineCommand<'all' | 'bar' | 'moment'>({
  id: 'choose.all',
  group: 'Taking and putting',
  title: 'Choose',
  words: 'select all bar voice',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'all', title: 'everything in this voice' },
      { value: 'bar', title: 'this bar' },
      { value: 'moment', title: 'everything struck at this moment' },
    ],
  },
  apply: (s, what) => {
    const { onset } = s.selection.cursor;
    const bar = barOver(s.phrase, onset);
    const inside = voiceOf(s).events.filter(
      (e) =>
        what === 'all' ||
        (what === 'bar' ? e.onset >= bar.start && e.onset < bar.end : e.onset === onset),
    );
    const first = inside[0];
    const last = inside.at(-1);
    if (first === undefined || last === undefined) return cannot('there is no note to choose');
    const { top, bottom } = what === 'moment' ? stringsOf(first) : allStrings(s);
    // Whoever lets go of one moment is still where they were.
    const down = what !== 'moment' || s.selection.cursor.string !== top;
    const selection: Selection = {
      ...s.selection,
      corner: { onset: first.onset, string: down ? top : bottom },
      cursor: { onset: last.onset, string: down ? bottom : top },
      fresh: [],
      typed: '',
    };
    return sameData(selection, s.selection)
      ? cannot('it is chosen already')
      : done({ ...s, selection });
  },
});

function allStrings(s: EditState) {
  return { top: 1, bottom: s.phrase.instrument.tuning.length };
}

function stringsOf({ notes }: PhraseEvent) {
  const strings = notes.map((n) => n.string);
  return { top: Math.min(...strings), bottom: Math.max(...strings) };
}

/** Back to the cursor alone. */
export const chooseNothing = defineCommand<undefined>({
  id: 'choose.nothing',
  group: 'Taking and putting',
  title: 'Let go of what is chosen',
  words: 'deselect escape',
  ask: { kind: 'nothing' },
  keys: [{ key: 'Escape', value: undefined }],
  apply: (s) =>
    s.selection.corner === null && s.selection.fresh.length === 0
      ? cannot('nothing is chosen')
      : done(moveCursor(s, s.selection.cursor)),
});

/** From the melody to the second voice and back; writing there makes one. */
export const otherVoice = defineCommand<undefined>({
  id: 'go.voice',
  group: 'Going about',
  title: 'Go to the other voice',
  words: 'second voice drone bass melody',
  ask: { kind: 'nothing' },
  keys: [{ key: 'V', value: undefined }],
  apply: (s) => {
    const voice = s.selection.voice === 0 ? 1 : 0;
    const moved = moveCursor(s, s.selection.cursor);
    return done(
      { ...moved, selection: { ...moved.selection, voice } },
      voice === 0 ? 'first voice' : 'second voice',
    );
  },
});

/** Takes out what was put on the clipboard. */
export const cut = defineCommand<undefined>({
  id: 'take.cut',
  group: 'Taking and putting',
  title: 'Cut what is chosen',
  words: 'clipboard',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const ids = new Set(chosenNotes(s).map((c) => c.note.id));
    if (ids.size === 0) return cannot('no note is chosen');
    const phrase = takeNotes(s.phrase, s.selection.voice, ids);
    const at = moveCursor({ ...s, phrase }, s.selection.corner ?? s.selection.cursor);
    return done(at, ids.size === 1 ? 'a note cut' : `${ids.size} notes cut`);
  },
});

import type { DynamicMark } from '../../phrase/types';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';

const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;

/** How loud, from the cursor on. */
export const setDynamic = defineCommand<DynamicMark | 'none'>({
  id: 'mark.dynamic',
  group: 'Bars and beats',
  title: 'From here on, play',
  words: 'dynamics loud soft volume',
  ask: {
    kind: 'choice',
    choices: [
      ...DYNAMICS.map((value) => ({ value, title: value })),
      { value: 'none' as const, title: 'as before' },
    ],
  },
  apply: (s, value) => {
    const { onset } = s.selection.cursor;
    const { marks } = s.phrase;
    const others = marks.filter((m) => m.kind !== 'dynamic' || m.onset !== onset);
    if (value === 'none' && others.length === marks.length) return cannot('no dynamic stands here');
    const added = value === 'none' ? [] : [{ kind: 'dynamic' as const, onset, value }];
    const next = [...others, ...added].sort((a, b) => a.onset - b.onset);
    if (sameData(next, marks)) return cannot(`${value} stands there already`);
    return done({ ...s, phrase: { ...s.phrase, marks: next } }, value);
  },
});

/** Words over the cursor; nothing takes them away. */
export const setWords = defineCommand<string>({
  id: 'mark.words',
  group: 'Bars and beats',
  title: 'Write words at the cursor (none: take them out)',
  words: 'text annotation remark',
  ask: { kind: 'text', label: 'the words', example: 'lazily' },
  apply: (s, text) => {
    const { onset } = s.selection.cursor;
    const { marks } = s.phrase;
    const others = marks.filter((m) => m.kind !== 'words' || m.onset !== onset);
    const trimmed = text.trim();
    if (trimmed === '' && others.length === marks.length) return cannot('no words stand here');
    if (trimmed.length > 200) return cannot('words over a note are 200 letters at most');
    const added = trimmed === '' ? [] : [{ kind: 'words' as const, onset, text: trimmed }];
    const next = [...others, ...added].sort((a, b) => a.onset - b.onset);
    if (sameData(next, marks)) return cannot('these words stand there already');
    return done(
      { ...s, phrase: { ...s.phrase, marks: next } },
      trimmed === '' ? 'no words' : trimmed,
    );
  },
});

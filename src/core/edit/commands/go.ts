import { barSpans } from '../../phrase/time';
import { barOver } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { type Choice, defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { moveCursor, nextMoment, previousMoment, voiceOf } from '../select';
import type { Cell, EditState } from '../state';

/** Where the cursor can be sent. */
type Way =
  | 'on'
  | 'back'
  | 'higher string'
  | 'lower string'
  | 'bar on'
  | 'bar back'
  | 'start'
  | 'end';

const WAYS: readonly Choice<Way>[] = [
  { value: 'on', title: 'on to the next moment' },
  { value: 'back', title: 'back to the moment before' },
  { value: 'higher string', title: 'to the next higher string' },
  { value: 'lower string', title: 'to the next lower string' },
  { value: 'bar on', title: 'to the next bar' },
  { value: 'bar back', title: 'to the bar before' },
  { value: 'start', title: 'to the beginning' },
  { value: 'end', title: 'to the end of what is written, then of the bar' },
];

/** The cursor without touching a note. */
export const go = defineCommand<Way>({
  id: 'go',
  group: 'Going about',
  title: 'Go',
  words: 'cursor move left right up down',
  ask: { kind: 'choice', choices: WAYS },
  keys: [
    { key: 'ArrowRight', value: 'on' },
    { key: 'Enter', value: 'on' },
    { key: 'ArrowLeft', value: 'back' },
    { key: 'ArrowUp', value: 'higher string' },
    { key: 'ArrowDown', value: 'lower string' },
    // Writing by finger goes on by itself, so that only the string is left to say.
    { key: '+', value: 'higher string', reading: ['finger'] },
    { key: '-', value: 'lower string', reading: ['finger'] },
    { key: 'Ctrl+ArrowRight', value: 'bar on' },
    { key: 'Ctrl+ArrowLeft', value: 'bar back' },
    { key: 'Home', value: 'start' },
    { key: 'End', value: 'end' },
    // Where a text has lines the plain keys stop at one; whoever is used to that means the ends.
    { key: 'Ctrl+Home', value: 'start' },
    { key: 'Ctrl+End', value: 'end' },
  ],
  apply: (s, way) => {
    const to = goal(s, way);
    if (to === null) return cannot(BLOCKED[way]);
    return done(moveCursor(s, to), way === 'on' && wroteHereByItself(s) ? LEFT_EMPTY : '');
  },
});

/** The same ways, with everything on the way chosen. */
export const choose = defineCommand<Way>({
  id: 'choose',
  group: 'Taking and putting',
  title: 'Choose',
  words: 'select extend range block',
  ask: { kind: 'choice', choices: WAYS },
  keys: [
    { key: 'Shift+ArrowRight', value: 'on' },
    { key: 'Shift+ArrowLeft', value: 'back' },
    { key: 'Shift+ArrowUp', value: 'higher string' },
    { key: 'Shift+ArrowDown', value: 'lower string' },
    { key: 'Ctrl+Shift+ArrowRight', value: 'bar on' },
    { key: 'Ctrl+Shift+ArrowLeft', value: 'bar back' },
    { key: 'Shift+Home', value: 'start' },
    { key: 'Shift+End', value: 'end' },
    { key: 'Ctrl+Shift+Home', value: 'start' },
    { key: 'Ctrl+Shift+End', value: 'end' },
  ],
  apply: (s, way) => {
    const to = goal(s, way);
    return to === null ? cannot(BLOCKED[way]) : done(moveCursor(s, to, true));
  },
});

/** A place pointed at. */
export const goTo = defineCommand<Cell & { readonly extend?: boolean }>({
  id: 'go.to',
  group: 'Going about',
  title: 'Go to a place pointed at',
  ask: {
    kind: 'given',
    is: isCell,
    some: (s) => [
      { onset: 0, string: 1 },
      { onset: s.phrase.length, string: s.phrase.instrument.tuning.length, extend: true },
    ],
  },
  apply: (s, { onset, string, extend }) => done(moveCursor(s, { onset, string }, extend === true)),
});

/** On to the next moment and the next string in one: the usual way of a line over the neck. */
export const step = defineCommand<'higher' | 'lower'>({
  id: 'go.step',
  group: 'Going about',
  title: 'Go on, one string',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'higher', title: 'higher' },
      { value: 'lower', title: 'lower' },
    ],
  },
  keys: [
    { key: '+', value: 'higher', reading: ['fret'] },
    { key: '-', value: 'lower', reading: ['fret'] },
  ],
  apply: (s, way) => {
    const on = goal(s, 'on');
    const to = goal(s, way === 'higher' ? 'higher string' : 'lower string');
    if (on === null) return cannot(BLOCKED.on);
    if (to === null) return cannot(BLOCKED[way === 'higher' ? 'higher string' : 'lower string']);
    return done(moveCursor(s, { onset: on.onset, string: to.string }));
  },
});

/** Whether a degree or a finger was just written and went on by itself to the moment of the cursor, where nothing is. */
function wroteHereByItself({ pen, selection, ...s }: EditState): boolean {
  if (pen.reading === 'fret' || selection.fresh.length === 0) return false;
  const { events } = s.phrase.voices[selection.voice] ?? { events: [] };
  const fresh = events.find((e) => e.notes.some((n) => selection.fresh.includes(n.id)));
  return (
    fresh !== undefined &&
    endOf(fresh) === selection.cursor.onset &&
    !events.some((e) => e.onset === selection.cursor.onset)
  );
}

/** Who is used to Enter behind a fret leaves a rest without noticing. */
const LEFT_EMPTY = 'a rest is left there: degrees and fingers go on by themselves';

function isCell(x: unknown): x is Cell & { readonly extend?: boolean } {
  if (typeof x !== 'object' || x === null) return false;
  const { onset, string, extend } = x as Record<string, unknown>;
  return (
    Number.isInteger(onset) &&
    Number.isInteger(string) &&
    (extend === undefined || typeof extend === 'boolean')
  );
}

const BLOCKED: Readonly<Record<Way, string>> = {
  on: 'the cursor is after the end',
  back: 'the cursor is at the beginning',
  'higher string': 'this is the first string',
  'lower string': 'this is the last string',
  'bar on': 'this is the last bar',
  'bar back': 'the cursor is at the beginning',
  start: 'the cursor is at the beginning',
  end: 'the cursor is at the end',
};

function goal(s: EditState, way: Way): Cell | null {
  const { cursor } = s.selection;
  const at = (onset: number): Cell | null => (onset === cursor.onset ? null : { ...cursor, onset });
  switch (way) {
    case 'on':
      return at(nextMoment(s, cursor.onset));
    case 'back':
      return at(previousMoment(s, cursor.onset));
    case 'higher string':
      return cursor.string > 1 ? { ...cursor, string: cursor.string - 1 } : null;
    case 'lower string':
      return cursor.string < s.phrase.instrument.tuning.length
        ? { ...cursor, string: cursor.string + 1 }
        : null;
    case 'bar on': {
      const here = barOver(s.phrase, cursor.onset);
      return at(Math.max(cursor.onset, here.end));
    }
    case 'bar back': {
      const starts = barSpans(s.phrase).map((b) => b.start);
      return at(starts.filter((t) => t < cursor.onset).at(-1) ?? 0);
    }
    case 'start':
      return at(0);
    case 'end': {
      // First where one would write on, from there to the end of the last bar.
      const written = Math.max(0, ...voiceOf(s).events.map(endOf));
      return at(cursor.onset < written ? written : s.phrase.length);
    }
  }
}

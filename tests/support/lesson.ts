import { STANDARD_FORMS } from '../../src/core/form/standard';
import { FORM_VERSION, type OwnForm } from '../../src/core/form/types';
import { addItem, freeItemId, lessonOf } from '../../src/core/lesson/edit';
import type { Lesson, LessonItem } from '../../src/core/lesson/types';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { canonicalSymbol } from '../../src/core/theory/chord';

const TIME = '2026-11-27T08:00:00Z';

/** Chord symbols of a test. */
function symbols(...texts: readonly string[]) {
  const all = texts.map((t) => {
    const read = canonicalSymbol(t);
    if (!read.ok) throw new Error(`no chord ${t}`);
    return read.value;
  });
  const [first, ...rest] = all;
  return [first!, ...rest] as const;
}

/** An item that has no id yet. */
type Bare<I extends LessonItem> = I extends LessonItem ? Omit<I, 'id'> : never;

/** A lesson with an item of every kind about the first two phrases. */
export function lessonOfEveryKind([a, b]: readonly [Phrase, Phrase]): Lesson {
  const [form] = STANDARD_FORMS;
  const items: readonly Bare<LessonItem>[] = [
    { kind: 'text', heading: 'What for', text: 'Hear the third.\n\nThen find it <again> & again.' },
    { kind: 'pair', phrase: a.id, move: { kind: 'chord', text: 'IV7', octave: 'nearest' } },
    { kind: 'neck', phrase: a.id, shows: 'phrase' },
    { kind: 'neck', phrase: b.id, shows: 'chords' },
    {
      kind: 'shapes',
      instrument: STANDARD_GUITAR,
      chords: symbols('A7', 'D7'),
      shape: 'triad',
      near: 5,
    },
    { kind: 'form', form: form!, tonic: { letter: 'A', alter: 0 } },
    { kind: 'solo', phrase: b.id, parts: [{ firstBar: 1, lastBar: 1, title: 'Stair' }] },
    { kind: 'rounds', phrase: a.id, cycle: { kind: 'list', text: 'I IV V' }, todo: 'Aloud.' },
    { kind: 'gaps', phrase: a.id, every: 3 },
    { kind: 'degrees', phrase: a.id, from: 'chord' },
    { kind: 'answer', phrase: a.id },
  ];
  const start = lessonOf([a, b], { id: 'lesson-1', now: TIME, title: 'Thirds on the quay' });
  return items.reduce<Lesson>(
    (l, item) => addItem(l, { ...item, id: freeItemId(l) } as LessonItem),
    { ...start, meta: { ...start.meta, intro: 'Two phrases and what they are made of.' } },
  );
}

/** A form with sections of its own. */
export const OWN_FORM: OwnForm = {
  format: 'degreewise-form',
  version: FORM_VERSION,
  id: 'form-1',
  parent: null,
  meta: { title: 'Ten bars with a way in', created: TIME, modified: TIME },
  mode: 'blues',
  meter: { beats: 4, beatType: 4 },
  feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
  tempo: { bpm: 96, unit: 'quarter' },
  sections: [
    { name: 'Intro', bars: 'V7|IV7' },
    { name: 'A', bars: 'I7|IV7|I7|I7|IV7|I7' },
    { name: 'Ending', bars: 'I7 V7|I7' },
  ],
};

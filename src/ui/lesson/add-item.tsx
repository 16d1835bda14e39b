import { useId, useState } from 'react';
import { STANDARD_FORMS } from '../../core/form/standard';
import { addItem, freeItemId } from '../../core/lesson/edit';
import { withGaps } from '../../core/lesson/gaps';
import type { LessonItem } from '../../core/lesson/types';
import { indexFingerFret } from '../../core/neck/positions';
import type { Phrase } from '../../core/phrase/types';
import { titleOf } from '../shared/facts';
import type { LessonEdits } from './use-lesson';

type Bare<I extends LessonItem = LessonItem> = I extends LessonItem ? Omit<I, 'id'> : never;

interface Row {
  readonly words: string;
  /** What is made; null where this phrase has nothing for it. */
  readonly make: (phrase: Phrase) => Bare | null;
}

/** What can be added, in the order in which it is offered. */
const ROWS: Readonly<Record<string, Row>> = {
  text: { words: 'a text', make: () => ({ kind: 'text', text: '' }) },
  phrase: { words: 'the phrase', make: (p) => ({ kind: 'phrase', phrase: p.id }) },
  pair: {
    words: 'the phrase before and after a move',
    make: (p) => ({ kind: 'pair', phrase: p.id, move: { kind: 'chord', text: 'IV7' } }),
  },
  neck: {
    words: 'the phrase on the neck',
    make: (p) => ({ kind: 'neck', phrase: p.id, shows: 'phrase' }),
  },
  chords: {
    words: 'its chords on the neck',
    make: (p) => (p.chords.length === 0 ? null : { kind: 'neck', phrase: p.id, shows: 'chords' }),
  },
  shapes: { words: 'shapes of its chords', make: shapesOf },
  form: {
    words: 'a twelve-bar form in its key',
    make: (p) => ({ kind: 'form', form: STANDARD_FORMS[0]!, tonic: p.key.tonic }),
  },
  rounds: {
    words: 'exercise: through I, IV and V',
    make: (p) => ({ kind: 'rounds', phrase: p.id, cycle: { kind: 'list', text: 'I IV V' } }),
  },
  keys: {
    words: 'exercise: through every key',
    make: (p) => ({ kind: 'rounds', phrase: p.id, cycle: { kind: 'fourths' } }),
  },
  gaps: {
    words: 'exercise: fill the gaps',
    make: (p) => (withGaps(p, 3) === null ? null : { kind: 'gaps', phrase: p.id, every: 3 }),
  },
  degrees: {
    words: 'exercise: name the degrees',
    make: (p) => ({
      kind: 'degrees',
      phrase: p.id,
      from: p.chords.length === 0 ? 'key' : 'chord',
    }),
  },
  answer: {
    words: 'exercise: answer it',
    make: (p) => ({ kind: 'answer', phrase: p.id }),
  },
};

function shapesOf(p: Phrase): Bare | null {
  const symbols = [...new Set(p.chords.flatMap((c) => c.symbol ?? []))].slice(0, 24);
  const [first, ...rest] = symbols;
  if (first === undefined) return null;
  const { instrument } = p;
  const near = Math.max(0, indexFingerFret(p));
  return { kind: 'shapes', instrument, chords: [first, ...rest], shape: 'triad', near };
}

/** Puts one more item at the end. */
export function AddItem({ edits }: { readonly edits: LessonEdits }) {
  const { lesson, change } = edits;
  const [what, setWhat] = useState('text');
  const [of, setOf] = useState('');
  const id = useId();
  const phrase = lesson.phrases.find((p) => p.id === of) ?? lesson.phrases[0] ?? null;
  const row = ROWS[what]!;
  const made = what === 'text' ? row.make(NO_PHRASE) : phrase === null ? null : row.make(phrase);
  const add = () => {
    if (made === null) return;
    // An item without its id and an id are an item.
    change(addItem(lesson, { ...made, id: freeItemId(lesson) } as LessonItem));
  };
  return (
    <section className="lesson-add" aria-labelledby={`${id}-add`}>
      <h2 id={`${id}-add`}>Add to the lesson</h2>
      <div className="lesson-fields">
        <label>
          <span>What</span>
          <select value={what} onChange={(e) => setWhat(e.target.value)}>
            {Object.entries(ROWS).map(([name, { words }]) => (
              <option key={name} value={name}>
                {words}
              </option>
            ))}
          </select>
        </label>
        {what === 'text' || phrase === null ? null : (
          <label>
            <span>Of</span>
            <select value={phrase.id} onChange={(e) => setOf(e.target.value)}>
              {lesson.phrases.map((p) => (
                <option key={p.id} value={p.id}>
                  {titleOf(p)}
                </option>
              ))}
            </select>
          </label>
        )}
        <button type="button" className="strong" disabled={made === null} onClick={add}>
          Add it
        </button>
      </div>
      {made === null ? (
        <p className="quiet">
          {phrase === null ? 'The lesson has no phrase left.' : 'This phrase has nothing for it.'}
        </p>
      ) : null}
    </section>
  );
}

/** A text is about no phrase; its row does not look at one. */
const NO_PHRASE = {} as Phrase;

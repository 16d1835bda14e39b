import { useId, useState } from 'react';
import type { Form } from '../../core/form/types';
import { addItem, freeItemId } from '../../core/lesson/edit';
import { withGaps } from '../../core/lesson/gaps';
import type { LessonItem } from '../../core/lesson/types';
import { readGoal } from '../../core/move/goal';
import { indexFingerFret } from '../../core/neck/positions';
import type { Phrase } from '../../core/phrase/types';
import { formatChord } from '../../core/theory/chord';
import { formatKey, parseKey, twelveKeys } from '../../core/theory/key';
import type { PitchClass } from '../../core/theory/pitch';
import { typesetText } from '../../io/text/signs';
import { useLoaded, usePhrase } from '../frame/app-context';
import { Choice } from '../frame/export/choice';
import { PhraseSelect } from '../frame/phrase-select';
import { useForms } from '../frame/use-forms';
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
    make: (p) => ({ kind: 'pair', phrase: p.id, move: { kind: 'chord', text: elsewhere(p) } }),
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

/** The chord of the blues that a phrase is taken to first: IV7, or I7 where it stands over IV7 as it is. */
function elsewhere(p: Phrase): string {
  const to = readGoal({ kind: 'chord', text: 'IV7' }, p.key);
  const symbols = new Set(p.chords.map((c) => c.symbol));
  if (!to.ok || to.value.kind !== 'chord' || symbols.size !== 1) return 'IV7';
  return symbols.has(formatChord(to.value.chord)) ? 'I7' : 'IV7';
}

function shapesOf(p: Phrase): Bare | null {
  const symbols = [...new Set(p.chords.flatMap((c) => c.symbol ?? []))].slice(0, 24);
  const [first, ...rest] = symbols;
  if (first === undefined) return null;
  const { instrument } = p;
  const near = Math.max(0, indexFingerFret(p));
  return { kind: 'shapes', instrument, chords: [first, ...rest], shape: 'triad', near };
}

/** Stands in the list of phrases for those that the lesson does not have yet. */
const ANOTHER = '';

/** Puts one more item at the end. */
export function AddItem({ edits }: { readonly edits: LessonEdits }) {
  const { lesson, change } = edits;
  const [what, setWhat] = useState('text');
  const [of, setOf] = useState<string | null>(null);
  const [other, setOther] = useState<string | null>(null);
  const id = useId();
  const chosen = of ?? lesson.phrases[0]?.id ?? ANOTHER;
  const inLesson = lesson.phrases.find((p) => p.id === chosen) ?? null;
  const loaded = useLoaded(usePhrase(other ?? ''));
  const phrase = inLesson ?? loaded;
  const row = ROWS[what];
  const made =
    row === undefined ? null : what === 'text' ? row.make(NO_PHRASE) : phrase && row.make(phrase);
  const add = () => {
    if (made === null) return;
    // An item without its id and an id are an item.
    const item = { ...made, id: freeItemId(lesson) } as LessonItem;
    change(addItem(lesson, item, lesson.items.length, what === 'text' ? null : phrase));
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
            <option value={FORM}>a song form</option>
          </select>
        </label>
        {what === FORM ? <AddForm edits={edits} /> : null}
        {what === 'text' || what === FORM ? null : (
          <label>
            <span>Of</span>
            <select value={inLesson?.id ?? ANOTHER} onChange={(e) => setOf(e.target.value)}>
              {lesson.phrases.map((p) => (
                <option key={p.id} value={p.id}>
                  {titleOf(p)}
                </option>
              ))}
              <option value={ANOTHER}>another phrase of the library …</option>
            </select>
          </label>
        )}
        {what === 'text' || what === FORM || inLesson !== null ? null : (
          <label htmlFor={`${id}-other`}>
            <span>From the library</span>
            <PhraseSelect id={`${id}-other`} value={other} onChange={setOther} />
          </label>
        )}
        {what === FORM ? null : (
          <button type="button" className="strong" disabled={made === null} onClick={add}>
            Add it
          </button>
        )}
      </div>
      {made === null && phrase !== null && what !== FORM ? (
        <p className="quiet">This phrase has nothing for it.</p>
      ) : null}
    </section>
  );
}

const FORM = 'form';

/** A form, standard or one's own, in a key. */
function AddForm({ edits: { lesson, change } }: { readonly edits: LessonEdits }) {
  const forms = useForms();
  const [form, setForm] = useState<Form>(forms[0]!);
  const [tonic, setTonic] = useState<PitchClass>(
    lesson.phrases[0]?.key.tonic ?? { letter: 'C', alter: 0 },
  );
  const keys = twelveKeys({ tonic: { letter: 'C', alter: 0 }, mode: form.mode }).map(tonicOf);
  const names = keys.includes(tonicOf({ tonic })) ? keys : [tonicOf({ tonic }), ...keys];
  return (
    <>
      <Choice
        label="Form"
        value={form.id}
        values={forms.map((f) => f.id)}
        words={Object.fromEntries(forms.map((f) => [f.id, f.title]))}
        onChange={(id) => setForm(forms.find((f) => f.id === id) ?? form)}
      />
      <Choice
        label="Key"
        value={tonicOf({ tonic })}
        values={names}
        words={Object.fromEntries(names.map((n) => [n, typesetText(n)]))}
        onChange={(name) => setTonic(parseKey(name)?.tonic ?? tonic)}
      />
      <button
        type="button"
        className="strong"
        onClick={() =>
          change(addItem(lesson, { kind: 'form', id: freeItemId(lesson), form, tonic }))
        }
      >
        Add it
      </button>
    </>
  );
}

const tonicOf = ({ tonic }: { readonly tonic: PitchClass }) => formatKey({ tonic, mode: 'major' });

/** A text is about no phrase; its row does not look at one. */
const NO_PHRASE = {} as Phrase;

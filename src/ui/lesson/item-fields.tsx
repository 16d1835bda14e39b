import { useState } from 'react';
import { changeItem, withText } from '../../core/lesson/edit';
import { GAPS, type LessonItem } from '../../core/lesson/types';
import { readGoal } from '../../core/move/goal';
import { goalsOfList } from '../../core/practice/goals';
import type { Key } from '../../core/theory/key';
import { problemText } from '../shared/words';
import { TypedField } from './typed-field';
import type { LessonEdits } from './use-lesson';

interface Props {
  readonly edits: LessonEdits;
  readonly item: LessonItem;
  readonly name: string;
}

/** What of an item can be written and chosen. */
export function ItemFields({ edits, item, name }: Props) {
  const { lesson, change } = edits;
  const put = (next: LessonItem, field: string) =>
    change(
      changeItem(lesson, item.id, () => next),
      `${item.id} ${field}`,
    );
  // A new text is there to be written; it stays open while it is.
  const [open, setOpen] = useState(item.kind === 'text' && item.text === '');
  return (
    <details open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>
        Write and set <span className="unseen">{name}</span>
      </summary>
      <div className="lesson-fields">
        <label>
          <span>Heading</span>
          <input
            type="text"
            value={item.heading ?? ''}
            maxLength={500}
            onChange={(e) => put(withText(item, 'heading', e.target.value), 'heading')}
          />
        </label>
        {item.kind === 'text' ? (
          <label>
            <span>Text</span>
            <textarea
              rows={4}
              value={item.text}
              maxLength={20_000}
              onChange={(e) => put({ ...item, text: e.target.value }, 'text')}
            />
          </label>
        ) : null}
        <Own edits={edits} item={item} put={put} />
        <label>
          <span>What the student does</span>
          <textarea
            rows={2}
            value={item.todo ?? ''}
            maxLength={5_000}
            onChange={(e) => put(withText(item, 'todo', e.target.value), 'todo')}
          />
        </label>
      </div>
    </details>
  );
}

const CYCLES = {
  'I IV V': 'I IV V',
  fourths: 'every key, by fourths',
  semitones: 'every key, by semitones',
} as const;

type Put = (next: LessonItem, field: string) => void;
type ItemOf<K extends LessonItem['kind']> = Extract<LessonItem, { readonly kind: K }>;

/** What only items of its kind have. */
function Own(props: { readonly edits: LessonEdits; readonly item: LessonItem; readonly put: Put }) {
  const { edits, item, put } = props;
  const phrase =
    'phrase' in item ? edits.lesson.phrases.find((p) => p.id === item.phrase) : undefined;
  if (phrase === undefined) return null;
  switch (item.kind) {
    case 'pair':
      return (
        <TypedField
          label="Over the chord"
          value={item.move.text}
          read={(text) => {
            const to = readGoal({ ...item.move, text }, phrase.key);
            return to.ok ? null : problemText(to.problems[0]!);
          }}
          onChange={(text) => put({ ...item, move: { ...item.move, text } }, 'move')}
        />
      );
    case 'rounds':
      return <Rounds item={item} tonality={phrase.key} put={put} />;
    case 'gaps':
      return (
        <label>
          <span>Leave out every</span>
          <select
            value={item.every}
            onChange={(e) => put({ ...item, every: Number(e.target.value) }, 'every')}
          >
            {Array.from({ length: GAPS.most - GAPS.least + 1 }, (_, i) => i + GAPS.least).map(
              (n) => (
                <option key={n} value={n}>
                  {n}. note
                </option>
              ),
            )}
          </select>
        </label>
      );
    case 'degrees':
      return (
        <label>
          <span>Counted from</span>
          <select
            value={item.from}
            onChange={(e) =>
              put({ ...item, from: e.target.value === 'key' ? 'key' : 'chord' }, 'from')
            }
          >
            <option value="chord">the chord</option>
            <option value="key">the key</option>
          </select>
        </label>
      );
    case 'solo':
      return <Accompanied edits={edits} item={item} put={put} />;
    default:
      return null;
  }
}

/** Whether the comping of a solo is printed with it, where it has one; it can be taken out. */
function Accompanied(props: {
  readonly edits: LessonEdits;
  readonly item: ItemOf<'solo'>;
  readonly put: Put;
}) {
  const { edits, item, put } = props;
  const { comping, ...bare } = item;
  if (comping === undefined) return null;
  return (
    <>
      <label className="lesson-tick">
        <input
          type="checkbox"
          checked={comping.printed}
          onChange={(e) =>
            put({ ...item, comping: { ...comping, printed: e.target.checked } }, 'comping')
          }
        />{' '}
        <span>Print the comping on its lines</span>
      </label>
      <button
        type="button"
        onClick={() => edits.change(changeItem(edits.lesson, item.id, () => bare))}
      >
        Take the comping out
      </button>
    </>
  );
}

/** Through which chords or keys it goes. */
function Rounds(props: {
  readonly item: ItemOf<'rounds'>;
  readonly tonality: Key;
  readonly put: Put;
}) {
  const { item, tonality, put } = props;
  const { cycle } = item;
  const listed = cycle.kind === 'list' ? cycle.text : 'I IV V';
  return (
    <>
      <label>
        <span>Through</span>
        <select
          value={cycle.kind === 'list' ? 'I IV V' : cycle.kind}
          onChange={(e) => {
            const kind = e.target.value;
            const next =
              kind === 'fourths' || kind === 'semitones'
                ? { kind: kind as 'fourths' | 'semitones' }
                : { kind: 'list' as const, text: listed };
            put({ ...item, cycle: next }, 'cycle');
          }}
        >
          {Object.entries(CYCLES).map(([value, words]) => (
            <option key={value} value={value}>
              {value === 'I IV V' ? 'chords or keys' : words}
            </option>
          ))}
        </select>
      </label>
      {cycle.kind === 'list' ? (
        <TypedField
          label="Chords or keys"
          value={cycle.text}
          read={(text) => {
            const goals = goalsOfList(text, tonality);
            return goals.ok ? null : problemText(goals.problems[0]!);
          }}
          onChange={(text) => put({ ...item, cycle: { kind: 'list', text } }, 'list')}
        />
      ) : null}
    </>
  );
}

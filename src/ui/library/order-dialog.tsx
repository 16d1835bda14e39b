import { type ReactNode, useId, useMemo, useState, useSyncExternalStore } from 'react';
import { LONGEST_TAG, readTags, type Together } from '../../core/library/bulk';
import { foldText } from '../../core/library/fold';
import type { RecordMeta } from '../../core/phrase/record';
import type { Phrase } from '../../core/phrase/types';
import type { Kind } from '../../io/kinds/kind';
import { COLLECTIONS, LESSONS } from '../../io/kinds/kinds';
import { useApp } from '../frame/app-context';
import { today } from '../frame/around-library';
import { type OrderWish, orderTogether } from '../frame/order-together';
import { usePhrasesOf } from '../frame/phrases-of';
import { plainLine } from '../shared/plain-text';
import { useModal } from '../shared/use-modal';
import { count, levelName } from '../shared/words';
import './order.css';

interface Props {
  /** The chosen phrases. */
  readonly ids: readonly string[];
  readonly onClose: () => void;
}

const LEVELS = [1, 2, 3, 4, 5] as const;

/** What was filled in; empty is left as it is. */
interface Filled {
  /** Id of a collection, or `NEW`. */
  readonly into: string;
  readonly title: string;
  /** Id of a lesson; empty for none. */
  readonly lesson: string;
  readonly add: string;
  readonly gone: ReadonlySet<string>;
  readonly level: string;
  readonly style: string;
  readonly day: string;
}

const EMPTY: Filled = {
  into: '',
  title: '',
  lesson: '',
  add: '',
  gone: new Set(),
  level: '',
  style: '',
  day: '',
};

function wishOf(f: Filled): OrderWish {
  const change: Together = {
    addTags: readTags(f.add),
    removeTags: [...f.gone],
    ...(f.level === '' ? {} : { level: LEVELS.find((l) => String(l) === f.level) ?? null }),
    ...(f.style === '' ? {} : { styleOf: f.style }),
  };
  const fresh = { title: f.title.trim() };
  const into = f.into === '' ? null : f.into === NEW ? fresh : { id: f.into };
  return {
    into,
    lesson: f.lesson === '' ? null : f.lesson,
    change,
    usedOn: f.day === '' ? null : f.day,
  };
}

/** Puts chosen phrases into a collection or a lesson, tags them, says their level and when they were used. */
export function OrderDialog({ ids, onClose }: Props) {
  const app = useApp();
  const { end, props } = useModal(onClose);
  const id = useId();
  const [filled, setFilled] = useState(EMPTY);
  const set = (part: Partial<Filled>) => setFilled((before) => ({ ...before, ...part }));
  return (
    <dialog {...props} className="order-dialog" aria-labelledby={`${id}-title`}>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          end();
          void orderTogether(app, ids, wishOf(filled));
        }}
      >
        <h2 id={`${id}-title`}>Put {count(ids.length, 'phrase')} in order</h2>
        <p className="quiet">What you leave empty stays as it is. One undo takes all of it back.</p>
        <CollectionField filled={filled} set={set} />
        <LessonField filled={filled} set={set} />
        <TagFields ids={ids} filled={filled} set={set} />
        <OtherFields filled={filled} set={set} />
        <p className="buttons">
          <button
            type="submit"
            className="primary"
            disabled={filled.into === NEW && filled.title.trim() === ''}
          >
            Do it
          </button>
          <button type="button" onClick={end}>
            Close
          </button>
        </p>
      </form>
    </dialog>
  );
}

interface Part {
  readonly filled: Filled;
  readonly set: (part: Partial<Filled>) => void;
}

function CollectionField({ filled: { into, title }, set }: Part) {
  const collections = useNewest(COLLECTIONS);
  return (
    <>
      <Field label="Put into the collection">
        <select value={into} onChange={(e) => set({ into: e.target.value })}>
          <option value="">none</option>
          <option value={NEW}>a new one …</option>
          {collections.map((c) => (
            <option key={c.id} value={c.id}>
              {c.meta.title.trim() === '' ? 'Untitled' : c.meta.title}
            </option>
          ))}
        </select>
      </Field>
      {into === NEW && (
        <Field label="Its title">
          <input
            type="text"
            value={title}
            maxLength={500}
            onChange={(e) => set({ title: plainLine(e.target.value) })}
          />
        </Field>
      )}
    </>
  );
}

/** A lesson that is there; to make a new one there is a button of its own. */
function LessonField({ filled: { lesson }, set }: Part) {
  const lessons = useNewest(LESSONS);
  if (lessons.length === 0) return null;
  return (
    <Field label="Put into the lesson">
      <select value={lesson} onChange={(e) => set({ lesson: e.target.value })}>
        <option value="">none</option>
        {lessons.map((l) => (
          <option key={l.id} value={l.id}>
            {l.meta.title.trim() === '' ? 'Untitled' : l.meta.title}
          </option>
        ))}
      </select>
    </Field>
  );
}

function TagFields({ ids, filled: { add, gone }, set }: Part & Pick<Props, 'ids'>) {
  const { phrases } = usePhrasesOf(ids);
  const tags = useMemo(() => tagsOf(phrases ?? []), [phrases]);
  const toggle = (tag: string, on: boolean) => {
    const next = new Set(gone);
    if (on) next.add(tag);
    else next.delete(tag);
    set({ gone: next });
  };
  return (
    <>
      <Field label="Add tags, parted by commas">
        <input
          type="text"
          value={add}
          maxLength={20 * LONGEST_TAG}
          onChange={(e) => set({ add: plainLine(e.target.value) })}
        />
      </Field>
      {tags.length > 0 && (
        <fieldset className="toggles">
          <legend>Take tags away</legend>
          {tags.map(({ tag, many }) => (
            <label key={tag} className="toggle">
              <input
                type="checkbox"
                checked={gone.has(tag)}
                onChange={(e) => toggle(tag, e.target.checked)}
              />
              <span>
                {tag} {many}
              </span>
            </label>
          ))}
        </fieldset>
      )}
    </>
  );
}

function OtherFields({ filled: { level, style, day }, set }: Part) {
  return (
    <>
      <Field label="Level">
        <select value={level} onChange={(e) => set({ level: e.target.value })}>
          <option value="">as it is</option>
          {LEVELS.map((l) => (
            <option key={l} value={l}>
              {levelName(l)}
            </option>
          ))}
          <option value="none">none</option>
        </select>
      </Field>
      <Field label="In the style of">
        <input
          type="text"
          value={style}
          placeholder="as it is"
          maxLength={1_000}
          onChange={(e) => set({ style: plainLine(e.target.value) })}
        />
      </Field>
      <div className="order-day">
        <Field label="Used on">
          <input
            type="date"
            value={day}
            max={today()}
            onChange={(e) => set({ day: e.target.value })}
          />
        </Field>
        <button type="button" onClick={() => set({ day: today() })}>
          Today
        </button>
      </div>
    </>
  );
}

/** Stands for a collection that is yet to be made; no id has a space. */
const NEW = 'a new one';

function Field({ label, children }: { readonly label: string; readonly children: ReactNode }) {
  return (
    // biome-ignore lint/a11y/noLabelWithoutControl: the control is handed in.
    <label className="order-field">
      <span>{label}</span>
      {children}
    </label>
  );
}

/** The tags of some phrases, the most used first. */
function tagsOf(
  phrases: readonly Phrase[],
): readonly { readonly tag: string; readonly many: number }[] {
  const all = new Map<string, { tag: string; many: number }>();
  for (const { meta } of phrases) {
    for (const tag of meta.tags) {
      const known = all.get(foldText(tag)) ?? { tag, many: 0 };
      known.many++;
      all.set(foldText(tag), known);
    }
  }
  return [...all.values()].sort((a, b) => b.many - a.many || a.tag.localeCompare(b.tag));
}

/** Every record of a kind as it is now, the one changed last first. */
function useNewest<T extends { readonly meta: RecordMeta }>(kind: Kind<T>): readonly T[] {
  const { store } = useApp();
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.of(kind).all(),
  );
  return useMemo(
    () => stored.map((s) => s.value).sort((a, b) => b.meta.modified.localeCompare(a.meta.modified)),
    [stored],
  );
}

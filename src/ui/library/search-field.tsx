import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import type { LibraryChoices } from '../../core/library/choices';
import { foldText } from '../../core/library/fold';
import type { SavedSearch } from '../../core/library/saved-search';
import type { Problem } from '../../core/result';
import type { Completion } from '../../core/search/query/complete';
import type { Instead } from '../../core/search/query/correct';
import { navigate } from '../frame/use-route';
import { onDemand } from '../shared/on-demand';
import type { Query } from '../shared/query';
import { useSettled } from '../shared/use-settled';
import { capital, count } from '../shared/words';
import './search.css';

/** What completes is fetched when somebody begins to type. */
const completing = onDemand('What completes', () => import('../../core/search/query/complete'));

/** Milliseconds without a key before something half typed is called wrong. */
const PATIENCE = 700;

interface Props {
  readonly text: string;
  readonly choices: LibraryChoices;
  readonly problem: Problem | null;
  readonly saved: readonly SavedSearch[];
  readonly instead: readonly Instead[];
  readonly onChange: (text: string) => void;
  /** Somebody is about to type. */
  readonly onBegin: () => void;
}

/** What can be taken: the completion of a word, or a question that was kept. */
type Offer = Completion & { readonly saved?: SavedSearch };

/** So many saved questions are offered at once. */
const MOST_SAVED = 6;

/** Saved questions whose titles have what is typed; all where nothing is. */
function savedOffers(typed: string, saved: readonly SavedSearch[]): readonly Offer[] {
  const folded = foldText(typed);
  return saved
    .filter((s) => s.meta.title.trim() !== '' && foldText(s.meta.title).includes(folded))
    .slice(0, MOST_SAVED)
    .map((s) => ({
      from: 0,
      to: typed.length,
      text: s.meta.title,
      meaning: 'saved question',
      saved: s,
    }));
}

/** What can stand where one types, which of it Enter takes, and what becomes of the text then. */
function useOffers(props: Pick<Props, 'text' | 'choices' | 'saved' | 'onChange'>) {
  const { text, choices, saved, onChange } = props;
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [offers, setOffers] = useState<readonly Offer[]>([]);
  /** Place of the offer that Enter takes; −1: none. */
  const [at, setAt] = useState(-1);
  const close = () => {
    setOffers([]);
    setAt(-1);
  };
  const offer = async (typed: string, caret: number, always: boolean) => {
    const complete = await completing.get().catch(() => null);
    // Something else may have been typed in the meantime.
    if (complete === null || field.current?.value !== typed) return;
    const word = /[^\s,()]*$/u.exec(typed.slice(0, caret))![0];
    const wanted = always || word !== '';
    const words = wanted ? complete.completeQuery(typed, caret, choices) : [];
    setOffers(wanted ? [...savedOffers(typed, saved), ...words] : []);
    setAt(-1);
  };
  const takeOffer = (o: Offer) => {
    close();
    if (o.saved !== undefined) {
      // What is not asked is not there.
      navigate({ page: 'library', query: o.saved.asked as Query });
      return;
    }
    const more = o.text.endsWith(':') ? '' : ' ';
    const after = text.slice(o.to).replace(/^ /u, '');
    const next = `${text.slice(0, o.from)}${o.text}${more}${after}`;
    const caret = o.from + o.text.length + more.length;
    onChange(next);
    requestAnimationFrame(() => {
      field.current?.focus();
      field.current?.setSelectionRange(caret, caret);
      if (more === '') void offer(next, caret, true);
    });
  };
  useEffect(() => {
    if (at >= 0) document.getElementById(`${id}-${at}`)?.scrollIntoView({ block: 'nearest' });
  }, [at, id]);
  const open = offers.length > 0;
  const active = offers[at];
  const onKeyDown = (e: KeyboardEvent<HTMLInputElement>) => {
    const step = e.key === 'ArrowDown' ? 1 : e.key === 'ArrowUp' ? -1 : 0;
    if (step !== 0) {
      e.preventDefault();
      if (!open) void offer(text, e.currentTarget.selectionStart ?? text.length, true);
      // One more place than offers: the text itself.
      else setAt(((at + 1 + step + offers.length + 1) % (offers.length + 1)) - 1);
    } else if (e.key === 'Enter' && active !== undefined) {
      e.preventDefault();
      takeOffer(active);
    } else if (e.key === 'Escape' && open) {
      e.preventDefault();
      close();
    }
  };
  return { id, field, offers, at, active, close, offer, takeOffer, onKeyDown };
}

/** The field that finds: words and music in one text, completed as one types. */
export function SearchField(props: Props) {
  const { text, problem, instead, onChange, onBegin } = props;
  const { id, field, offers, at, active, close, offer, takeOffer, onKeyDown } = useOffers(props);
  const open = offers.length > 0;
  const settled = useSettled(problem, PATIENCE);
  // What was wrong with the text before is not shown under this one.
  const wrong = problem === settled ? problem : null;
  return (
    <div className="search-field">
      <label className="filter-find">
        <span>Find</span>
        <input
          ref={field}
          id="find"
          type="search"
          role="combobox"
          aria-expanded={open}
          aria-controls={open ? `${id}-list` : undefined}
          aria-autocomplete="list"
          aria-activedescendant={active === undefined ? undefined : `${id}-${at}`}
          aria-invalid={wrong === null ? undefined : true}
          aria-describedby={wrong === null ? undefined : `${id}-wrong`}
          value={text}
          placeholder="a title, 5 6 b7 over IV, with:slide …"
          autoComplete="off"
          autoCapitalize="off"
          spellCheck={false}
          onFocus={() => {
            onBegin();
            void completing.get().catch(() => null);
          }}
          onBlur={close}
          onChange={(e) => {
            const { value, selectionStart } = e.target;
            onChange(value);
            void offer(value, selectionStart ?? value.length, false);
          }}
          onKeyDown={onKeyDown}
        />
      </label>
      {open && <Offers id={id} offers={offers} at={at} onTake={takeOffer} />}
      <p className="unseen" role="status">
        {open ? `${count(offers.length, 'thing')} can stand here; arrow keys choose` : ''}
      </p>
      {wrong !== null && <Wrong id={`${id}-wrong`} text={text} problem={wrong} />}
      {wrong === null &&
        instead.map((i) => (
          <p key={i.typed} className="quiet" role="status">
            No phrase says ‘{i.typed}’{i.alone ? '' : ' and the rest'}. Shown is what says{' '}
            {i.words.map((w) => `‘${w}’`).join(' or ')}.
          </p>
        ))}
    </div>
  );
}

/** What can stand where one types; the field keeps the focus and has the keys. */
function Offers(props: {
  readonly id: string;
  readonly offers: readonly Offer[];
  /** The one that Enter takes. */
  readonly at: number;
  readonly onTake: (o: Offer) => void;
}) {
  const { id, offers, at, onTake } = props;
  return (
    <div className="find-offers" id={`${id}-list`} role="listbox" aria-label="What can stand here">
      {offers.map((o, i) => (
        // biome-ignore lint/a11y/useKeyWithClickEvents: the combobox above has the keys.
        // biome-ignore lint/a11y/useFocusableInteractive: focus stays in the combobox.
        <div
          key={o.saved?.id ?? o.text}
          id={`${id}-${i}`}
          role="option"
          aria-selected={i === at}
          className="offer"
          // The field keeps the focus.
          onMouseDown={(e) => e.preventDefault()}
          onClick={() => onTake(o)}
        >
          {o.saved === undefined ? <code>{o.text}</code> : <b>{o.text}</b>}{' '}
          <small>{o.meaning}</small>
        </div>
      ))}
    </div>
  );
}

/** What is wrong with the text, under the place where it is. */
function Wrong(props: { readonly id: string; readonly text: string; readonly problem: Problem }) {
  const { id, text, problem } = props;
  return (
    <div className="search-wrong">
      {problem.column !== undefined && (
        <div className="search-place" aria-hidden="true">
          <span>{text.slice(0, problem.column - 1)}</span>▲
        </div>
      )}
      <p id={id} role="status">
        {problem.column === undefined ? '' : `At character ${problem.column}: `}
        {problem.column === undefined ? capital(problem.message) : problem.message}.
        {problem.fix === undefined ? '' : ` ${problem.fix}`}
      </p>
    </div>
  );
}

import { useEffect, useId, useRef, useState } from 'react';
import type { LibraryChoices } from '../../core/library/choices';
import type { Problem } from '../../core/result';
import type { Completion } from '../../core/search/query/complete';
import type { Instead } from '../../core/search/query/correct';
import { onDemand } from '../shared/on-demand';
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
  readonly instead: readonly Instead[];
  readonly onChange: (text: string) => void;
  /** Somebody is about to type. */
  readonly onBegin: () => void;
}

/** The field that finds: words and music in one text, completed as one types. */
export function SearchField({ text, choices, problem, instead, onChange, onBegin }: Props) {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [offers, setOffers] = useState<readonly Completion[]>([]);
  /** Place of the offer that Enter takes; −1: none. */
  const [at, setAt] = useState(-1);
  const open = offers.length > 0;
  const close = () => {
    setOffers([]);
    setAt(-1);
  };
  const offer = async (typed: string, caret: number, always: boolean) => {
    const complete = await completing.get().catch(() => null);
    // Something else may have been typed in the meantime.
    if (complete === null || field.current?.value !== typed) return;
    const word = /[^\s,()]*$/u.exec(typed.slice(0, caret))![0];
    setOffers(always || word !== '' ? complete.completeQuery(typed, caret, choices) : []);
    setAt(-1);
  };
  const takeOffer = (o: Completion) => {
    const more = o.text.endsWith(':') ? '' : ' ';
    const after = text.slice(o.to).replace(/^ /u, '');
    const next = `${text.slice(0, o.from)}${o.text}${more}${after}`;
    const caret = o.from + o.text.length + more.length;
    onChange(next);
    close();
    requestAnimationFrame(() => {
      field.current?.focus();
      field.current?.setSelectionRange(caret, caret);
      if (more === '') void offer(next, caret, true);
    });
  };
  const active = offers[at];
  useEffect(() => {
    if (at >= 0) document.getElementById(`${id}-${at}`)?.scrollIntoView({ block: 'nearest' });
  }, [at, id]);
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
          onKeyDown={(e) => {
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
          }}
        />
      </label>
      {open && (
        <div
          className="find-offers"
          id={`${id}-list`}
          role="listbox"
          aria-label="What can stand here"
        >
          {offers.map((o, i) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: the combobox above has the keys.
            // biome-ignore lint/a11y/useFocusableInteractive: focus stays in the combobox.
            <div
              key={o.text}
              id={`${id}-${i}`}
              role="option"
              aria-selected={i === at}
              className="offer"
              // The field keeps the focus.
              onMouseDown={(e) => e.preventDefault()}
              onClick={() => takeOffer(o)}
            >
              <code>{o.text}</code> <small>{o.meaning}</small>
            </div>
          ))}
        </div>
      )}
      <p className="unseen" role="status">
        {open ? `${count(offers.length, 'thing')} can stand here; arrow keys choose` : ''}
      </p>
      {wrong !== null && (
        <div className="search-wrong">
          {wrong.column !== undefined && (
            <div className="search-place" aria-hidden="true">
              <span>{text.slice(0, wrong.column - 1)}</span>▲
            </div>
          )}
          <p id={`${id}-wrong`} role="status">
            {wrong.column === undefined ? '' : `At character ${wrong.column}: `}
            {wrong.column === undefined ? capital(wrong.message) : wrong.message}.
            {wrong.fix === undefined ? '' : ` ${wrong.fix}`}
          </p>
        </div>
      )}
      {wrong === null &&
        instead.map((i) => (
          <p key={i.typed} className="quiet" role="status">
            No phrase says ‘{i.typed}’. Shown is what says{' '}
            {i.words.map((w) => `‘${w}’`).join(' or ')}.
          </p>
        ))}
    </div>
  );
}

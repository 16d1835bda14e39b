import { useCallback, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { PHRASES } from '../../io/kinds/kinds';
import type { RemovedThing } from '../../storage/types';
import { useActions, useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { restoreThings } from '../frame/keep-and-remove';
import { OpeningPage } from '../frame/opening-library';
import { addressOf } from '../frame/route';
import { ScoreView } from '../score/score-view';
import { chooseAll, count, dayName } from '../shared/words';
import { EmptyDialog } from './empty-dialog';
import { nameOf, type Read, useRemoved } from './use-removed';
import '../shared/pages.css';
import './removed.css';

const DAY = 24 * 60 * 60 * 1000;
/** Days for which what was removed is kept at least. */
const KEPT = 30;
/** So many rows are read and shown before more are asked for. */
const ROWS = 60;

/** `#/removed`: what was removed, to be looked at, brought back or deleted for good. */
export function RemovedPage() {
  usePageTitle('Removed');
  const { state } = useLibrary();
  const [rows, setRows] = useState(ROWS);
  const { all, read } = useRemoved(rows);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const here = useMemo(() => all.filter((t) => chosen.has(nameOf(t))), [all, chosen]);
  const choose = useCallback((name: string, on: boolean) => {
    setChosen((before) => {
      const next = new Set(before);
      if (on) next.add(name);
      else next.delete(name);
      return next;
    });
  }, []);
  if (state === 'opening') return <OpeningPage />;
  return (
    <article className="page">
      <p className="way-back">
        <a href={addressOf({ page: 'library', query: {} })}>Library</a>
      </p>
      <header>
        <h1>Removed</h1>
        <p>
          What you remove is kept here for {KEPT} days, and can be brought back as it was. After
          that it goes for good, some days later.
        </p>
      </header>
      {all.length === 0 ? (
        <p>Nothing is here.</p>
      ) : (
        <>
          <Bar
            all={all}
            chosen={here}
            chooseEach={() => setChosen(new Set(all.map(nameOf)))}
            onDone={() => setChosen(new Set())}
          />
          <ul className="removed-list">
            {all.slice(0, rows).map((t) => (
              <Row
                key={nameOf(t)}
                thing={t}
                read={read.get(nameOf(t))}
                chosen={chosen.has(nameOf(t))}
                onChoose={choose}
              />
            ))}
          </ul>
          {all.length > rows && (
            <button type="button" onClick={() => setRows(rows + ROWS)}>
              Show more: {rows} of {all.length}
            </button>
          )}
        </>
      )}
    </article>
  );
}

interface BarProps {
  readonly all: readonly RemovedThing[];
  readonly chosen: readonly RemovedThing[];
  readonly chooseEach: () => void;
  readonly onDone: () => void;
}

/** What can be done with what is chosen, and with all of it. */
function Bar({ all, chosen, chooseEach, onDone }: BarProps) {
  const app = useApp();
  const [asking, setAsking] = useState<readonly RemovedThing[]>([]);
  const actions = useMemo(
    () => [
      {
        id: 'removed.restore',
        title: 'Bring the chosen back',
        group: 'Removed',
        words: 'restore undo',
        ...(chosen.length === 0 ? { blocked: 'Choose something first.' } : {}),
        run: () => {
          onDone();
          void restoreThings(app, chosen);
        },
      },
      {
        id: 'removed.empty',
        title: 'Delete all of it for good',
        group: 'Removed',
        words: 'empty trash bin purge',
        run: () => setAsking(all),
      },
    ],
    [app, all, chosen, onDone],
  );
  useActions(actions);
  return (
    <>
      <p className="buttons">
        <button type="button" onClick={chooseEach}>
          {chooseAll(all.length, 'removed')}
        </button>
        <button
          type="button"
          className="primary"
          disabled={chosen.length === 0}
          onClick={() => actions[0]?.run()}
        >
          Bring {chosen.length === 0 ? 'the chosen' : chosen.length} back
        </button>
        <button type="button" disabled={chosen.length === 0} onClick={() => setAsking(chosen)}>
          Delete for good …
        </button>
        <button type="button" onClick={() => setAsking(all)}>
          Delete all of it …
        </button>
      </p>
      <p role="status" className="quiet">
        {chosen.length === 0 ? `${all.length} removed` : `${chosen.length} of ${all.length} chosen`}
      </p>
      {asking.length > 0 && (
        <EmptyDialog
          things={asking}
          onClose={() => {
            setAsking([]);
            onDone();
          }}
        />
      )}
    </>
  );
}

interface RowProps {
  readonly thing: RemovedThing;
  /** Undefined while it is being read. */
  readonly read: Read | undefined;
  readonly chosen: boolean;
  readonly onChoose: (name: string, on: boolean) => void;
}

function Row({ thing, read, chosen, onChoose }: RowProps) {
  const app = useApp();
  const [open, setOpen] = useState(false);
  const title = titleIn(thing, read);
  const phrase =
    thing.kind.name === PHRASES.name && read !== undefined && read !== null
      ? (read.value as Phrase)
      : null;
  return (
    <li>
      <div className="removed-row">
        <label>
          <input
            type="checkbox"
            checked={chosen}
            onChange={(e) => onChoose(nameOf(thing), e.target.checked)}
          />
          <span>
            {title} <span className="quiet">{thing.kind.noun}</span>
          </span>
        </label>
        <span className="quiet">{whenWords(thing.removed)}</span>
        <span className="removed-tools">
          {phrase !== null && (
            <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
              {open ? 'Close' : 'See'} <span className="unseen">{title}</span>
            </button>
          )}
          <button type="button" onClick={() => void restoreThings(app, [thing])}>
            Bring back <span className="unseen">{title}</span>
          </button>
        </span>
      </div>
      {open && phrase !== null && <ScoreView phrase={phrase} label={`Notes of ${title}`} />}
    </li>
  );
}

function titleIn(thing: RemovedThing, read: Read | undefined): string {
  if (read === undefined) return '…';
  if (read === null) return 'Cannot be read';
  const { title } = thing.kind.identityOf(read.value);
  return title.trim() === '' ? 'Untitled' : title;
}

/** When it was removed, and how long it is kept. */
function whenWords(removed: number): string {
  const left = Math.ceil((removed + KEPT * DAY - Date.now()) / DAY);
  const kept = left > 0 ? `kept ${count(left, 'more day', 'more days')}` : 'goes soon';
  return `removed on ${dayName(new Date(removed).toISOString().slice(0, 10))}, ${kept}`;
}

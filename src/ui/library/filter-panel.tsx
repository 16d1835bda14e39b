import { type ComponentProps, useId, useState } from 'react';
import type { LibraryChoices } from '../../core/library/choices';
import { isNoFilter, type LibraryFilter, NO_FILTER } from '../../core/library/filter';
import { foldText } from '../../core/library/fold';
import { LIBRARY_ORDERS, type LibraryOrder } from '../../core/library/sort';
import type { QueryOrder } from '../../core/search/query/types';
import { degreeSign, formatDegree, sameDegree } from '../../core/theory/degree';
import { formatKey, parseKey } from '../../core/theory/key';
import type { Search } from '../frame/search/use-search';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { areChosen, chooseAll, keyName } from '../shared/words';
import { KeepQuestion, KeptPlaces, useKept } from './kept-questions';
import { inOrder, type LibraryView, writeView } from './library-query';
import { ORDER_WORDS } from './order-words';
import { SearchField } from './search-field';
import { SearchHelp } from './search-help';

/** So many tags are shown before the rest is asked for. */
const FIRST_TAGS = 16;

const NONE: readonly never[] = [];

interface Props {
  readonly view: LibraryView;
  /** The order where none is chosen and no words are asked for. */
  readonly usual: LibraryOrder;
  readonly choices: LibraryChoices;
  readonly search: Search;
  readonly onChange: (view: LibraryView) => void;
  /** Whether phrases are shown as lines. */
  readonly lines: boolean;
  readonly onLines: (lines: boolean) => void;
  /** How many phrases are found; 0 while they are looked for. */
  readonly many: number;
  /** All of them are chosen. */
  readonly allChosen: boolean;
  readonly onChooseAll: () => void;
  /** Somebody is about to type into the field that finds. */
  readonly onBegin: () => void;
}

const PlayToFind = partOnDemand(
  onDemand('What finds by playing', () => import('./play-to-find').then((m) => m.PlayToFind)),
);

/** A neck and a line of text to play on; fetched when it is opened. */
function ByPlaying(props: ComponentProps<typeof PlayToFind>) {
  const [open, setOpen] = useState(false);
  return (
    <details onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>Find by playing a few notes</summary>
      {open && <PlayToFind {...props} />}
    </details>
  );
}

/** What is looked for, and in what order. */
export function FilterPanel(props: Props) {
  const { view, choices, search, onChange, onBegin } = props;
  const { many, allChosen, onChooseAll } = props;
  const { filter } = view;
  const set = (part: Partial<LibraryFilter>) =>
    onChange({ ...view, filter: { ...filter, ...part } });
  const narrowed = !isNoFilter({ ...filter, words: '' });
  // What it is to be like is not among the fields beneath.
  const byFields = !isNoFilter({ ...filter, words: '', like: '' });
  const kept = useKept();
  const asked = writeView(view);
  return (
    <search className="filter">
      <div className="filter-row">
        <SearchField
          text={filter.words}
          choices={choices}
          saved={kept.saved}
          problem={search.problem}
          instead={search.answer?.instead ?? NONE}
          onChange={(words) => set({ words })}
          onBegin={onBegin}
        />
        <OrderAndLook {...props} />
      </div>
      {search.unkept && (
        <p className="quiet" role="status">
          The device has little room left: what finds phrases is read anew at each start.
        </p>
      )}
      <KeepQuestion asked={asked} saved={kept.saved} />
      <KeptPlaces kept={kept} asked={asked} />
      <div className="filter-ways">
        <ByPlaying question={filter.words} onAsk={(words) => set({ words })} />
        <SearchHelp onTry={(words) => set({ words })} />
        <details open={byFields || undefined}>
          <summary>Narrow down by key, chord, level, degrees or tags</summary>
          <Narrow filter={filter} choices={choices} set={set} />
        </details>
      </div>
      {many > 0 && (!isNoFilter(filter) || filter.like !== '') && (
        <ChooseFound many={many} allChosen={allChosen} onChooseAll={onChooseAll} />
      )}
      {narrowed && (
        <button type="button" onClick={() => onChange({ ...view, filter: NO_FILTER })}>
          Show all again
        </button>
      )}
    </search>
  );
}

/** Stands for the order that the text names. */
const NAMED = 'named';

function namedWords({ by, reversed }: QueryOrder): string {
  return `${ORDER_WORDS[by]}${reversed ? ', the other way round' : ''}, as the question says`;
}

/** In what order, and as what. */
function OrderAndLook({ view, usual, search, onChange, lines, onLines }: Props) {
  // What the words of a question say most of comes first until somebody chooses otherwise.
  const own: LibraryOrder = search.answer?.bestFirst ? 'match' : usual;
  // One that stands in the text goes before what is chosen here.
  const named = search.answer?.named ?? null;
  const order = view.order ?? own;
  const orders = LIBRARY_ORDERS.filter((o) => o !== 'match' || own === o);
  return (
    <>
      <label>
        <span>Order</span>
        <select
          value={named === null ? order : NAMED}
          onChange={(e) => {
            const chosen = orders.find((o) => o === e.target.value) ?? own;
            const next = inOrder(view, chosen);
            onChange(named === null && chosen === own ? { ...next, order: null } : next);
          }}
        >
          {named !== null && <option value={NAMED}>{namedWords(named)}</option>}
          {orders.map((o) => (
            <option key={o} value={o}>
              {ORDER_WORDS[o]}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Show as</span>
        <select
          value={lines ? 'lines' : 'cards'}
          onChange={(e) => onLines(e.target.value === 'lines')}
        >
          <option value="cards">cards with music</option>
          <option value="lines">lines</option>
        </select>
      </label>
    </>
  );
}

/** It stays when it has done its work, so that who presses it by a key keeps the place. */
function ChooseFound(props: Pick<Props, 'many' | 'allChosen' | 'onChooseAll'>) {
  const { many, allChosen, onChooseAll } = props;
  return (
    <button
      type="button"
      aria-disabled={allChosen}
      onClick={() => {
        if (!allChosen) onChooseAll();
      }}
    >
      {allChosen ? areChosen(many, 'found') : chooseAll(many, 'found')}
    </button>
  );
}

function Narrow({
  filter,
  choices,
  set,
}: {
  readonly filter: LibraryFilter;
  readonly choices: LibraryChoices;
  readonly set: (part: Partial<LibraryFilter>) => void;
}) {
  const id = useId();
  return (
    <div className="narrow">
      <div className="filter-row">
        <label>
          <span>Key</span>
          <select
            value={filter.key === null ? '' : formatKey(filter.key)}
            onChange={(e) => set({ key: parseKey(e.target.value) })}
          >
            <option value="">any</option>
            {choices.keys.map((k) => (
              <option key={formatKey(k)} value={formatKey(k)}>
                {keyName(k)}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>With the chord</span>
          <input
            type="text"
            list={`${id}-chords`}
            value={filter.chord}
            placeholder="any"
            autoComplete="off"
            autoCapitalize="off"
            spellCheck={false}
            onChange={(e) => set({ chord: e.target.value })}
          />
        </label>
        <datalist id={`${id}-chords`}>
          {choices.chords.map((c) => (
            <option key={c} value={c} />
          ))}
        </datalist>
      </div>
      <Toggles
        legend="Degrees it must have"
        items={choices.degrees.map((d) => ({
          key: formatDegree(d),
          label: degreeSign(d),
          on: filter.degrees.some((x) => sameDegree(x, d)),
          toggle: () => set({ degrees: toggled(filter.degrees, d, sameDegree) }),
        }))}
      />
      <Toggles
        legend="Level"
        items={choices.levels.map((l) => ({
          key: String(l),
          label: String(l),
          on: filter.levels.includes(l),
          toggle: () => set({ levels: toggled(filter.levels, l, Object.is) }),
        }))}
      />
      <TagToggles filter={filter} choices={choices} set={set} />
    </div>
  );
}

function TagToggles({ filter, choices, set }: Parameters<typeof Narrow>[0]) {
  const sameTag = (a: string, b: string) => foldText(a) === foldText(b);
  const items = choices.tags.map(({ tag, count }) => ({
    key: tag,
    label: `${tag} ${count}`,
    on: filter.tags.some((t) => sameTag(t, tag)),
    toggle: () => set({ tags: toggled(filter.tags, tag, sameTag) }),
  }));
  const rest = items.slice(FIRST_TAGS);
  return (
    <>
      <Toggles legend="Tags it must have" items={items.slice(0, FIRST_TAGS)} />
      {rest.length > 0 && (
        <details open={rest.some((t) => t.on) || undefined}>
          <summary>{rest.length} more tags</summary>
          <Toggles legend="More tags" items={rest} />
        </details>
      )}
    </>
  );
}

interface Toggle {
  readonly key: string;
  readonly label: string;
  readonly on: boolean;
  readonly toggle: () => void;
}

function Toggles({
  legend,
  items,
}: {
  readonly legend: string;
  readonly items: readonly Toggle[];
}) {
  if (items.length === 0) return null;
  return (
    <fieldset className="toggles">
      <legend>{legend}</legend>
      {items.map((t) => (
        <label key={t.key} className="toggle">
          <input type="checkbox" checked={t.on} onChange={t.toggle} />
          <span>{t.label}</span>
        </label>
      ))}
    </fieldset>
  );
}

/** The list without `item` if it is there, else with it. */
function toggled<T>(list: readonly T[], item: T, same: (a: T, b: T) => boolean): readonly T[] {
  const rest = list.filter((x) => !same(x, item));
  return rest.length === list.length ? [...list, item] : rest;
}

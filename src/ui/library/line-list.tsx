import { type KeyboardEvent, memo, useEffect, useState } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import { degreeSign } from '../../core/theory/degree';
import type { PhraseEntry } from '../../storage/types';
import { addressOf } from '../frame/route';
import { onDemand } from '../shared/on-demand';
import { chordName, keyName, levelName } from '../shared/words';
import type { FoundPhrases } from './found-phrases';
import { LongList } from './long-list';
import type { Entries } from './phrase-list';
import { useNear } from './use-near';
import './lines.css';

/** Lines that come and go together: few enough to be laid out within a frame. */
const BLOCK = 20;
/** Height of a line in px until one has been seen. */
const LINE = 45;
/** More chords than this are told as a number. */
const MOST_CHORDS = 6;

/** Where the notes stand that were looked for; comes with the first search. */
const lineWhy = onDemand('What tells where notes stand', () =>
  import('./line-why').then((m) => m.LineWhy),
);

/**
 * What tells where the notes stand; null until it has come: the degrees stand there meanwhile. What did not come is
 * asked for with the next question, and not told in every line.
 */
function useLineWhy(asked: string | null) {
  const [why, setWhy] = useState(lineWhy.known);
  useEffect(() => {
    if (asked === null || why !== null) return;
    let shown = true;
    lineWhy.get().then(
      (is) => {
        if (shown) setWhy(() => is);
      },
      () => undefined,
    );
    return () => {
      shown = false;
    };
  }, [asked, why]);
  return why;
}

type Why = ReturnType<typeof useLineWhy>;

interface Props {
  readonly found: FoundPhrases;
  readonly byId: Entries;
  readonly chosen: ReadonlySet<string>;
  /** The query they were found by; null where none was asked. */
  readonly asked: string | null;
  readonly onChoose: (id: string, chosen: boolean) => void;
}

/**
 * The phrases that were found, one in a line: what they are called, their key, level, degrees and
 * chords. Up and down go from line to line, Home and End to the ends of what is in sight.
 */
export function LineList({ found, ...rest }: Props) {
  const why = useLineWhy(rest.asked);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the links and boxes in it have the focus.
    <div className="phrase-lines" onKeyDown={goOn}>
      <div className="phrase-lines-head" aria-hidden="true">
        <span />
        <span>Title</span>
        <span>Key</span>
        <span>Level</span>
        <span>Degrees</span>
        <span>Chords</span>
      </div>
      <LongList
        found={found}
        size={BLOCK}
        room={(lines) => lines * LINE}
        block={(facts, first) => (
          <Block key={first} {...rest} first={first} all={found.length} facts={facts} why={why} />
        )}
      />
    </div>
  );
}

interface BlockProps extends Omit<Props, 'found'> {
  readonly facts: readonly PhraseFacts[];
  /** Place of the first of them in the list, from 0. */
  readonly first: number;
  readonly all: number;
  readonly why: Why;
}

/** Some lines, or as much room as they took. */
const Block = memo(
  function Block({ facts, first, all, byId, chosen, asked, why, onChoose }: BlockProps) {
    const { ref, near, height } = useNear<HTMLUListElement>(first === 0);
    const room = near ? undefined : { minHeight: height ?? facts.length * LINE };
    return (
      <ul ref={ref} style={room}>
        {near &&
          facts.map((f, i) => (
            <Line
              key={f.id}
              facts={f}
              stored={asked === null ? undefined : byId.get(f.id)}
              asked={asked}
              why={why}
              place={first + i + 1}
              all={all}
              chosen={chosen.has(f.id)}
              onChoose={onChoose}
            />
          ))}
      </ul>
    );
  },
  (a, b) =>
    a.byId === b.byId &&
    a.chosen === b.chosen &&
    a.asked === b.asked &&
    a.why === b.why &&
    a.all === b.all &&
    a.onChoose === b.onChoose &&
    a.facts.length === b.facts.length &&
    a.facts.every((f, i) => f === b.facts[i]),
);

interface LineProps {
  readonly facts: PhraseFacts;
  /** Where something was asked. */
  readonly stored: PhraseEntry | undefined;
  readonly asked: string | null;
  readonly why: Why;
  /** Place in the list, from 1, of so many: the lines around it may not be there. */
  readonly place: number;
  readonly all: number;
  readonly chosen: boolean;
  readonly onChoose: (id: string, chosen: boolean) => void;
}

const Line = memo(function Line(props: LineProps) {
  const { facts, stored, asked, why: LineWhy, place, all, chosen, onChoose } = props;
  const degrees = facts.degrees.map(degreeSign).join(' ');
  const { id } = facts;
  const title = facts.title.trim() === '' ? 'Untitled' : facts.title;
  return (
    <li
      className={chosen ? 'phrase-line phrase-line-chosen' : 'phrase-line'}
      aria-posinset={place}
      aria-setsize={all}
    >
      <label className="choose">
        <input
          type="checkbox"
          checked={chosen}
          onChange={(e) => onChoose(id, e.target.checked)}
          aria-label={`Choose ${title}`}
        />
      </label>
      <a href={addressOf({ page: 'phrase', id, query: {} })}>{title}</a>
      <span>{keyName(facts.key)}</span>
      <span className="phrase-line-level">
        {facts.level !== null && (
          <>
            <span className="unseen">level </span>
            <span title={levelName(facts.level)}>{facts.level}</span>
          </>
        )}
      </span>
      <span className="phrase-line-degrees">
        <span className="unseen">Degrees: </span>
        {asked === null || stored === undefined || LineWhy === null ? (
          degrees
        ) : (
          <LineWhy stored={stored} asked={asked}>
            {degrees}
          </LineWhy>
        )}
      </span>
      <span className="phrase-line-chords quiet">
        <span className="unseen">Chords: </span>
        {chordsText(facts)}
      </span>
    </li>
  );
});

function chordsText({ chords }: PhraseFacts): string {
  const names = chords.slice(0, MOST_CHORDS).map(chordName).join(' ');
  const more = chords.length - MOST_CHORDS;
  return more > 0 ? `${names} +${more}` : names;
}

/** From a line to the next, at the same thing of it: its title or its box. */
function goOn(e: KeyboardEvent<HTMLDivElement>): void {
  if (e.ctrlKey || e.metaKey || e.altKey || !(e.target instanceof HTMLElement)) return;
  const kind = e.target.matches('a') ? 'a' : e.target.matches('input') ? 'input' : null;
  if (kind === null) return;
  const all = [...e.currentTarget.querySelectorAll<HTMLElement>(`.phrase-line ${kind}`)];
  const at = all.indexOf(e.target);
  const to = {
    ArrowDown: at + 1,
    ArrowUp: at - 1,
    Home: 0,
    End: all.length - 1,
  }[e.key];
  const next = to === undefined ? undefined : all[to];
  if (next === undefined) return;
  e.preventDefault();
  next.focus();
}

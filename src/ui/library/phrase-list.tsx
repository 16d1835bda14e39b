import { memo } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import type { PhraseEntry } from '../../storage/types';
import type { FoundPhrases } from './found-phrases';
import { LongList } from './long-list';
import { PhraseCard } from './phrase-card';
import { useNear } from './use-near';

/** Cards that come and go together: whole rows, whether one, two, three or four stand side by side. */
const BLOCK = 12;
/** Height of a card in px until one has been seen. */
const CARD = 380;
/** Blocks that are there before anything is known of the window. */
const AT_ONCE = 1;
/** A library of so many cards is shown whole: on paper too, and to whoever searches the page. */
const WHOLE = 60;

/** Phrases by their ids. */
export type Entries = Pick<ReadonlyMap<string, PhraseEntry>, 'get'>;

interface Props {
  readonly found: FoundPhrases;
  readonly byId: Entries;
  readonly chosen: ReadonlySet<string>;
  /** The query they were found by; null where none was asked. */
  readonly asked: string | null;
  readonly onChoose: (id: string, chosen: boolean) => void;
}

/**
 * The phrases that were found, as cards. Those far from the window are not in the document: room is
 * kept for them, so that the page is as long as the library.
 */
export function PhraseList({ found, ...rest }: Props) {
  return (
    <div className="card-blocks">
      <LongList
        found={found}
        size={BLOCK}
        room={roomFor}
        block={(facts, first) => (
          <Block key={first} {...rest} all={found.length} first={first} facts={facts} />
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
}

/** Some cards, or as much room as they took. */
const Block = memo(
  function Block({ facts, first, all, byId, chosen, asked, onChoose }: BlockProps) {
    const { ref, near: close, height } = useNear<HTMLUListElement>(first < AT_ONCE * BLOCK);
    const near = close || all <= WHOLE;
    const room = near ? undefined : { minHeight: height ?? roomFor(facts.length) };
    return (
      <ul className="cards" ref={ref} style={room}>
        {near &&
          facts.map((f, i) => {
            const stored = byId.get(f.id);
            // The facts may be a moment older than the library.
            if (stored === undefined) return null;
            return (
              <PhraseCard
                key={f.id}
                facts={f}
                stored={stored}
                place={first + i + 1}
                all={all}
                chosen={chosen.has(f.id)}
                asked={asked}
                onChoose={onChoose}
              />
            );
          })}
      </ul>
    );
  },
  (a, b) =>
    a.byId === b.byId &&
    a.chosen === b.chosen &&
    a.all === b.all &&
    a.asked === b.asked &&
    a.onChoose === b.onChoose &&
    a.facts.length === b.facts.length &&
    a.facts.every((f, i) => f === b.facts[i]),
);

/** A guess at the room for cards that were never seen: by the columns that fit beside each other. */
function roomFor(cards: number): number {
  const columns = Math.max(1, Math.min(4, Math.floor((window.innerWidth - 64) / 360)));
  return Math.ceil(cards / columns) * CARD;
}

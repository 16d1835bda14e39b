import { memo, useMemo } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import type { PhraseEntry } from '../../storage/types';
import { PhraseCard } from './phrase-card';
import { useNear } from './use-near';

/** Cards that come and go together: whole rows, whether one, two, three or four stand side by side. */
const BLOCK = 12;
/** Blocks that come and go together, and how far from the window, in px, that is. */
const SECTION = 40;
const SECTION_AHEAD = '4000px';
/** Height of a card in px until one has been seen. */
const CARD = 380;
/** Blocks that are there before anything is known of the window. */
const AT_ONCE = 1;
/** A library of so many cards is shown whole: on paper too, and to whoever searches the page. */
const WHOLE = 60;

/** Phrases by their ids. */
export type Entries = Pick<ReadonlyMap<string, PhraseEntry>, 'get'>;

interface Props {
  readonly found: readonly PhraseFacts[];
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
export function PhraseList({ found, byId, chosen, asked, onChoose }: Props) {
  const blocks = useMemo(() => {
    const count = Math.ceil(found.length / BLOCK);
    return Array.from({ length: count }, (_, i) => found.slice(i * BLOCK, (i + 1) * BLOCK));
  }, [found]);
  const rest = { all: found.length, byId, chosen, asked, onChoose };
  return (
    <div className="card-blocks">
      {Array.from({ length: Math.ceil(blocks.length / SECTION) }, (_, i) => (
        <Section
          // biome-ignore lint/suspicious/noArrayIndexKey: a section is the place in the list.
          key={i}
          {...rest}
          first={i * SECTION}
          blocks={blocks.slice(i * SECTION, (i + 1) * SECTION)}
        />
      ))}
    </div>
  );
}

interface SectionProps extends Omit<BlockProps, 'facts'> {
  readonly blocks: readonly (readonly PhraseFacts[])[];
}

/** Many blocks, or as much room as they took: a hundred thousand cards are some two hundred of these. */
function Section({ blocks, first, ...rest }: SectionProps) {
  const { ref, near, height } = useNear<HTMLDivElement>(first === 0, SECTION_AHEAD);
  const cards = blocks.reduce((sum, b) => sum + b.length, 0);
  return (
    <div
      className="card-section"
      ref={ref}
      style={near ? undefined : { minHeight: height ?? roomFor(cards) }}
    >
      {near &&
        blocks.map((facts, i) => (
          <Block
            // biome-ignore lint/suspicious/noArrayIndexKey: a block is the place in the list.
            key={i}
            {...rest}
            first={(first + i) * BLOCK}
            facts={facts}
          />
        ))}
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

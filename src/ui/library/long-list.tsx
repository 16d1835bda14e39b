import type { ReactNode } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import type { FoundPhrases } from './found-phrases';
import { useNear } from './use-near';

/** Blocks that come and go together, and how far from the window, in px, that is. */
const SECTION = 40;
const AHEAD = '4000px';

interface Props {
  readonly found: FoundPhrases;
  /** So many phrases are a block. */
  readonly size: number;
  /** A guess at the height in px of so many phrases that were never seen. */
  readonly room: (phrases: number) => number;
  /** @param first Place of the first of them in the list, from 0. */
  readonly block: (facts: readonly PhraseFacts[], first: number) => ReactNode;
}

/**
 * A list of any length in blocks. Of those far from the window the document holds, and the browser watches, only the
 * section they are in: a hundred thousand phrases are some hundred of these.
 */
export function LongList({ found, size, ...rest }: Props) {
  const many = SECTION * size;
  return Array.from({ length: Math.ceil(found.length / many) }, (_, i) => (
    <Section
      // biome-ignore lint/suspicious/noArrayIndexKey: a section is the place in the list.
      key={i}
      {...rest}
      found={found}
      size={size}
      first={i * many}
      end={Math.min(found.length, (i + 1) * many)}
    />
  ));
}

interface SectionProps extends Props {
  /** Places of its phrases in the list, from 0. */
  readonly first: number;
  readonly end: number;
}

/** Many blocks, or as much room as they took. */
function Section({ found, size, room, block, first, end }: SectionProps) {
  const { ref, near, height } = useNear<HTMLDivElement>(first === 0, AHEAD);
  return (
    <div
      className="list-section"
      ref={ref}
      style={near ? undefined : { minHeight: height ?? room(end - first) }}
    >
      {near &&
        Array.from({ length: Math.ceil((end - first) / size) }, (_, i) => {
          const from = first + i * size;
          return block(found.slice(from, Math.min(end, from + size)), from);
        })}
    </div>
  );
}

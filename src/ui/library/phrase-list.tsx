import { useEffect, useRef, useState } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import type { StoredPhrase } from '../../storage/types';
import { PhraseCard } from './phrase-card';

/** Cards put on the page at a time; more follow as the end comes near. */
const PORTION = 60;

interface Props {
  readonly found: readonly PhraseFacts[];
  readonly byId: ReadonlyMap<string, StoredPhrase>;
  readonly chosen: ReadonlySet<string>;
  readonly onChoose: (id: string, chosen: boolean) => void;
}

/** The phrases that were found, as cards. */
export function PhraseList({ found, byId, chosen, onChoose }: Props) {
  const [limit, setLimit] = useState(PORTION);
  const shown = found.slice(0, limit);
  const rest = found.length - shown.length;
  return (
    <>
      <ul className="cards">
        {shown.map((facts) => {
          const stored = byId.get(facts.id);
          // The facts may be a moment older than the library.
          if (stored === undefined) return null;
          const isChosen = chosen.has(facts.id);
          return (
            <PhraseCard
              key={facts.id}
              facts={facts}
              stored={stored}
              chosen={isChosen}
              onChoose={onChoose}
            />
          );
        })}
      </ul>
      {rest > 0 && <More rest={rest} onMore={() => setLimit(limit + PORTION)} />}
    </>
  );
}

/** Shows more when it comes near the window, or is pressed. */
function More({ rest, onMore }: { readonly rest: number; readonly onMore: () => void }) {
  const ref = useRef<HTMLButtonElement>(null);
  const more = useRef(onMore);
  useEffect(() => {
    more.current = onMore;
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at anew after each portion.
  useEffect(() => {
    const button = ref.current;
    if (button === null) return;
    const observer = new IntersectionObserver(
      (entries) => {
        if (entries.some((e) => e.isIntersecting)) more.current();
      },
      { rootMargin: '800px' },
    );
    observer.observe(button);
    return () => observer.disconnect();
  }, [rest]);
  return (
    <button type="button" ref={ref} onClick={onMore}>
      Show {rest} more
    </button>
  );
}

import { useEffect, useState } from 'react';
import { useEngraver } from '../score/engraver';
import { firstScore } from '../score/first-score';
import { System } from '../score/system';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { useKept } from '../shared/use-kept';
import { firstSight } from './first-sight';
import { FirstMusic, FirstWords } from './first-words';

/** Remembers that the words were put away. */
const SEEN = 'degreewise.first-visit.seen';

/** Milliseconds after which nobody waits any more for a card to have its score. */
const PATIENCE = 5_000;

/** The line that stood in the page before the program came, until what moves is there. */
const STILL =
  firstSight === null ? null : (
    <FirstMusic over="I" move={null}>
      <div className="system system-at">
        <System svg={firstSight} />
      </div>
    </FirstMusic>
  );

/** What moves comes after the first cards. */
const MovedPhrase = partOnDemand(
  onDemand('The phrase that moves', () => import('./moved-phrase').then((m) => m.MovedPhrase)),
  STILL,
);

/** What this is, for somebody who has nothing but the samples yet. */
export function FirstVisit() {
  const [seen, setSeen] = useKept(SEEN, false);
  const engraver = useEngraver();
  const atRest = useRest(engraver !== null && engraver !== 'failed');
  if (seen) return null;
  return (
    <FirstWords putAway={() => setSeen(true)}>
      {atRest ? <MovedPhrase meanwhile={STILL} /> : STILL}
    </FirstWords>
  );
}

/** True once the first card has its score, or after a while where there is none: what moves comes behind it. */
function useRest(so: boolean): boolean {
  const [rest, setRest] = useState(false);
  useEffect(() => {
    if (!so || rest) return;
    let waiting = true;
    const done = () => {
      if (waiting) setRest(true);
    };
    const timer = setTimeout(done, PATIENCE);
    void firstScore.then(done);
    return () => {
      waiting = false;
      clearTimeout(timer);
    };
  }, [so, rest]);
  return rest;
}

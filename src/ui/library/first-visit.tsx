import { useEffect, useState } from 'react';
import { useEngraver } from '../score/engraver';
import { firstScore } from '../score/first-score';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';

/** Remembers that the words were put away. */
const SEEN = 'degreewise.first-visit.seen';

/** Milliseconds after which nobody waits any more for a card to have its score. */
const PATIENCE = 5_000;

/** What moves comes after the first cards. */
const MovedPhrase = partOnDemand(
  onDemand('The phrase that moves', () => import('./moved-phrase').then((m) => m.MovedPhrase)),
);

/** What this is, for somebody who has nothing but the samples yet. */
export function FirstVisit() {
  const [seen, setSeen] = useState(() => localStorage.getItem(SEEN) !== null);
  const engraver = useEngraver();
  const atRest = useRest(engraver !== null && engraver !== 'failed');
  if (seen) return null;
  return (
    <section className="first-visit" aria-labelledby="first-visit">
      <div>
        <h2 id="first-visit">A workbook for phrases</h2>
        <p>
          Degreewise keeps the phrases you play together with what each note is: root, flat third,
          sixth. Move one to another chord or key, and every note keeps what it is.
        </p>
        <button
          type="button"
          onClick={() => {
            localStorage.setItem(SEEN, 'yes');
            setSeen(true);
          }}
        >
          Put this away
        </button>
      </div>
      <div className="first-visit-music">{atRest && <MovedPhrase />}</div>
    </section>
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

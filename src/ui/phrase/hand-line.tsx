import { useEffect, useState } from 'react';
import { type Difficulty, difficultyOf } from '../../core/neck/difficulty';
import { reasonText } from '../../core/neck/explain';
import type { Phrase } from '../../core/phrase/types';
import { STEP_WORDS } from '../../io/text/playability';
import { capital } from '../shared/words';

/** How hard it is for the hands and why, reckoned once the page is drawn. */
export function HandLine({ phrase }: { readonly phrase: Phrase }) {
  const [found, setFound] = useState<Difficulty | null>(null);
  useEffect(() => {
    const timer = setTimeout(() => setFound(difficultyOf(phrase)), 200);
    return () => clearTimeout(timer);
  }, [phrase]);
  if (found === null) return null;
  const { step, reasons, easier } = found;
  const why = reasons.length === 0 ? '' : ` ${capital(reasons.map(reasonText).join('; '))}.`;
  const other =
    easier === null
      ? ''
      : ` Around fret ${easier.fret} it would be ${easier.step} of 5 (see other places).`;
  return (
    <p className="quiet hand-line">
      For the hands: {step} of 5, {STEP_WORDS[step]}.{why}
      {other}
    </p>
  );
}

import { useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { PhraseEntry } from '../../storage/types';
import { useLoaded } from '../frame/app-context';
import { behindFirstScore, scoreDrawn } from '../score/first-score';
import { System } from '../score/system';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { whenCalm } from './calm';
import { cardLineIfKnown, orderCardLine } from './card-lines';
import { CardMissing } from './card-missing';

const CardListen = partOnDemand(
  onDemand('The button that plays', () =>
    behindFirstScore(() => import('./card-listen').then((m) => m.CardListen)),
  ),
  null,
  <CardMissing />,
);

/** How far from the window, in px, a first line is engraved before it comes into view. */
const AHEAD = '600px';

/** The line with what was found, and why; comes with the first search. */
const CardWhy = partOnDemand(
  onDemand('What marks the notes', () => import('./card-why').then((m) => m.CardWhy)),
  null,
  <CardMissing />,
);

interface Props {
  readonly stored: PhraseEntry;
  /** The query it was found by; null where none was asked. */
  readonly asked: string | null;
}

/** The first line of a phrase, read and engraved once it comes near the window. */
export function CardScore({ stored, asked }: Props) {
  const ref = useRef<HTMLDivElement>(null);
  const [near, setNear] = useState(false);
  const [drawn, setDrawn] = useState<{ readonly of: Phrase; readonly svg: string } | null>(null);
  const [failed, setFailed] = useState(false);
  const phrase = useLoaded(near ? stored : null);
  const svg =
    (phrase === null ? null : cardLineIfKnown(phrase)) ?? (drawn?.of === phrase ? drawn.svg : null);
  useEffect(() => {
    const element = ref.current;
    if (element === null || near) return;
    let takeBack = () => {};
    const observer = new IntersectionObserver(
      (entries) => {
        takeBack();
        // On a busy page several come at once; the last is how it stands.
        if (entries.at(-1)?.isIntersecting) takeBack = whenCalm(() => setNear(true));
      },
      { rootMargin: AHEAD },
    );
    observer.observe(element);
    return () => {
      takeBack();
      observer.disconnect();
    };
  }, [near]);
  useEffect(() => {
    if (!failed) return;
    const again = () => setFailed(false);
    window.addEventListener('online', again);
    return () => window.removeEventListener('online', again);
  }, [failed]);
  useEffect(() => {
    if (phrase === null || svg !== null || failed) return;
    return orderCardLine(
      phrase,
      (text) => setDrawn({ of: phrase, svg: text }),
      () => setFailed(true),
    );
  }, [phrase, svg, failed]);
  const shown = near && svg !== null;
  useLayoutEffect(() => {
    if (shown) scoreDrawn();
  }, [shown]);
  return (
    <>
      <div
        className={asked !== null && shown ? 'card-score-gone' : 'card-score'}
        ref={ref}
        aria-hidden="true"
      >
        {shown && asked === null && <System svg={svg} />}
        {failed && svg === null && <CardMissing />}
      </div>
      {phrase !== null && svg !== null && asked !== null && (
        <CardWhy phrase={phrase} asked={asked} first={svg} />
      )}
      {/* What plays comes behind the first score. */}
      <div className="card-listen">
        {phrase !== null && svg !== null && <CardListen phrase={phrase} />}
      </div>
    </>
  );
}

import { useEffect, useState } from 'react';
import { type Playability, playabilityInSteps, type SpotWays } from '../../core/ease/easier';
import { spotPlace } from '../../io/text/playability';
import type { Draft } from '../frame/draft';
import type { RouteOf } from '../frame/route';
import { count } from '../shared/words';
import { EasierWayItem } from './easier-way';
import './other-places.css';

interface EasierWaysProps {
  readonly draft: Draft;
  readonly route: RouteOf<'phrase'>;
}

/** What is hard in the phrase and why, with easier ways for each spot; sought step by step. */
export function EasierWays({ draft, route }: EasierWaysProps) {
  const { phrase } = draft;
  const found = useFound(draft);
  // The hardest is open at first; what is chosen stays open while the phrase is another one already.
  const [open, setOpen] = useState<number | null>(0);
  if (found === 'nothing')
    return <p role="status">It has no notes, or cannot be played where it lies.</p>;
  if (found === null) return <p role="status">Looking at the hands …</p>;
  const { spots, elsewhere, done } = found;
  return (
    <>
      <p role="status">{done ? summary(found) : 'Looking for easier ways …'}</p>
      {spots.map((s, i) => (
        <Spot
          // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
          key={i}
          of={s}
          open={open === i}
          onOpen={(is) => setOpen(is ? i : open === i ? null : open)}
          draft={draft}
          route={route}
        />
      ))}
      {elsewhere.length === 0 ? null : (
        <details
          open={open === ELSEWHERE}
          onToggle={(e) => {
            if (e.currentTarget.open) setOpen(ELSEWHERE);
            else if (open === ELSEWHERE) setOpen(null);
          }}
        >
          <summary>Elsewhere on the neck: {count(elsewhere.length, 'easier way')}</summary>
          {open === ELSEWHERE ? (
            <ol className="places">
              {elsewhere.map((w) => (
                <EasierWayItem
                  key={`${phrase.id} ${w.what}`}
                  draft={draft}
                  route={route}
                  way={w}
                  bar={null}
                />
              ))}
            </ol>
          ) : null}
        </details>
      )}
    </>
  );
}

const ELSEWHERE = -1;

interface SpotProps extends EasierWaysProps {
  readonly of: SpotWays;
  readonly open: boolean;
  readonly onOpen: (open: boolean) => void;
}

function Spot({ of: { spot, ways }, open, onOpen, draft, route }: SpotProps) {
  const why = `${spotPlace(draft.phrase, spot)}: ${spot.why.join('; ')}`;
  if (ways.length === 0) return <p className="hard-spot">{why}. No easier way was found here.</p>;
  return (
    <details open={open} onToggle={(e) => onOpen(e.currentTarget.open)}>
      <summary>
        {why}. {count(ways.length, 'easier way')}
      </summary>
      {open ? (
        <ol className="places">
          {ways.map((w) => (
            <EasierWayItem key={w.what} draft={draft} route={route} way={w} bar={spot.bar} />
          ))}
        </ol>
      ) : null}
    </details>
  );
}

function summary({ spots, elsewhere }: Playability): string {
  const ways = spots.reduce((n, s) => n + s.ways.length, elsewhere.length);
  if (spots.length === 0 && ways === 0) return 'Nothing in it is hard for the hands.';
  return `${count(spots.length, 'hard spot')}, the hardest first; ${count(ways, 'easier way')} in all.`;
}

/** Null until the first step is done; one step after the other, so that the page stays quick. */
function useFound({ phrase }: Draft): Playability | 'nothing' | null {
  const [found, setFound] = useState<Playability | 'nothing' | null>(null);
  useEffect(() => {
    setFound(null);
    const steps = playabilityInSteps(phrase);
    let known = false;
    let timer = setTimeout(function go() {
      const next = steps.next();
      if (next.done) {
        if (!known) setFound('nothing');
        return;
      }
      known = true;
      setFound(next.value);
      timer = setTimeout(go);
    });
    return () => clearTimeout(timer);
  }, [phrase]);
  return found;
}

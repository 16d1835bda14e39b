import { useId, useState } from 'react';
import { barsText } from '../../core/neck/hand-bars';
import { movedPlaces } from '../../core/neck/moved-places';
import { stretchesOf } from '../../core/neck/neck-views';
import type { CountsFrom } from '../../core/neck/on-neck';
import type { Phrase } from '../../core/phrase/types';
import { NeckPair } from '../frame/neck/neck-figures-on-demand';
import { movedText } from './moved-text';

/** The neck before and after a move, drawn when it is asked for; arrows on request. */
export function MoveNeck(props: {
  readonly before: Phrase;
  readonly after: Phrase;
  readonly degrees: CountsFrom;
}) {
  const { before, after, degrees } = props;
  const [open, setOpen] = useState(false);
  const [arrows, setArrows] = useState(false);
  const [part, setPart] = useState(0);
  const id = useId();
  const parts = open ? stretchesOf(before) : [];
  const stretch = parts[part];
  const moved = movedPlaces(before, after, stretch && [stretch.from, stretch.to]);
  return (
    <details className="move-neck" open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>The neck before and after</summary>
      {open ? (
        <>
          <p className="buttons">
            <label>
              <input
                type="checkbox"
                checked={arrows}
                onChange={(e) => setArrows(e.target.checked)}
              />{' '}
              On one neck, with arrows
            </label>
            {parts.length < 2 ? null : (
              <label htmlFor={id}>
                Bars{' '}
                <select id={id} value={part} onChange={(e) => setPart(Number(e.target.value))}>
                  {parts.map((s, i) => (
                    <option key={s.from} value={i}>
                      {barsText(s.bars)}
                    </option>
                  ))}
                </select>
              </label>
            )}
          </p>
          <p>{movedText(moved)}</p>
          <NeckPair before={before} after={after} degrees={degrees} arrows={arrows} part={part} />
        </>
      ) : null}
    </details>
  );
}

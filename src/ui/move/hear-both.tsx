import { type ReactNode, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useActions } from '../frame/app-context';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import { Sounding } from '../score/sounding';

type Which = 'before' | 'after';

interface HearBothProps {
  readonly before: Phrase;
  readonly after: Phrase;
  /** The music, in which what sounds is marked. */
  readonly children: ReactNode;
}

/** Listening to the phrase before and after its move; switching goes on at the same place. */
export function HearBoth({ before, after, children }: HearBothProps) {
  const [which, setWhich] = useState<Which>('after');
  const player = usePlayer(which === 'before' ? before : after);
  const other: Which = which === 'before' ? 'after' : 'before';
  useActions(
    useMemo(
      () => [
        {
          id: 'listen.other',
          title: `Hear it as it is ${other} the move`,
          group: 'Listen',
          words: 'compare switch',
          key: 'Alt+X',
          run: () => setWhich(other),
        },
      ],
      [other],
    ),
  );
  return (
    <>
      <Sounding value={player.heard}>{children}</Sounding>
      <ListenBar player={player}>
        <fieldset className="hear-which">
          <legend className="unseen">What is heard</legend>
          {(['before', 'after'] as const).map((w) => (
            <label key={w}>
              <input
                type="radio"
                name="hear-which"
                checked={which === w}
                onChange={() => setWhich(w)}
              />
              <span>{w}</span>
            </label>
          ))}
        </fieldset>
      </ListenBar>
    </>
  );
}

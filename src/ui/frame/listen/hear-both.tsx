import { type ReactNode, useMemo, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { HeardOf, Sounding } from '../../score/sounding';
import { useActions } from '../app-context';
import { ListenBar } from './listen-bar';
import { usePlayer } from './use-player';

/** One of the two that can be heard. */
export interface Hearable {
  readonly phrase: Phrase;
  /** What it is called, in a word: `before`. */
  readonly name: string;
  /** The same in a sentence: `Hear it as it is before the move`. */
  readonly title: string;
}

interface HearBothProps {
  readonly upper: Hearable;
  readonly lower: Hearable;
  /** Which is heard at first. */
  readonly first: 'upper' | 'lower';
  /** They are two phrases, and not one before and after. */
  readonly apart?: boolean;
  /** The music, in which what sounds is marked. */
  readonly children: ReactNode;
}

/** Listening to two phrases under each other; switching by one key goes on at the same place. */
export function HearBoth({ upper, lower, first, apart = false, children }: HearBothProps) {
  const [which, setWhich] = useState(first);
  const player = usePlayer(which === 'upper' ? upper.phrase : lower.phrase);
  const other = which === 'upper' ? lower : upper;
  useActions(
    useMemo(
      () => [
        {
          id: 'listen.other',
          title: other.title,
          group: 'Listen',
          words: 'compare switch',
          key: 'Alt+X',
          run: () => setWhich(which === 'upper' ? 'lower' : 'upper'),
        },
      ],
      [other.title, which],
    ),
  );
  return (
    <>
      <HeardOf value={apart ? which : 'both'}>
        <Sounding value={player.heard}>{children}</Sounding>
      </HeardOf>
      <ListenBar player={player}>
        <fieldset className="hear-which">
          <legend className="unseen">What is heard</legend>
          {(['upper', 'lower'] as const).map((w) => (
            <label key={w}>
              <input
                type="radio"
                name="hear-which"
                checked={which === w}
                onChange={() => setWhich(w)}
              />
              <span>{(w === 'upper' ? upper : lower).name}</span>
            </label>
          ))}
          <kbd>Alt+X</kbd>
        </fieldset>
      </ListenBar>
    </>
  );
}

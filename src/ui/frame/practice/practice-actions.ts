import { useMemo } from 'react';
import type { Stretch } from '../../../core/practice/types';
import { useActions } from '../app-context';
import type { UsePlayer } from '../listen/use-player';

/** What can be done about practising, for the list of everything that can be done. */
export function usePracticeActions(
  player: UsePlayer,
  stretch: Stretch | null,
  open: boolean,
  setOpen: (open: boolean) => void,
): void {
  const { way, play, stop, good, skip } = player;
  const practising = way === 'practise';
  useActions(
    useMemo(
      () => [
        {
          id: 'practice.begin',
          title: practising ? 'Stop practising' : 'Begin to practise',
          group: 'Listen',
          words: 'loop every key all keys twelve metronome round exercise',
          key: 'Alt+P',
          run: () => {
            if (practising) stop();
            else {
              setOpen(true);
              play({ kind: 'practise', stretch });
            }
          },
        },
        {
          id: 'practice.good',
          title: 'That was good: the next round faster',
          group: 'Listen',
          words: 'tempo practise',
          key: 'Alt+G',
          ...(practising ? {} : { blocked: 'nothing is practised just now' }),
          run: good,
        },
        {
          id: 'practice.next-round',
          title: 'Go on with the next round',
          group: 'Listen',
          words: 'practise key skip',
          key: 'Alt+N',
          ...(practising ? {} : { blocked: 'nothing is practised just now' }),
          run: skip,
        },
        {
          id: 'practice.panel',
          title: open ? 'Put the panel for practising away' : 'Choose how it is practised',
          group: 'Listen',
          words: 'keys metronome swing count-in tempo loop',
          run: () => setOpen(!open),
        },
      ],
      [practising, play, stop, good, skip, stretch, open, setOpen],
    ),
  );
}

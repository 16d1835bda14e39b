import { type ReactNode, useCallback, useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { quickChords } from '../shared/destinations';
import type { Action } from './actions';
import { useActions } from './app-context';
import { useExport } from './export/use-export';
import { useGive } from './give/use-give';
import { navigate } from './use-route';

/** The pages where something is done with a phrase. */
export function placesOf(phrase: Phrase, group: string): readonly Action[] {
  const { id } = phrase;
  const to = (page: 'write' | 'move' | 'vary' | 'print' | 'cut' | 'versions') => () =>
    navigate({ page, id, query: {} });
  return [
    {
      id: 'phrase.write',
      title: 'Write in it',
      group,
      words: 'edit change notes tuning tune capo key metre tempo strings',
      run: to('write'),
    },
    {
      id: 'phrase.move',
      title:
        'Move it to a chord, a key, a lane, a step, an octave, another instrument or another beat',
      group,
      words: 'transpose tuning tune capo standard strings',
      run: to('move'),
    },
    ...quickChords(phrase).map((c) => ({
      id: `phrase.move.${c.text}`,
      title: `Move it over ${c.label} (${c.detail})`,
      group,
      run: () => navigate({ page: 'move', id, query: { to: c.text } }),
    })),
    {
      id: 'phrase.cut',
      title: 'Cut it into phrases',
      group,
      words: 'split long piece parts rests bars',
      run: to('cut'),
    },
    {
      id: 'phrase.like',
      title: 'Find more like this one, in any key',
      group,
      words: 'similar alike search',
      run: () => navigate({ page: 'library', query: { like: id } }),
    },
    {
      id: 'phrase.vary',
      title: 'Vary it: double stops, approaches, fewer notes, another ending',
      group,
      words: 'variation variations change develop',
      run: to('vary'),
    },
    {
      id: 'phrase.solo',
      title: 'Lay it on a song form, and fill the rest',
      group,
      words: 'solo chorus blues put bars propose',
      run: () => navigate({ page: 'solo', query: { lay: id } }),
    },
    {
      id: 'phrase.versions',
      title: 'See its earlier versions',
      group,
      words: 'history restore compare before back',
      run: to('versions'),
    },
    {
      id: 'phrase.print',
      title: 'Print it or make a PDF',
      group,
      words: 'paper students hand out sheet',
      run: to('print'),
    },
    {
      id: 'phrase.places',
      title: 'See other places on the neck',
      group,
      words: 'elsewhere position fret fingering area easier higher lower',
      run: () => navigate({ page: 'phrase', id, query: { places: 'yes' } }),
    },
  ];
}

/** How a phrase leaves the library. */
export function handingOut(
  group: string,
  exportIt: () => void,
  give: () => void,
): readonly Action[] {
  return [
    {
      id: 'phrase.export',
      title: 'Export it as a file',
      group,
      words: 'musicxml mxl svg png text json download save picture sound audio wav midi tab',
      run: exportIt,
    },
    {
      id: 'phrase.give',
      title: 'Give it as a link or a QR code',
      group,
      words: 'share send phone student url code',
      run: give,
    },
  ];
}

/**
 * What can be done with a phrase while something is made of it on another page: it leads to the phrase as it
 * is kept, never to what is only shown.
 * @returns Dialogs, which go anywhere on the page.
 */
export function usePlacesOfKept(phrase: Phrase, here: 'move' | 'vary'): ReactNode {
  const { open, dialog } = useExport();
  const exportIt = useCallback(() => open([phrase]), [open, phrase]);
  const { open: give, dialog: giving } = useGive(phrase);
  useActions(
    useMemo(
      () => [
        ...placesOf(phrase, KEPT).filter((a) => !a.id.startsWith(`phrase.${here}`)),
        {
          id: 'phrase.practise',
          title: 'Practise it',
          group: KEPT,
          words: 'loop every key tempo metronome',
          run: () => navigate({ page: 'phrase', id: phrase.id, query: { practise: 'yes' } }),
        },
        ...handingOut(KEPT, exportIt, give),
      ],
      [phrase, here, exportIt, give],
    ),
  );
  return (
    <>
      {dialog}
      {giving}
    </>
  );
}

const KEPT = 'The phrase as it is kept';

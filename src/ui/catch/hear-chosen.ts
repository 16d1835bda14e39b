import type { EditState } from '../../core/edit/state';
import { useApp } from '../frame/app-context';
import { listeningNow } from '../frame/listen/listening';
import { playPhrase } from '../frame/listen/playing';
import { tellWhy } from '../frame/listen/use-player';
import { silenceRecording } from '../frame/recording/recording-sound';
import { stretchAround } from './candidates';
import { useSteady } from './use-steady';

/** Lets what a note was chosen to be instead be heard, once and at its own speed, with what leads up to it. */
export function useHearChosen(): (state: EditState) => void {
  const { notices } = useApp();
  return useSteady(({ phrase, selection }: EditState) => {
    silenceRecording();
    const stretch = stretchAround(phrase, selection.cursor.onset);
    const how = { ...listeningNow(), loop: false, speed: 100, band: null };
    // Under an id of its own: the page goes on with a phrase of its own as it is changed, to its end.
    const chosen = { ...phrase, id: `${phrase.id}-chosen` };
    playPhrase(chosen, { kind: 'listen', stretch }, how).catch((reason: unknown) =>
      tellWhy(notices, reason),
    );
  });
}

import { useSyncExternalStore } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { listeningNow } from '../frame/listen/listening';
import { isPlayed, playing, playPhrase, subscribeToPlayer } from '../frame/listen/playing';
import { tellWhy } from '../frame/listen/use-player';
import { titleOf } from '../shared/facts';

/** Plays the phrase of a card, at its own tempo and once, or stops it. */
export function CardListen({ phrase }: { readonly phrase: Phrase }) {
  const { notices } = useApp();
  const played = useSyncExternalStore(subscribeToPlayer, () => isPlayed(phrase.id));
  const press = () => {
    if (played) {
      playing.known()?.stop();
      return;
    }
    endsWithPage();
    const how = { ...listeningNow(), speed: 100, loop: false, band: null };
    playPhrase(phrase, { kind: 'listen', stretch: null }, how).catch((reason: unknown) =>
      tellWhy(notices, reason),
    );
  };
  return (
    <button
      type="button"
      className="card-hear"
      onClick={press}
      aria-label={`${played ? 'Stop' : 'Hear'} ${titleOf(phrase)}`}
    >
      <svg viewBox="0 0 16 16" width="18" height="18" aria-hidden="true">
        {played ? <path d="M2.5 2.5h11v11h-11z" /> : <path d="M3 1.5 14 8 3 14.5z" />}
      </svg>
    </button>
  );
}

let watched = false;

/** A card that was scrolled away plays on; another page is silent, as everywhere. */
function endsWithPage(): void {
  if (watched) return;
  watched = true;
  const { hash } = window.location;
  const leave = () => {
    // What is chosen on the page of the library is still that page.
    if (window.location.hash.split('?')[0] === hash.split('?')[0]) return;
    window.removeEventListener('hashchange', leave);
    watched = false;
    playing.known()?.stop();
  };
  window.addEventListener('hashchange', leave);
}

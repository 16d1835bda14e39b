import { useEffect } from 'react';
import { useApp } from '../frame/app-context';
import type { Notices } from '../frame/notices';

const WORDS =
  'Some cards lack their music, their marks or what plays them: parts of the program could not be fetched. They come by themselves once there is a network. Nothing of yours is lost.';
const ACTIONS = [{ label: 'Load the page again', run: () => window.location.reload() }];

/** Places of cards that stay empty, and the one notice that says so for all. */
let places = 0;
let notice: number | null = null;

/** Stands in a card for what could not be fetched. */
export function CardMissing() {
  const { notices } = useApp();
  useEffect(() => missing(notices), [notices]);
  return null;
}

/** @returns takes it back: it has come, or its card has gone. */
function missing(notices: Notices): () => void {
  if (places === 0) notice = notices.show({ kind: 'trouble', text: WORDS, actions: ACTIONS });
  places++;
  return () => {
    places--;
    if (places === 0 && notice !== null) notices.dismiss(notice);
  };
}

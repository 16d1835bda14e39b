import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import { type Sheet, sheetsOf } from '../../core/lesson/sheets';
import type { Lesson, LessonItem } from '../../core/lesson/types';
import { useApp } from '../frame/app-context';
import { BandChoice } from '../frame/listen/band-choice';
import { listeningNow, setListening, subscribeToListening } from '../frame/listen/listening';
import { isPlayed, playing, playPhrase, subscribeToPlayer } from '../frame/listen/playing';
import { tellWhy } from '../frame/listen/use-player';

interface Props {
  readonly lesson: Lesson;
  readonly item: LessonItem;
  /** What the item is called. */
  readonly name: string;
}

/** Hears the music of an item as the student will; nothing where it has none. */
export function HearItem({ lesson, item, name }: Props) {
  const { phrases } = lesson;
  const sheets = useMemo(() => {
    const read = sheetsOf({ phrases }, item);
    return read.ok ? read.value.filter((s) => s.leftOut === null) : [];
  }, [phrases, item]);
  const [at, setAt] = useState(0);
  const sheet = sheets[at] ?? sheets[0];
  if (sheet === undefined) return null;
  return (
    <>
      {sheets.length > 1 ? (
        <label>
          <span className="unseen">Which of {name}</span>
          <select value={at} onChange={(e) => setAt(Number(e.target.value))}>
            {sheets.map((s, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: sheets are their places
              <option key={i} value={i}>
                {s.caption === '' ? `${i + 1}` : s.caption}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <HearSheet sheet={sheet} as={`${item.id} ${sheets.indexOf(sheet)}`} name={name} />
    </>
  );
}

function HearSheet(props: { readonly sheet: Sheet; readonly as: string; readonly name: string }) {
  const { sheet, as, name } = props;
  const { notices } = useApp();
  // The same phrase may stand in several items, and each has a button of its own.
  const phrase = useMemo(() => ({ ...sheet.heard, id: as }), [sheet, as]);
  const sounds = useSyncExternalStore(subscribeToPlayer, () => isPlayed(as));
  // Leaving the page, or what is heard of it, is silence.
  useEffect(
    () => () => {
      if (isPlayed(as)) playing.known()?.stop();
    },
    [as],
  );
  const press = () => {
    if (sounds) {
      playing.known()?.stop();
      return;
    }
    const beneath = sheet.comping?.phrase ?? null;
    playPhrase(phrase, { kind: 'listen', stretch: null }, listeningNow(), undefined, beneath).catch(
      (reason: unknown) => tellWhy(notices, reason),
    );
  };
  return (
    <button type="button" onClick={press}>
      {sounds ? 'Stop' : 'Hear'} <span className="unseen">{name}</span>
    </button>
  );
}

/** The band that is heard with every item, the same as elsewhere in this window. */
export function HeardWith() {
  const listening = useSyncExternalStore(subscribeToListening, listeningNow);
  return <BandChoice player={{ listening, set: setListening }} />;
}

import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import { usualFeel } from '../../core/backing/accompany';
import { type Sheet, sheetsOf } from '../../core/lesson/sheets';
import type { Lesson, LessonItem } from '../../core/lesson/types';
import { useApp } from '../frame/app-context';
import { type Listening, listeningNow } from '../frame/listen/listening';
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

/** A band that plays the comping of a solo, where it has one. */
function withComping({ heard, comping }: Sheet, how: Listening): Listening {
  if (comping === null) return how;
  const band = how.band ?? { feel: usualFeel(heard), seed: 1 };
  return { ...how, band: { ...band, rhythm: comping.phrase } };
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
    const how = withComping(sheet, listeningNow());
    playPhrase(phrase, { kind: 'listen', stretch: null }, how).catch((reason: unknown) =>
      tellWhy(notices, reason),
    );
  };
  return (
    <button type="button" onClick={press}>
      {sounds ? 'Stop' : 'Hear'} <span className="unseen">{name}</span>
    </button>
  );
}

import { useCallback, useEffect, useMemo, useRef, useSyncExternalStore } from 'react';
import { type Sheet, sheetsOf } from '../../core/lesson/sheets';
import type { Lesson, LessonItem } from '../../core/lesson/types';
import { useApp } from '../frame/app-context';
import { BandChoice } from '../frame/listen/band-choice';
import { LoopChoice, SpeedChoice } from '../frame/listen/listen-bar';
import { listeningNow, setListening, subscribeToListening } from '../frame/listen/listening';
import { isPlayed, playing, playPhrase, subscribeToPlayer } from '../frame/listen/playing';
import { type BarRange, StretchFields, useStretchOf } from '../frame/listen/stretch-fields';
import { tellWhy } from '../frame/listen/use-player';
import type { ChosenBars } from './chosen-bars';

interface Props {
  readonly lesson: Lesson;
  readonly item: LessonItem;
  /** What the item is called. */
  readonly name: string;
  /** What of it is heard. */
  readonly chosen: ChosenBars;
  readonly onChoose: (chosen: ChosenBars) => void;
}

/** Hears the music of an item as the student will; nothing where it has none. */
export function HearItem({ lesson, item, name, chosen, onChoose }: Props) {
  const { phrases } = lesson;
  const sheets = useMemo(() => {
    const read = sheetsOf({ phrases }, item);
    return read.ok ? read.value.filter((s) => s.leftOut === null) : [];
  }, [phrases, item]);
  const at = chosen.sheet < sheets.length ? chosen.sheet : 0;
  const sheet = sheets[at];
  if (sheet === undefined) return null;
  return (
    <>
      {sheets.length > 1 ? (
        <label>
          <span className="unseen">Which of {name}</span>
          <select
            value={at}
            onChange={(e) => onChoose({ sheet: Number(e.target.value), range: null })}
          >
            {sheets.map((s, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: sheets are their places
              <option key={i} value={i}>
                {s.caption === '' ? `${i + 1}` : s.caption}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <HearSheet
        sheet={sheet}
        as={`${item.id} ${at}`}
        name={name}
        // Bars of a sheet that is there no more are marked nowhere.
        range={at === chosen.sheet ? chosen.range : null}
        onRange={(range) => onChoose({ sheet: at, range })}
      />
    </>
  );
}

function HearSheet(props: {
  readonly sheet: Sheet;
  readonly as: string;
  readonly name: string;
  readonly range: BarRange;
  readonly onRange: (range: BarRange) => void;
}) {
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
  const bars = useStretchOf(phrase, props.range, props.onRange);
  const { stretch } = bars;
  const play = useCallback(() => {
    const beneath = sheet.comping?.phrase ?? null;
    playPhrase(phrase, { kind: 'listen', stretch }, listeningNow(), undefined, beneath).catch(
      (reason: unknown) => tellWhy(notices, reason),
    );
  }, [phrase, sheet, stretch, notices]);
  // Other bars are heard at once.
  const heard = useRef(stretch);
  useEffect(() => {
    const before = heard.current;
    heard.current = stretch;
    if (before !== stretch && isPlayed(as)) play();
  }, [stretch, as, play]);
  return (
    <>
      <button type="button" onClick={() => (sounds ? playing.known()?.stop() : play())}>
        {sounds ? 'Stop' : 'Hear'} <span className="unseen">{name}</span>
      </button>
      <StretchFields of={bars} />
    </>
  );
}

/** How every item is heard, the same as elsewhere in this window. */
export function HeardWith() {
  const listening = useSyncExternalStore(subscribeToListening, listeningNow);
  const player = { listening, set: setListening };
  return (
    <fieldset className="lesson-heard">
      <legend>Heard here</legend>
      <BandChoice player={player} />
      <SpeedChoice player={player} />
      <LoopChoice player={player} />
    </fieldset>
  );
}

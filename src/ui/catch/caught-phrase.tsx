import { useMemo, useSyncExternalStore } from 'react';
import type { HeardNote } from '../../core/heard/types';
import { notesOf } from '../../core/phrase/walk';
import type { LikeOne } from '../../core/search/finder';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { TYPESET } from '../../io/text/signs';
import { useApp } from '../frame/app-context';
import { keepAsNew } from '../frame/keep-as-new';
import { isPlayed, subscribeToPlayer } from '../frame/listen/playing';
import { usePlayer } from '../frame/listen/use-player';
import type { RouteOf } from '../frame/route';
import { ScoreView } from '../score/score-view';
import { SILENT, Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import { DoubleOf } from './doubles';
import { HearBoth } from './hear-both';
import type { CaughtTake } from './messages';
import { type DrawnNote, PitchPicture } from './pitch-picture';
import type { Sound } from './use-ear';
import { useOnce } from './with-recording';

/** One phrase that was caught: its picture and score, what it sounds like, what it may have been played over. */
export function Caught(props: {
  readonly caught: CaughtPhrase;
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly unsure: readonly number[];
  readonly chosen: number | null;
  readonly onChoose: (index: number) => void;
  /** Whether the space bar plays this one: of several the one that was heard last. */
  readonly space: boolean;
  readonly onHear: () => void;
  readonly route: RouteOf<'catch'>;
  /** What the library has that is like it. */
  readonly double: LikeOne | null;
  /** Keeps its recording with it, where that is asked for. */
  readonly keepSound: (() => Promise<void>) | null;
}) {
  const { caught, take, sound, unsure, chosen, onChoose, space, onHear, route, double } = props;
  const { phrase, from, to } = caught;
  const app = useApp();
  const keep = useOnce(async () => {
    await props.keepSound?.();
    await keepAsNew(app, phrase, route);
  });
  const player = usePlayer(phrase);
  // Notes of different phrases have the same ids: only those of the one that is heard are marked.
  const heard = useSyncExternalStore(subscribeToPlayer, () => isPlayed(phrase.id));
  const drawn = useMemo(() => drawnNotes(caught, take, unsure), [caught, take, unsure]);
  const title = titleOf(phrase);
  return (
    <section className="caught" aria-label={title}>
      <h3>{title}</h3>
      {double === null ? null : <DoubleOf double={double} caught={phrase} />}
      <PitchPicture
        from={Math.max(0, from - 0.2)}
        to={to}
        bars={take.bars}
        notes={drawn}
        chosen={chosen}
        label={`Pitch over time of ${title}, with ${drawn.length} notes`}
        onChoose={onChoose}
      />
      <Sounding value={heard ? player.heard : SILENT}>
        <ScoreView phrase={phrase} label={`Notes of ${title}`} staves="both" degrees="chord" />
      </Sounding>
      <p className="buttons">
        <HearBoth
          player={player}
          heard={heard}
          space={space}
          onHear={onHear}
          sound={sound}
          from={from}
          to={to}
        />
        <button type="button" className="strong" onClick={keep}>
          Keep it as a phrase
        </button>
      </p>
    </section>
  );
}

/** The notes of the recording that lie in a phrase, with what they are written as. */
function drawnNotes(
  { phrase, from, to, heard: of }: CaughtPhrase,
  take: CaughtTake,
  unsure: readonly number[],
): readonly DrawnNote[] {
  const key = (n: HeardNote) => `${n.onset} ${n.pitch}`;
  const names = new Map(
    notesOf(phrase).flatMap(({ note }) => {
      const heard = of.get(note.id);
      return heard === undefined || note.kind !== 'pitched'
        ? []
        : [[key(heard), TYPESET.pitch(note.pitch)] as const];
    }),
  );
  return take.notes.flatMap((heard, index) =>
    heard.onset < from - 0.1 || heard.onset > to
      ? []
      : [
          {
            index,
            heard,
            name: names.get(key(heard)) ?? '',
            unsure: unsure.includes(index),
          },
        ],
  );
}

import { memo, useCallback, useMemo, useSyncExternalStore } from 'react';
import { cannot } from '../../core/edit/outcome';
import type { HeardNote } from '../../core/heard/types';
import { notesOf } from '../../core/phrase/walk';
import type { LikeOne } from '../../core/search/finder';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { typesetText } from '../../io/text/signs';
import { useApp } from '../frame/app-context';
import { nextSteps, redoInShort, undoWords } from '../frame/edits';
import { keepAsNew } from '../frame/keep-as-new';
import { isPlayed, subscribeToPlayer } from '../frame/listen/playing';
import { usePlayer } from '../frame/listen/use-player';
import { beatsAlong } from '../frame/recording/beats-along';
import type { DrawnNote } from '../frame/recording/note-names';
import { PitchPicture, writtenAs } from '../frame/recording/pitch-picture';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { warningsOf } from '../frame/writing/warnings';
import { WhereLine } from '../frame/writing/where-line';
import { WriteScore } from '../frame/writing/write-score';
import { SILENT, Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import { CalledFields } from './called';
import { soundKey } from './corrections';
import { DoubleOf } from './doubles';
import { HearBoth } from './hear-both';
import { useRecording } from './hear-recording';
import { useInTurn } from './in-turn';
import { type BackAlong, type KeptBefore, keepCaught, remember } from './keep-caught';
import type { CaughtTake } from './messages';
import { notesAlong } from './notes-along';
import { doubtSign, doubtsBySound } from './rhythm-doubts';
import { SURE } from './use-asking';
import type { CatchWriter } from './use-corrections';
import type { Sound, UseEar } from './use-ear';
import { type ToKeep, useOnce } from './with-recording';

interface CaughtProps {
  /** Its number among those of the take. */
  readonly index: number;
  /** As it stands, corrections included. */
  readonly caught: CaughtPhrase;
  readonly writer: CatchWriter;
  /** Keys of the page that go before those of the editor, in the phrase of this number. */
  readonly onKey: (index: number, name: string) => boolean;
  /** Whether it is this phrase that is corrected now. */
  readonly active: boolean;
  readonly scoreId: string;
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly render: UseEar['render'];
  readonly unsure: readonly number[];
  readonly chosen: number | null;
  readonly onChoose: (index: number) => void;
  /** Whether the space bar plays this one: of several the one that was heard last. */
  readonly space: boolean;
  readonly onHear: (index: number) => void;
  readonly route: RouteOf<'catch'>;
  /** What the library has that is like it. */
  readonly double: LikeOne | null;
  /** Keeps how phrases were played, with their recordings where that is asked for. */
  readonly keepPlayed: (all: readonly ToKeep[]) => Promise<BackAlong>;
  /** What was kept from this page already. */
  readonly kept: KeptBefore;
}

/**
 * One phrase that was caught: its picture and score, what it sounds like, what it may have been played over. Of a long take
 * each is drawn in its turn.
 */
export const Caught = memo(function Caught(props: CaughtProps) {
  const { ref, now, isDue } = useInTurn<HTMLElement, CaughtProps>(props.take, props, props.active);
  const title = titleOf((now ?? props).caught.phrase);
  const waits = now === null ? ' caught-waiting' : '';
  return (
    // What is still that of before can be read and not used.
    <section ref={ref} className={`caught${waits}`} aria-label={title} inert={!isDue}>
      <h3>{title}</h3>
      {now === null ? null : <Drawn {...now} />}
    </section>
  );
});

function Drawn(props: CaughtProps) {
  const { index, caught, writer, take, sound, unsure, chosen, onChoose, space, route } = props;
  const { phrase, from, to } = caught;
  const app = useApp();
  const keep = useOnce(async () => {
    // Of several the others are still to be looked at.
    const alone = take.phrases.length === 1;
    const keepPlayed = (id: string) => props.keepPlayed([{ caught, id }]);
    if (alone && !props.kept.has(phrase.id)) {
      await keepPlayed(phrase.id);
      if (!(await keepAsNew(app, phrase, route, writer.history))) return;
      return remember(app, [{ caught: phrase, phrase, history: writer.history }], props.kept);
    }
    const histories = new Map([[phrase.id, writer.history]]);
    const before = (ids: ReadonlyMap<unknown, string>) => keepPlayed(ids.get(phrase)!);
    if ((await keepCaught(app, [phrase], histories, props.kept, before)) && alone) {
      const id = props.kept.get(phrase.id)?.phrase.id ?? phrase.id;
      navigate({ page: 'phrase', id, query: {} });
    }
  });
  const player = usePlayer(phrase);
  const recording = useRecording(sound);
  // Notes of different phrases have the same ids: only those of the one that is heard are marked.
  const heard = useSyncExternalStore(subscribeToPlayer, () => isPlayed(phrase.id));
  const { tone } = player.listening;
  const { render } = props;
  const besideOf = useCallback(async () => {
    if (sound === null) return null;
    const samples = await render(phrase, tone === 'own' ? null : tone, sound.rate);
    return samples === null ? null : { samples, begin: caught.begin };
  }, [render, phrase, tone, sound, caught.begin]);
  const position = recording.playing === null ? null : recording.position;
  const sounding = useMemo(
    () => (position === null ? SILENT : notesAlong(caught.heard, position)),
    [caught.heard, position],
  );
  const { onHear } = props;
  const hears = useCallback(() => onHear(index), [onHear, index]);
  return (
    <>
      <LeftOut notes={caught.notes} />
      {props.double === null ? null : <DoubleOf double={props.double} caught={phrase} />}
      <Picture
        caught={caught}
        take={take}
        unsure={unsure}
        chosen={chosen}
        position={position}
        onChoose={onChoose}
      />
      <Sounding value={heard ? player.heard : sounding}>
        <Correcting
          index={index}
          writer={writer}
          onKey={props.onKey}
          active={props.active}
          scoreId={props.scoreId}
        />
      </Sounding>
      <CalledFields meta={phrase.meta} onCall={writer.callIt} />
      <p className="buttons">
        <HearBoth
          player={player}
          heard={heard}
          space={space}
          scoreId={props.scoreId}
          onHear={hears}
          recording={sound === null ? null : recording}
          beside={besideOf}
          from={from}
          to={to}
        />
        <button type="button" className="strong" onClick={keep}>
          Keep it as a phrase
        </button>
      </p>
    </>
  );
}

type PictureProps = Pick<CaughtProps, 'caught' | 'take' | 'unsure' | 'chosen' | 'onChoose'> & {
  readonly position: (() => number | null) | null;
};

/** The phrase as it was played, under the bars and beats in which it is written. */
function Picture({ caught, take, unsure, chosen, position, onChoose }: PictureProps) {
  const { phrase, from, to, begin } = caught;
  const { bars } = take;
  const beats = useMemo(() => beatsAlong(phrase, bars, begin, to), [phrase, bars, begin, to]);
  const drawn = useMemo(() => drawnNotes(caught, take, unsure), [caught, take, unsure]);
  return (
    <PitchPicture
      from={Math.max(0, from - 0.2)}
      to={to}
      beats={beats}
      notes={drawn}
      chosen={chosen}
      position={position}
      label={`Pitch over time of ${titleOf(phrase)}, with ${drawn.length} notes`}
      onChoose={onChoose}
    />
  );
}

/** What was heard and is in no note of the phrase. */
function LeftOut({ notes }: Pick<CaughtPhrase, 'notes'>) {
  const dropped = notes.filter((n) => n.kind === 'dropped');
  if (dropped.length === 0) return null;
  const words = dropped.map((n) => {
    const at = n.bar === undefined ? '' : ` (bar ${n.bar}${n.count > 1 ? ` and others` : ''})`;
    return `${typesetText(n.message)}${at}`;
  });
  return <p className="quiet">Left out: {words.join('; ')}.</p>;
}

/** A command that has to be told something in words has its dialog on the page for writing. */
const LATER = 'it is told in words; keep the phrase, and do it on its own page';

type CorrectingProps = Pick<CaughtProps, 'index' | 'writer' | 'onKey' | 'active' | 'scoreId'>;

/** The score, with the keys of the page for writing. */
const Correcting = memo(function Correcting(props: CorrectingProps) {
  // At first what stands around it is drawn, then the music.
  const { ref, now } = useInTurn<HTMLDivElement, CorrectingProps>(SCORE, props, props.active);
  return <div ref={ref}>{now === null ? <NotYet /> : <Score {...now} />}</div>;
});

/** Any score: a new one of the same phrase waits no more. */
const SCORE = {};

function NotYet() {
  return <div className="score-waiting" aria-hidden="true" />;
}

function Score(props: CorrectingProps) {
  const { index, writer, onKey, active, scoreId } = props;
  const { phrase } = writer.state;
  const warnings = useMemo(() => warningsOf(phrase), [phrase]);
  const { undo, redo } = nextSteps(writer.history);
  const where = `${scoreId}-where`;
  return (
    <>
      <WriteScore
        writer={writer}
        onKey={(name) => onKey(index, name)}
        onAsk={(command) =>
          void writer.take(() => cannot(LATER), { command: command.id, label: command.title })
        }
        choosing={false}
        warnings={warnings}
        spoken={phrase}
        staves="both"
        degrees="chord"
        whereId={where}
        id={scoreId}
      />
      {active && <WhereLine writer={writer} warnings={warnings} id={where} />}
      {undo === null && redo === null ? null : (
        <p className="buttons">
          <button type="button" disabled={undo === null} onClick={writer.undo}>
            {undo === null ? 'Undo' : undoWords(undo)}
          </button>
          {redo === null ? null : (
            <button type="button" onClick={writer.redo}>
              {redoInShort(redo)}
            </button>
          )}
        </p>
      )}
    </>
  );
}

/** Whether a note of the recording is drawn with a phrase. */
export function liesIn({ from, to }: Pick<CaughtPhrase, 'from' | 'to'>, note: HeardNote): boolean {
  return note.onset >= from - 0.1 && note.onset <= to;
}

/** The notes of the recording that lie in a phrase, with what they are written as. */
function drawnNotes(
  { phrase, from, to, heard: of, doubts: own }: CaughtPhrase,
  take: CaughtTake,
  unsure: readonly number[],
): readonly DrawnNote[] {
  const names = new Map(
    notesOf(phrase).flatMap(({ note }) => {
      const heard = of.get(note.id);
      return heard === undefined || note.kind !== 'pitched'
        ? []
        : [[soundKey(heard), writtenAs(note)] as const];
    }),
  );
  const doubts = doubtsBySound([{ doubts: own, heard: of }]);
  const signOf = (heard: HeardNote) => {
    const doubt = doubts.get(soundKey(heard));
    return doubt === undefined || doubt.taken || heard.confidence < SURE ? '?' : doubtSign(doubt);
  };
  return take.notes.flatMap((heard, index) =>
    !liesIn({ from, to }, heard)
      ? []
      : [
          {
            index,
            heard,
            name: names.get(soundKey(heard)) ?? '',
            unsure: unsure.includes(index),
            sign: signOf(heard),
          },
        ],
  );
}

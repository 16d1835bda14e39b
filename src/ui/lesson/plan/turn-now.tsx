import { useEffect, useMemo, useRef, useState } from 'react';
import { nextStep, type Standing } from '../../../core/plan/due';
import type { StepTake } from '../../../core/plan/ladder';
import { WENT, type Went } from '../../../core/plan/types';
import { typesetText } from '../../../io/text/signs';
import { usualView } from '../../../publish/degree-labels';
import { useActions } from '../../frame/app-context';
import { BandChoice } from '../../frame/listen/band-choice';
import { ListenBar } from '../../frame/listen/listen-bar';
import { listeningNow, setListening } from '../../frame/listen/listening';
import { StretchFields, useStretch } from '../../frame/listen/stretch-fields';
import { type UsePlayer, usePlayer, useStep } from '../../frame/listen/use-player';
import { PracticePanel } from '../../frame/practice/panel-on-demand';
import { usePracticeActions } from '../../frame/practice/practice-actions';
import { analysisOf } from '../../score/analysis';
import { ScoreView } from '../../score/score-view';
import { SILENT, Sounding } from '../../score/sounding';
import { useKept } from '../../shared/use-kept';
import { capital, keyName } from '../../shared/words';
import { placeWords, tempoWords, WENT_MEANS, WENT_WORDS, whyWords } from './plan-words';
import { type TurnMusic, turnMusic } from './turn-music';
import type { PlanNow } from './use-plan';

interface Props {
  readonly now: PlanNow;
  readonly standing: Standing;
  /** What the item is called. */
  readonly name: string;
  /** `Again today.`; empty for the first time. */
  readonly time: string;
  /** Somebody has tapped here before: where the focus went with what was tapped, it comes here. */
  readonly follows: boolean;
  readonly onWent: (step: StepTake, went: Went) => void;
}

/** What is practised at this moment: the music, to be read and heard, and how it went. */
export function TurnNow({ now, standing, name, time, follows, onWent }: Props) {
  const { plan, lesson, today } = now;
  // It stays what it was when it came, until somebody says how it went.
  const [at] = useState(() => nextStep(plan, standing));
  const { item } = standing;
  const music = useMemo(
    () => (lesson === null ? null : turnMusic(lesson, item, at)),
    [lesson, item, at],
  );
  if (music === null) return null;
  return (
    <section className="turn" aria-labelledby="turn-name">
      <TurnHeading follows={follows}>{name}</TurnHeading>
      <p className="turn-how">
        <strong>{tempoWords(music.heard, at.step.speed)}</strong>
        {at.step.goal === null ? null : (
          <>
            , <strong>{placeWords(at.step)}</strong>
          </>
        )}
        {'. '}
        {time === '' ? whyWords(standing, today) : time}
      </p>
      {at.leftOut.map((o) => (
        <p key={o.goal.text} className="quiet">
          Left out: {typesetText(o.goal.text)} ({o.why}).
        </p>
      ))}
      {at.take.changes.length === 0 ? null : (
        <details className="quiet">
          <summary>What was not simply moved</summary>
          <ul>
            {at.take.changes.map((c) => (
              <li key={c.text}>{capital(c.text)}.</li>
            ))}
          </ul>
        </details>
      )}
      {music.trouble === null ? null : <p className="problem">{music.trouble}</p>}
      {item.item.todo === undefined ? null : <p className="turn-todo">{item.item.todo}</p>}
      <TurnMusicView music={music} speed={at.step.speed} name={name} />
      <WentButtons onWent={(went) => onWent(at, went)} />
    </section>
  );
}

const HEADING = 'turn-name';

/** Takes the focus to what stands over the turn. */
export const goToTurn = (): void => document.getElementById(HEADING)?.focus();

/** What stands over a turn; it takes the focus that went with the turn before. */
export function TurnHeading(props: { readonly follows: boolean; readonly children: string }) {
  const { follows, children } = props;
  const heading = useRef<HTMLHeadingElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when it comes.
  useEffect(() => {
    const held = document.activeElement;
    if (follows && (held === null || held === document.body)) heading.current?.focus();
  }, []);
  return (
    <h2 id={HEADING} ref={heading} tabIndex={-1}>
      {children}
    </h2>
  );
}

function TurnMusicView(props: {
  readonly music: TurnMusic;
  readonly speed: number;
  readonly name: string;
}) {
  const { music, speed, name } = props;
  const { answer, asked } = music;
  const [seen, setSeen] = useState(false);
  usePlayedAs(music, speed);
  const bars = useStretch(music.heard);
  const player = usePlayer(music.heard, bars.stretch);
  const { stretch } = bars;
  const [open, setOpen] = useKept('plan.practice', false);
  usePracticeActions(player, stretch, open, setOpen);
  const shown = answer !== null && seen ? answer : music.printed;
  const degrees = useMemo(() => asked ?? usualView(analysisOf(shown)), [asked, shown]);
  return (
    <>
      <TurnScore
        music={{ ...music, printed: shown }}
        player={player}
        degrees={asked !== null && !seen ? 'off' : degrees}
        name={name}
      />
      {music.missing === null || seen ? null : <p className="quiet">{music.missing}</p>}
      {answer === null ? null : (
        <button type="button" onClick={() => setSeen(!seen)}>
          {seen ? 'Hide the answer' : 'See the answer'}
        </button>
      )}
      <ListenBar
        player={player}
        more={
          <>
            {open ? null : (
              <button
                type="button"
                onClick={() =>
                  player.way === 'practise'
                    ? player.stop()
                    : player.play({ kind: 'practise', stretch })
                }
              >
                {player.way === 'practise' ? 'Stop' : 'Round and round, with the metronome'}
              </button>
            )}
            <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
              How it is practised
            </button>
          </>
        }
      >
        <StretchFields of={bars} />
        <BandChoice player={player} />
      </ListenBar>
      {open ? <PracticePanel phrase={music.heard} player={player} stretch={stretch} /> : null}
    </>
  );
}

/** While this is shown it is heard at its tempo; what was chosen elsewhere is there again afterwards. */
function usePlayedAs({ cycle, gap }: TurnMusic, speed: number): void {
  useEffect(() => {
    const { speed: usual, practice } = listeningNow();
    const { cycle: elsewhere, stepUp, answer } = practice;
    const own = { cycle, stepUp: null, answer: gap };
    setListening({ speed, practice: { ...practice, ...own } });
    return () => {
      const back = { cycle: elsewhere, stepUp, answer };
      setListening({ speed: usual, practice: { ...listeningNow().practice, ...back } });
    };
  }, [cycle, gap, speed]);
}

/** The music; in the key of the round, where an exercise leads through several. */
function TurnScore(props: {
  readonly music: TurnMusic;
  readonly player: UsePlayer;
  readonly degrees: 'chord' | 'key' | 'off';
  readonly name: string;
}) {
  const { music, player, degrees, name } = props;
  const step = useStep();
  const moved = player.way === 'practise' && step?.take.goal != null ? step.take : null;
  return (
    <Sounding value={player.way === null ? SILENT : player.heard}>
      {moved === null ? null : (
        <p className="quiet">
          {moved.goal?.kind === 'key' ? keyName(moved.phrase.key) : typesetText(moved.goal!.text)}
        </p>
      )}
      <ScoreView
        phrase={moved?.phrase ?? music.printed}
        label={`Notes of ${name}`}
        degrees={degrees}
      />
    </Sounding>
  );
}

const KEYS: Readonly<Record<Went, string>> = { 'not yet': 'Alt+J', nearly: 'Alt+K', sits: 'Alt+L' };

/** How it went, in one tap or key. */
function WentButtons({ onWent }: { readonly onWent: (went: Went) => void }) {
  useActions(
    useMemo(
      () =>
        WENT.map((went) => ({
          id: `turn.${went}`,
          title: `Say how it went: ${WENT_WORDS[went].toLowerCase()}`,
          group: 'Practice plan',
          words: 'done next answer good bad',
          key: KEYS[went],
          run: () => onWent(went),
        })),
      [onWent],
    ),
  );
  return (
    // biome-ignore lint/a11y/useSemanticElements: a legend cannot stand beside its fields.
    <div className="went" role="group" aria-label="How did it go?">
      <p aria-hidden="true">How did it go?</p>
      {WENT.map((went) => (
        <button
          key={went}
          type="button"
          aria-keyshortcuts={KEYS[went]}
          onClick={() => onWent(went)}
        >
          <span>
            <b>{WENT_WORDS[went]}</b> <span className="went-means">{WENT_MEANS[went]}</span>
          </span>
          <kbd>{KEYS[went]}</kbd>
        </button>
      ))}
    </div>
  );
}

import { useMemo } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import type { Step, Take } from '../../../core/practice/types';
import { type ScoreLook, ScoreView } from '../../score/score-view';
import { SILENT, Sounding } from '../../score/sounding';
import { titleOf } from '../../shared/facts';
import { type UsePlayer, useStep } from '../listen/use-player';
import { takeName } from './practice-words';

interface Props extends Pick<ScoreLook, 'staves' | 'degrees'> {
  readonly phrase: Phrase;
  readonly player: UsePlayer;
}

/**
 * The score, in the key in which it is heard. While it is practised through keys the next one stands
 * beneath, drawn before it is needed: at its first beat it only takes the place of the one above.
 */
export function PracticeScore({ phrase, player, ...look }: Props) {
  const step = useStep();
  const takes = player.way === 'practise' && step !== null ? shownOf(step) : null;
  if (takes === null) {
    return (
      <Sounding value={player.heard}>
        <ScoreView phrase={phrase} label={`Notes of ${titleOf(phrase)}`} {...look} />
      </Sounding>
    );
  }
  return takes.map((take, i) => (
    <Sounding key={take.goal?.text ?? ''} value={i === 0 ? player.heard : SILENT}>
      <div className={i === 0 ? 'practice-score' : 'practice-score practice-score-next'}>
        <p className="practice-score-name">
          {i === 0 ? 'Now' : 'Next'}: {takeName(take)}
        </p>
        <TakeScore take={take} feel={phrase.feel} look={look} />
      </div>
    </Sounding>
  ));
}

/** What is shown while one practises: nothing else than usual where all rounds are alike. */
function shownOf(s: Step): readonly Take[] | null {
  if (s.take.goal === null && (s.next === null || s.next === s.take)) return null;
  return s.next === null || s.next.goal?.text === s.take.goal?.text ? [s.take] : [s.take, s.next];
}

/** A swing that was found by ear is heard, and not written. */
function TakeScore(props: {
  readonly take: Take;
  readonly feel: Phrase['feel'];
  readonly look: Pick<ScoreLook, 'staves' | 'degrees'>;
}) {
  const { take, feel, look } = props;
  const shown = useMemo(() => ({ ...take.phrase, feel }), [take, feel]);
  return <ScoreView phrase={shown} label={`Notes in ${takeName(take)}`} {...look} />;
}

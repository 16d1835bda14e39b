import type { Phrase } from '../../../core/phrase/types';
import type { Stretch } from '../../../core/practice/types';
import { PART_NAMES } from '../../../core/sound/parts';
import { MidiFields } from '../listen/midi-fields';
import { type UsePlayer, useStep } from '../listen/use-player';
import { BandFields } from './band-fields';
import { MixerFields } from './mixer-fields';
import { PracticeFields, Row } from './practice-fields';
import './practice.css';
import { nextWords, stepWords } from './practice-words';
import { TunerFields } from './tuner-fields';

export interface PracticePanelProps {
  readonly phrase: Phrase;
  readonly player: UsePlayer;
  readonly stretch: Stretch | null;
}

/** Everything about practising the phrase, row by row, and what is going on while one does. */
export function PracticePanel({ phrase, player, stretch }: PracticePanelProps) {
  const { state, way, listening, set } = player;
  const practising = way === 'practise';
  const { practice } = listening;
  const step = useStep();
  const byWord = practice.stepUp?.after === 'a good round';
  return (
    <section className="practice" aria-label="Practice">
      <div className="practice-head">
        <button
          type="button"
          className="primary"
          onClick={() => (practising ? player.stop() : player.play({ kind: 'practise', stretch }))}
        >
          {practising
            ? state === 'starting'
              ? 'One moment'
              : 'Stop practising'
            : 'Begin to practise'}
        </button>
        {practising ? (
          <button type="button" onClick={player.skip} aria-keyshortcuts="Alt+N">
            Next round <kbd>Alt+N</kbd>
          </button>
        ) : null}
        {practising && byWord ? <GoodButton player={player} /> : null}
        <p role="status" className="practice-now">
          {practising && step !== null ? (
            <>
              {stepWords(step, practice.cycle.kind !== 'same')}
              {nextWords(step) === null ? null : (
                <span className="practice-next"> {nextWords(step)}.</span>
              )}
            </>
          ) : null}
        </p>
      </div>
      <PracticeFields
        phrase={phrase}
        practice={practice}
        speed={listening.speed}
        set={(part) => set({ practice: { ...practice, ...part } })}
      />
      <div className="practice-rows">
        {listening.band === null ? null : (
          <Row name="Band">
            <BandFields phrase={phrase} band={listening.band} onChange={(band) => set({ band })} />
          </Row>
        )}
        <Row name="Levels">
          <MixerFields
            parts={listening.band === null ? ALONE : PART_NAMES}
            mix={listening.mix}
            onChange={(mix) => set({ mix })}
          />
        </Row>
        <Row name="Heard">
          <MidiFields />
        </Row>
        <Row name="Tuning">
          <TunerFields phrase={phrase} player={player} />
        </Row>
      </div>
      {/* Over and over it stands with what is heard, just above. */}
      {!listening.loop && (
        <p className="quiet practice-care">
          Keep the volume moderate. Warm up, take breaks, and stop when it hurts: ask a teacher or a
          clinician.
        </p>
      )}
    </section>
  );
}

const ALONE = ['phrase', 'click'] as const;

/** Says that the round that is heard was good: the next one is faster. */
function GoodButton({ player }: { readonly player: UsePlayer }) {
  return (
    <button type="button" onClick={player.good} aria-keyshortcuts="Alt+G">
      That was good: faster <kbd>Alt+G</kbd>
    </button>
  );
}

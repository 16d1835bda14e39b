import { useMemo } from 'react';
import { chordsOfLane } from '../../../core/neck/neck-views';
import type { CountsFrom } from '../../../core/neck/on-neck';
import { indexFingerFret } from '../../../core/neck/positions';
import { playableFrets } from '../../../core/phrase/instrument';
import type { Phrase } from '../../../core/phrase/types';
import { drawNeck } from '../../../engrave/neck/picture';
import { analysisOf } from '../../score/analysis';
import { System } from '../../score/system';
import { useLeftHanded } from '../../shared/use-left-handed';
import type { NeckChoice } from './neck-choice';
import { NeckFigures } from './neck-figures';
import { viewOf } from './neck-view';
import { chordsAlong, SetOver } from './over-chords';
import './neck-board.css';
import './shape-panel.css';

interface NeckOnPaperProps {
  readonly phrase: Phrase;
  readonly degrees: CountsFrom;
  readonly choice: NeckChoice;
}

/** The neck as it was chosen beside the score, on paper: the phrase, a chord, a scale, a set of shapes. */
export function NeckOnPaper({ phrase, degrees, choice }: NeckOnPaperProps) {
  if (choice.show === 'phrase') return <NeckFigures phrase={phrase} degrees={degrees} />;
  if (choice.show === 'shapes') return <ShapesOnPaper phrase={phrase} choice={choice} />;
  return <OneNeck phrase={phrase} degrees={degrees} choice={choice} />;
}

function OneNeck({ phrase, degrees, choice }: NeckOnPaperProps) {
  const [leftHanded] = useLeftHanded();
  const { svg, width } = useMemo(() => {
    const { view, of } = viewOf(phrase, choice, degrees, leftHanded);
    return drawNeck({ ...view, narrow: false, title: of });
  }, [phrase, choice, degrees, leftHanded]);
  return (
    <div className="neck-figures" aria-hidden="true">
      <div className="neck-picture" style={{ width: `${width / 16}rem` }}>
        <System svg={svg} />
      </div>
    </div>
  );
}

/** The same set of shapes over each chord in one area. */
function ShapesOnPaper({ phrase, choice }: Omit<NeckOnPaperProps, 'degrees'>) {
  const [leftHanded] = useLeftHanded();
  const { chords, near } = useMemo(() => {
    const lane = chordsOfLane(analysisOf(phrase));
    const fret = Math.min(choice.near ?? indexFingerFret(phrase), playableFrets(phrase.instrument));
    return { chords: chordsAlong(phrase, lane, choice).chords, near: fret };
  }, [phrase, choice]);
  return (
    <div className="shapes-on-paper">
      <SetOver
        phrase={phrase}
        chords={chords}
        choice={{ ...choice, near }}
        leftHanded={leftHanded}
      />
    </div>
  );
}

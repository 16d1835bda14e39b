import { useMemo } from 'react';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import type { Phrase } from '../../../core/phrase/types';
import { type ShapeOfChord, shapesAsPhrase } from '../../../core/shapes/as-phrase';
import type { ChordShape } from '../../../core/shapes/types';
import { type Chord, chordSign } from '../../../core/theory/chord';
import { degreeSign } from '../../../core/theory/degree';
import { drawNeck } from '../../../engrave/neck/picture';
import { useApp } from '../app-context';
import { useHearing } from '../listen/use-player';
import { NeckBoard } from './neck-board';
import type { NeckChoice } from './neck-choice';
import { toneText } from './neck-words';
import { chordsAlong, followed, OverChords, type ShapeChoice } from './over-chords';
import { PutIn } from './put-in';
import { shapeWords } from './shape-words';

/** The chosen shape on the neck with what lies around it, and what can be done with it. */
export function ChosenShape(props: {
  readonly phrase: Phrase;
  readonly chord: Chord;
  readonly shape: ChordShape;
  readonly lane: readonly Chord[];
  readonly choice: ShapeChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly leftHanded: boolean;
  readonly onShape?: (next: Phrase, words: string) => void;
}) {
  const { phrase, chord, shape, lane, choice, onChoose, leftHanded, onShape } = props;
  const { instrument } = phrase;
  const app = useApp();
  const { hear } = useHearing();
  const picture = useMemo(
    () => drawShape(instrument, shape, leftHanded),
    [instrument, leftHanded, shape],
  );
  const asPhrase = (list: readonly ShapeOfChord[], slideIn: boolean) =>
    shapesAsPhrase(list, {
      id: 'shapes',
      now: app.now(),
      instrument,
      key: phrase.key,
      tempo: phrase.tempo,
      title: '',
      slideIn,
    });
  const along = useMemo(() => chordsAlong(phrase, lane, choice), [phrase, lane, choice]);
  const over = useMemo(
    () => followed(instrument, along.chords, { chord, shape }),
    [instrument, along, chord, shape],
  );
  return (
    <div className="shape-chosen">
      <NeckBoard
        picture={picture}
        label={`Shape of ${chordSign(chord)} on the neck`}
        nameOf={(m) => toneText(m, chord.root, chordSign(chord))}
        chosen={null}
        onChoose={(m) => {
          const tone = shape.tones.filter((t) => keyOf(t) === keyOf(m));
          hear(asPhrase([{ chord, shape: { ...shape, tones: tone } }], false));
        }}
      />
      <p>
        {shapeWords(shape)}
        {shape.neighbours.length === 0 ? '' : ' In outline: what lies around it.'}
      </p>
      <HearShape
        slideIn={shape.slideIn}
        over={over.length < 2 ? null : along.words}
        onHear={(what) => {
          const one = [{ chord, shape }];
          hear(what === 'over' ? asPhrase(over, false) : asPhrase(one, what === 'slid into'));
        }}
      />
      {onShape === undefined ? null : (
        <PutIn
          phrase={phrase}
          chord={chord}
          clip={asPhrase([{ chord, shape }], false)}
          onShape={onShape}
        />
      )}
      <OverChords
        phrase={phrase}
        over={over}
        along={along}
        choice={choice}
        onChoose={onChoose}
        leftHanded={leftHanded}
      />
    </div>
  );
}

/** The ways to hear a shape. */
function HearShape(props: {
  readonly slideIn: boolean;
  /** What it is followed over; null where it is followed nowhere. */
  readonly over: string | null;
  readonly onHear: (what: 'alone' | 'slid into' | 'over') => void;
}) {
  const { slideIn, over, onHear } = props;
  return (
    <p className="buttons">
      <button type="button" onClick={() => onHear('alone')}>
        Hear it
      </button>
      {slideIn ? (
        <button type="button" onClick={() => onHear('slid into')}>
          Hear it slid into
        </button>
      ) : null}
      {over === null ? null : (
        <button type="button" onClick={() => onHear('over')}>
          Hear it over {over}
        </button>
      )}
    </p>
  );
}

/** The shape with its neighbours, a few frets around. */
function drawShape(instrument: Phrase['instrument'], shape: ChordShape, leftHanded: boolean) {
  const marks = shape.tones.map((t) => markOf(t));
  const around = shape.neighbours.map((n) => markOf(n));
  const open = shape.tones.some((t) => t.fret === 0);
  return drawNeck({
    instrument,
    leftHanded,
    narrow: matchMedia('(width < 40rem)').matches,
    content: { marks, moments: [shape.tones] },
    before: { content: { marks: around, moments: [] }, arrows: [] },
    frets: [open ? 0 : Math.max(0, shape.fret - 2), shape.fret + 6],
  });
}

function markOf({
  string,
  fret,
  degree,
}: ChordShape['tones'][number] | ChordShape['neighbours'][number]): NeckMark {
  return { string, fret, labels: [{ text: degreeSign(degree), degree }], order: [], ids: [] };
}

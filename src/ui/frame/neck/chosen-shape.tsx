import { useMemo } from 'react';
import { putBehind } from '../../../core/edit/put-behind';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import type { Phrase } from '../../../core/phrase/types';
import { type ShapeOfChord, shapesAsPhrase } from '../../../core/shapes/as-phrase';
import { followShape } from '../../../core/shapes/follow';
import type { ChordShape } from '../../../core/shapes/types';
import { type Chord, chordSign, formatChord } from '../../../core/theory/chord';
import { degreeSign } from '../../../core/theory/degree';
import { drawNeck } from '../../../engrave/neck/picture';
import { useApp } from '../app-context';
import { useHearing } from '../listen/use-player';
import { NeckBoard } from './neck-board';
import { toneText } from './neck-words';
import { ShapeFigure } from './shape-figure';
import { shapeWords } from './shape-words';

/** The chosen shape on the neck with what lies around it, and what can be done with it. */
export function ChosenShape(props: {
  readonly phrase: Phrase;
  readonly chord: Chord;
  readonly shape: ChordShape;
  readonly lane: readonly Chord[];
  readonly leftHanded: boolean;
  readonly onShape?: (next: Phrase, words: string) => void;
}) {
  const { phrase, chord, shape, lane, leftHanded, onShape } = props;
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
  const over = useMemo(
    () => shapesOver(instrument, lane, { chord, shape }),
    [instrument, lane, chord, shape],
  );
  const putIn = () => {
    const put = putBehind(phrase, asPhrase([{ chord, shape }], false), formatChord(chord));
    if (put.ok) onShape?.(put.value, `The shape of ${chordSign(chord)} stands behind the phrase.`);
    else app.notices.trouble(`It could not be put in: ${put.problems[0]!.message}.`);
  };
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
      <p className="buttons">
        <button type="button" onClick={() => hear(asPhrase([{ chord, shape }], false))}>
          Hear it
        </button>
        {shape.slideIn ? (
          <button type="button" onClick={() => hear(asPhrase([{ chord, shape }], true))}>
            Hear it slid into
          </button>
        ) : null}
        {over.length < 2 ? null : (
          <button type="button" onClick={() => hear(asPhrase(over, false))}>
            Hear it over the lane
          </button>
        )}
        {onShape === undefined ? null : (
          <button type="button" onClick={putIn}>
            Put it behind the phrase
          </button>
        )}
      </p>
      {over.length < 2 ? null : <OverLane phrase={phrase} over={over} leftHanded={leftHanded} />}
    </div>
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

/** The shape, and what it becomes over each other chord of the lane. */
function shapesOver(
  instrument: Phrase['instrument'],
  lane: readonly Chord[],
  { chord, shape }: ShapeOfChord,
): readonly ShapeOfChord[] {
  return lane.flatMap((c): ShapeOfChord[] => {
    const next = formatChord(c) === formatChord(chord) ? shape : followShape(instrument, shape, c);
    return next === null ? [] : [{ chord: c, shape: next }];
  });
}

function OverLane(props: {
  readonly phrase: Phrase;
  readonly over: readonly ShapeOfChord[];
  readonly leftHanded: boolean;
}) {
  const { phrase, over, leftHanded } = props;
  return (
    <ul className="shapes" aria-label="Over the chords of the lane">
      {over.map((o) => (
        <li key={formatChord(o.chord)}>
          <strong>{chordSign(o.chord)}</strong>
          <ShapeFigure phrase={phrase} shape={o.shape} leftHanded={leftHanded} />
          <span className="unseen">{shapeWords(o.shape)}</span>
        </li>
      ))}
    </ul>
  );
}

function markOf({
  string,
  fret,
  degree,
}: ChordShape['tones'][number] | ChordShape['neighbours'][number]): NeckMark {
  return { string, fret, labels: [{ text: degreeSign(degree), degree }], order: [], ids: [] };
}

import { useMemo, useState } from 'react';
import { putBehind } from '../../../core/edit/put-behind';
import { chordsOfLane } from '../../../core/neck/neck-views';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import { indexFingerFret } from '../../../core/neck/positions';
import { playableFrets } from '../../../core/phrase/instrument';
import type { Phrase } from '../../../core/phrase/types';
import { type ShapeOfChord, shapesAsPhrase } from '../../../core/shapes/as-phrase';
import { findShapes, keyOfShape } from '../../../core/shapes/find';
import { followShape } from '../../../core/shapes/follow';
import { type ChordShape, SHAPE_KINDS, type ShapeKind } from '../../../core/shapes/types';
import { type Chord, chordSign, formatChord } from '../../../core/theory/chord';
import { degreeSign } from '../../../core/theory/degree';
import { parseChordOrRoman } from '../../../core/theory/roman';
import { drawNeck } from '../../../engrave/neck/picture';
import { drawUpright } from '../../../engrave/neck/upright';
import { analysisOf } from '../../score/analysis';
import { System } from '../../score/system';
import { capital, count } from '../../shared/words';
import { useApp } from '../app-context';
import { useHearing } from '../listen/use-player';
import { NeckBoard } from './neck-board';
import { FIRST_CHOICE, type NeckChoice } from './neck-choice';
import { toneText } from './neck-words';
import './shape-panel.css';

interface ShapePanelProps {
  readonly phrase: Phrase;
  readonly choice: NeckChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly leftHanded: boolean;
  readonly onShape?: (next: Phrase, words: string) => void;
}

const KIND_WORDS: Readonly<Record<ShapeKind, string>> = {
  'double stop': 'double stops',
  triad: 'triads',
  shell: 'shells (root, third, seventh)',
  'four-note': 'four notes',
};

/** So many are shown at once. */
const PAGE = 12;

/** The shapes of a chord around a fret: seen, heard, followed over the lane and put into the phrase. */
export function ShapePanel(props: ShapePanelProps) {
  const { phrase, choice, onChoose, leftHanded, onShape } = props;
  const { instrument, key } = phrase;
  const lane = useMemo(() => chordsOfLane(analysisOf(phrase)), [phrase]);
  const own = useMemo(() => indexFingerFret(phrase), [phrase]);
  const near = Math.min(choice.near ?? own, playableFrets(instrument));
  const typed = choice.over.trim();
  const read = typed === '' ? null : parseChordOrRoman(typed, key);
  const chord = read === null ? (lane[0] ?? null) : read.ok ? read.value : null;
  const { kind } = choice;
  const shapes = useMemo(
    () => (chord === null ? [] : findShapes(instrument, chord, { kinds: [kind], near })),
    [instrument, chord, kind, near],
  );
  const [most, setMost] = useState(PAGE);
  const [chosen, setChosen] = useState('');
  const shape = shapes.find((s) => keyOfShape(s) === chosen) ?? shapes[0] ?? null;
  return (
    <>
      <div className="neck-settings">
        <label>
          <span>Chord</span>
          <input
            type="text"
            className="shape-chord"
            value={choice.over}
            placeholder={lane[0] === undefined ? 'C7 or IV7' : chordSign(lane[0])}
            onChange={(e) => onChoose({ ...choice, over: e.target.value })}
          />
        </label>
        {lane.map((c) => (
          <button
            key={formatChord(c)}
            type="button"
            aria-pressed={chord !== null && formatChord(chord) === formatChord(c)}
            onClick={() => onChoose({ ...choice, over: formatChord(c) })}
          >
            {chordSign(c)}
          </button>
        ))}
        <label>
          <span>Shapes</span>
          <select
            value={kind}
            onChange={(e) =>
              onChoose({
                ...choice,
                kind: SHAPE_KINDS.find((k) => k === e.target.value) ?? FIRST_CHOICE.kind,
              })
            }
          >
            {SHAPE_KINDS.map((k) => (
              <option key={k} value={k}>
                {KIND_WORDS[k]}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Around fret</span>
          <input
            type="number"
            min={0}
            max={playableFrets(instrument)}
            value={near}
            onChange={(e) => onChoose({ ...choice, near: Number(e.target.value) })}
          />
        </label>
      </div>
      <p role="status">{statusOf(chord, read, typed, shapes.length, near)}</p>
      {chord === null || shape === null ? null : (
        <>
          <Chosen
            phrase={phrase}
            chord={chord}
            shape={shape}
            lane={lane}
            leftHanded={leftHanded}
            {...(onShape === undefined ? {} : { onShape })}
          />
          <ul className="shapes" aria-label={`Shapes of ${chordSign(chord)}`}>
            {shapes.slice(0, most).map((s) => (
              <li key={keyOfShape(s)}>
                <ShapeCard
                  phrase={phrase}
                  shape={s}
                  leftHanded={leftHanded}
                  pressed={s === shape}
                  onChoose={() => setChosen(keyOfShape(s))}
                />
              </li>
            ))}
          </ul>
          {shapes.length > most ? (
            <button type="button" onClick={() => setMost(most + PAGE)}>
              Show more of the {shapes.length}
            </button>
          ) : null}
        </>
      )}
    </>
  );
}

function statusOf(
  chord: Chord | null,
  read: ReturnType<typeof parseChordOrRoman> | null,
  typed: string,
  found: number,
  near: number,
): string {
  if (read !== null && !read.ok) return `${read.problems[0]!.message}.`;
  if (chord === null) return typed === '' ? 'Name a chord, such as C7 or IV7.' : '';
  const where = `around fret ${near}`;
  if (found === 0) return `${chordSign(chord)} has none ${where}: try another fret or kind.`;
  return `${count(found, 'shape')} of ${chordSign(chord)} ${where}.`;
}

/** The chosen shape on the neck with what lies around it, and what can be done with it. */
function Chosen(props: {
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
  const picture = useMemo(() => {
    const marks = shape.tones.map((t) => markOf(t));
    const around = shape.neighbours.map((n) => markOf(n));
    return drawNeck({
      instrument,
      leftHanded,
      narrow: matchMedia('(width < 40rem)').matches,
      content: { marks, moments: [shape.tones] },
      before: { content: { marks: around, moments: [] }, arrows: [] },
      frets: [Math.max(0, shape.fret - 2), shape.fret + 6],
    });
  }, [instrument, leftHanded, shape]);
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
    () =>
      lane.flatMap((c): ShapeOfChord[] => {
        const next =
          formatChord(c) === formatChord(chord) ? shape : followShape(instrument, shape, c);
        return next === null ? [] : [{ chord: c, shape: next }];
      }),
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
      {over.length < 2 ? null : (
        <ul className="shapes" aria-label="Over the chords of the lane">
          {over.map((o) => (
            <li key={formatChord(o.chord)}>
              <strong>{chordSign(o.chord)}</strong>
              <ShapeFigure phrase={phrase} shape={o.shape} leftHanded={leftHanded} />
              <span className="unseen">{shapeWords(o.shape)}</span>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

function ShapeCard(props: {
  readonly phrase: Phrase;
  readonly shape: ChordShape;
  readonly leftHanded: boolean;
  readonly pressed: boolean;
  readonly onChoose: () => void;
}) {
  const { phrase, shape, leftHanded, pressed, onChoose } = props;
  return (
    <button type="button" className="shape-card" aria-pressed={pressed} onClick={onChoose}>
      <ShapeFigure phrase={phrase} shape={shape} leftHanded={leftHanded} />
      <span>
        {shape.name}
        <span className="unseen">: {placesText(shape)}</span>
      </span>
    </button>
  );
}

function ShapeFigure(props: {
  readonly phrase: Phrase;
  readonly shape: ChordShape;
  readonly leftHanded: boolean;
}) {
  const { phrase, shape, leftHanded } = props;
  const { svg } = useMemo(
    () => drawUpright({ instrument: phrase.instrument, tones: shape.tones, leftHanded }),
    [phrase.instrument, shape, leftHanded],
  );
  return (
    <span className="shape-figure" aria-hidden="true">
      <System svg={svg} />
    </span>
  );
}

/** `strings 3 and 2, frets 4 and 3: 3 and 5`, from the lowest string on. */
function placesText(s: ChordShape): string {
  const low = [...s.tones].reverse();
  const list = (words: readonly (string | number)[]) =>
    `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
  const strings = list(low.map((t) => t.string));
  const frets = list(low.map((t) => (t.fret === 0 ? 'open' : t.fret)));
  return `strings ${strings}, frets ${frets}: ${list(low.map((t) => degreeSign(t.degree)))}`;
}

/** The same as a sentence with its name. */
function shapeWords(s: ChordShape): string {
  return `${capital(placesText(s))}, ${s.name}.`;
}

function markOf({
  string,
  fret,
  degree,
}: ChordShape['tones'][number] | ChordShape['neighbours'][number]): NeckMark {
  return { string, fret, labels: [{ text: degreeSign(degree), degree }], order: [], ids: [] };
}

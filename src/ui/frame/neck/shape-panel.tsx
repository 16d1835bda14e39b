import { useMemo, useState } from 'react';
import { chordsOfLane } from '../../../core/neck/neck-views';
import { indexFingerFret } from '../../../core/neck/positions';
import { playableFrets } from '../../../core/phrase/instrument';
import type { Phrase } from '../../../core/phrase/types';
import { findShapes, keyOfShape } from '../../../core/shapes/find';
import { type ChordShape, SHAPE_KINDS, type ShapeKind } from '../../../core/shapes/types';
import { type Chord, chordSign, formatChord } from '../../../core/theory/chord';
import { parseChordOrRoman } from '../../../core/theory/roman';
import { analysisOf } from '../../score/analysis';
import { count } from '../../shared/words';
import { ChosenShape } from './chosen-shape';
import { FIRST_CHOICE, type NeckChoice } from './neck-choice';
import { ShapeFigure } from './shape-figure';
import { placesText, stringsOf } from './shape-words';
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
  const frets = playableFrets(instrument);
  const near = Math.min(choice.near ?? own, frets);
  const typed = choice.over.trim();
  const read = typed === '' ? null : parseChordOrRoman(typed, key);
  const chord = read === null ? (lane[0] ?? null) : read.ok ? read.value : null;
  const { kind, strings } = choice;
  const all = useMemo(
    () => (chord === null ? [] : findShapes(instrument, chord, { kinds: [kind], near })),
    [instrument, chord, kind, near],
  );
  const shapes = strings === '' ? all : all.filter((s) => stringsOf(s) === strings);
  const [most, setMost] = useState(PAGE);
  const [chosen, setChosen] = useState('');
  const shape = shapes.find((s) => keyOfShape(s) === chosen) ?? shapes[0] ?? null;
  return (
    <>
      <Settings
        choice={choice}
        onChoose={onChoose}
        lane={lane}
        chord={chord}
        near={near}
        most={frets}
        sets={[...new Set(all.map(stringsOf))]}
      />
      <p role="status">{statusOf(chord, read, typed, shapes.length, choice, near)}</p>
      {chord === null || shape === null ? null : (
        <>
          <ChosenShape
            phrase={phrase}
            chord={chord}
            shape={shape}
            lane={lane}
            choice={{ ...choice, near }}
            onChoose={onChoose}
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

/** Which chord, what kind of shapes, and around which fret. */
function Settings(props: {
  readonly choice: NeckChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly lane: readonly Chord[];
  readonly chord: Chord | null;
  /** The fret, and the last one there is. */
  readonly near: number;
  readonly most: number;
  /** The strings on which there are shapes. */
  readonly sets: readonly string[];
}) {
  const { choice, onChoose, lane, chord, near, most, sets } = props;
  return (
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
          value={choice.kind}
          onChange={(e) =>
            onChoose({
              ...choice,
              strings: '',
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
        <span>On strings</span>
        <select
          value={choice.strings}
          onChange={(e) => onChoose({ ...choice, strings: e.target.value })}
        >
          <option value="">any</option>
          {[...new Set([...sets, ...(choice.strings === '' ? [] : [choice.strings])])].map((s) => (
            <option key={s} value={s}>
              {s.replaceAll(',', ', ')}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Around fret</span>
        <input
          type="number"
          min={0}
          max={most}
          value={near}
          onChange={(e) => onChoose({ ...choice, near: Number(e.target.value) })}
        />
      </label>
    </div>
  );
}

function statusOf(
  chord: Chord | null,
  read: ReturnType<typeof parseChordOrRoman> | null,
  typed: string,
  found: number,
  { strings }: NeckChoice,
  near: number,
): string {
  if (read !== null && !read.ok) return `${read.problems[0]!.message}.`;
  if (chord === null) return typed === '' ? 'Name a chord, such as C7 or IV7.' : '';
  const on = strings === '' ? '' : `on strings ${strings.replaceAll(',', ', ')} `;
  const where = `${on}around fret ${near}`;
  if (found === 0) {
    return `${chordSign(chord)} has none ${where}: try another fret, ${on === '' ? '' : 'other strings '}or another kind.`;
  }
  return `${count(found, 'shape')} of ${chordSign(chord)} ${where}.`;
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

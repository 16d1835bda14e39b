import { useMemo, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import type { ShapeOfChord } from '../../../core/shapes/as-phrase';
import { keyOfShape } from '../../../core/shapes/find';
import { followShape, shapesOver } from '../../../core/shapes/follow';
import { type Chord, chordSign, formatChord } from '../../../core/theory/chord';
import { parseChordOrRoman } from '../../../core/theory/roman';
import { quickChords } from '../../shared/destinations';
import { count } from '../../shared/words';
import type { NeckChoice } from './neck-choice';
import { ShapeFigure } from './shape-figure';
import { shapeWords } from './shape-words';

/** What is looked for, with the fret of the hand. */
export type ShapeChoice = NeckChoice & { readonly near: number };

/** The chords that the hand follows, and what they are called together. */
interface Along {
  readonly which: 'lane' | 'key';
  readonly chords: readonly Chord[];
  readonly words: string;
  /** What I, IV and V are called in the key of the phrase. */
  readonly keyWords: string;
}

/** The chords of the lane, or the key's I, IV and V: these where the lane has no two chords. */
export function chordsAlong(p: Phrase, lane: readonly Chord[], choice: NeckChoice): Along {
  const three = quickChords(p).slice(0, 3);
  const labels = three.map((c) => c.label);
  const keyWords = `${labels.slice(0, -1).join(', ')} and ${labels.at(-1)}`;
  const which = choice.along !== '' ? choice.along : lane.length > 1 ? 'lane' : 'key';
  if (which === 'lane') return { which, chords: lane, words: 'the lane', keyWords };
  const chords = three.flatMap((c) => {
    const read = parseChordOrRoman(c.text, p.key);
    return read.ok ? [read.value] : [];
  });
  return { which, chords, words: keyWords, keyWords };
}

/** The shape, and what it becomes over each other chord. */
export function followed(
  instrument: Phrase['instrument'],
  chords: readonly Chord[],
  { chord, shape }: ShapeOfChord,
): readonly ShapeOfChord[] {
  return chords.flatMap((c): ShapeOfChord[] => {
    const next = formatChord(c) === formatChord(chord) ? shape : followShape(instrument, shape, c);
    return next === null ? [] : [{ chord: c, shape: next }];
  });
}

interface OverChordsProps {
  readonly phrase: Phrase;
  readonly over: readonly ShapeOfChord[];
  readonly along: Along;
  readonly choice: ShapeChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly leftHanded: boolean;
}

/** The chosen shape over each chord, and on demand all that the hand finds there for each of them. */
export function OverChords(props: OverChordsProps) {
  const { phrase, over, along, choice, onChoose, leftHanded } = props;
  const [open, setOpen] = useState(false);
  const label = along.which === 'lane' ? 'Over the chords of the lane' : `Over ${along.words}`;
  return (
    <>
      <label>
        Over{' '}
        <select
          value={along.which}
          onChange={(e) =>
            onChoose({ ...choice, along: e.target.value === 'lane' ? 'lane' : 'key' })
          }
        >
          <option value="lane">the chords of the lane</option>
          <option value="key">{along.keyWords}</option>
        </select>
      </label>
      <ul className="shapes" aria-label={label}>
        {over.map((o) => (
          <li key={formatChord(o.chord)}>
            <strong>{chordSign(o.chord)}</strong>
            <ShapeFigure phrase={phrase} shape={o.shape} leftHanded={leftHanded} />
            <span className="unseen">{shapeWords(o.shape)}</span>
          </li>
        ))}
      </ul>
      <details open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
        <summary>The whole set over each of them, around fret {choice.near}</summary>
        {open ? (
          <SetOver phrase={phrase} chords={along.chords} choice={choice} leftHanded={leftHanded} />
        ) : null}
      </details>
    </>
  );
}

/** So many are drawn of each chord; choosing strings leaves fewer. */
const MOST = 12;

/** All shapes of the kind in this area, chord by chord. */
export function SetOver(props: {
  readonly phrase: Phrase;
  readonly chords: readonly Chord[];
  readonly choice: ShapeChoice;
  readonly leftHanded: boolean;
}) {
  const { phrase, chords, choice, leftHanded } = props;
  const { kind, near, strings } = choice;
  const { instrument } = phrase;
  const sets = useMemo(
    () =>
      shapesOver(instrument, chords, {
        kinds: [kind],
        near,
        ...(strings === '' ? {} : { strings: strings.split(',').map(Number) }),
      }),
    [instrument, chords, kind, near, strings],
  );
  return sets.map(({ chord, shapes }) => (
    <section key={formatChord(chord)} aria-label={`All of ${chordSign(chord)}`}>
      <p className="shapes-head">
        <strong>{chordSign(chord)}</strong>{' '}
        <small className="quiet">
          {shapes.length > MOST
            ? `${MOST} of ${shapes.length} shapes: choose strings to see fewer`
            : count(shapes.length, 'shape')}
        </small>
      </p>
      <ul className="shapes">
        {shapes.slice(0, MOST).map((s) => (
          <li key={keyOfShape(s)}>
            <ShapeFigure phrase={phrase} shape={s} leftHanded={leftHanded} />
            <span>{s.name}</span>
            <span className="unseen">{shapeWords(s)}</span>
          </li>
        ))}
      </ul>
    </section>
  ));
}

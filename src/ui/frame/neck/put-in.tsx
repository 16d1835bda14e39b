import { useState } from 'react';
import { putBehind, putInBar } from '../../../core/edit/put-behind';
import { barSpans } from '../../../core/phrase/time';
import type { Phrase } from '../../../core/phrase/types';
import { type Chord, chordSign, formatChord } from '../../../core/theory/chord';
import { barName } from '../../shared/words';
import { useApp } from '../app-context';

/** Puts a shape into the phrase: behind it, or at the beginning of a bar in the place of what is there. */
export function PutIn(props: {
  readonly phrase: Phrase;
  readonly chord: Chord;
  /** The shape as a phrase of one bar. */
  readonly clip: Phrase;
  readonly onShape: (next: Phrase, words: string) => void;
}) {
  const { phrase, chord, clip, onShape } = props;
  const { notices } = useApp();
  const [where, setWhere] = useState('behind');
  const bars = barSpans(phrase).map((b) => b.number);
  const bar = bars.find((b) => String(b) === where);
  const putIn = () => {
    const put =
      bar === undefined ? putBehind(phrase, clip, formatChord(chord)) : putInBar(phrase, clip, bar);
    const words = `The shape of ${chordSign(chord)} stands ${bar === undefined ? 'behind the phrase' : `at the beginning of ${barName(bar)}`}.`;
    if (put.ok) onShape(put.value, words);
    else notices.trouble(`It could not be put in: ${put.problems[0]!.message}.`);
  };
  return (
    <p className="buttons">
      <button type="button" onClick={putIn}>
        {bar === undefined ? 'Put it behind the phrase' : `Put it into ${barName(bar)}`}
      </button>
      <label>
        Where{' '}
        <select
          value={bar === undefined ? 'behind' : where}
          onChange={(e) => setWhere(e.target.value)}
        >
          <option value="behind">behind the phrase</option>
          {bars.map((b) => (
            <option key={b} value={b}>
              {barName(b)}, in the place of its beginning
            </option>
          ))}
        </select>
      </label>
    </p>
  );
}

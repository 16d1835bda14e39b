import type { ReactNode } from 'react';
import { type Chord, chordSign } from '../../../core/theory/chord';
import { SCALE_NAMES } from '../../../core/theory/scales';
import type { NeckChoice } from './neck-choice';

interface ShowsProps {
  readonly choice: NeckChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly chords: readonly Chord[];
  readonly bars: readonly string[];
  readonly keyWords: string;
}

/** What can be chosen of a neck; `children` are what else its page lets choose. */
export function NeckChoices(props: ShowsProps & { readonly children: ReactNode }) {
  const { children, ...shows } = props;
  const { choice, onChoose } = shows;
  return (
    <div className="neck-settings">
      <Shows {...shows} />
      {choice.show === 'own' ? (
        <label>
          <span>Degrees</span>
          <input
            type="text"
            value={choice.own}
            placeholder="R ♭3 4 5 ♭7"
            onChange={(e) => onChoose({ ...choice, own: e.target.value })}
          />
        </label>
      ) : null}
      {choice.show === 'shapes' ? null : (
        <label>
          <input
            type="checkbox"
            checked={choice.whole}
            onChange={(e) => onChoose({ ...choice, whole: e.target.checked })}
          />
          All frets
        </label>
      )}
      {children}
    </div>
  );
}

/** What the neck shows: what is played, a chord, a scale, shapes. */
function Shows({ choice, onChoose, chords, bars, keyWords }: ShowsProps) {
  const value =
    choice.show === 'phrase' || choice.show === 'chord'
      ? `${choice.show} ${choice.part}`
      : `${choice.show} ${choice.show === 'scale' ? choice.scale : ''}`.trim();
  const choose = (text: string) => {
    const [show, ...rest] = text.split(' ');
    const part = Number(rest[0] ?? 0);
    const plain = { ...choice, part: 0, scale: '' };
    if (show === 'phrase' || show === 'chord') onChoose({ ...plain, show, part });
    else if (show === 'scale') onChoose({ ...plain, show, scale: rest.join(' ') });
    else onChoose({ ...plain, show: show === 'own' ? 'own' : 'shapes' });
  };
  return (
    <label>
      <span>Neck shows</span>
      <select value={value} onChange={(e) => choose(e.target.value)}>
        <optgroup label="What is played">
          {bars.map((b, i) => (
            <option key={b} value={`phrase ${i}`}>
              {bars.length === 1 ? 'the phrase' : b}
            </option>
          ))}
        </optgroup>
        {chords.length === 0 ? null : (
          <optgroup label="Chords">
            {chords.map((c, i) => (
              <option key={chordSign(c)} value={`chord ${i}`}>
                {chordSign(c)}
              </option>
            ))}
          </optgroup>
        )}
        <optgroup label="Scales on the tonic">
          <option value="scale">{keyWords}</option>
          {SCALE_NAMES.map((n) => (
            <option key={n} value={`scale ${n}`}>
              {n}
            </option>
          ))}
          <option value="own">degrees of your own</option>
        </optgroup>
        <optgroup label="What fits">
          <option value="shapes">shapes of a chord</option>
        </optgroup>
      </select>
    </label>
  );
}

import { useState } from 'react';
import { useApp } from '../../frame/app-context';

/** All that a refusal may name, with the number it names it by. */
const OCTAVES: readonly { readonly by: number; readonly words: string }[] = [
  { by: 3, words: 'three octaves higher (+3)' },
  { by: 2, words: 'two octaves higher (+2)' },
  { by: 1, words: 'an octave higher (+1)' },
  { by: 0, words: 'as written' },
  { by: -1, words: 'an octave lower (-1)' },
  { by: -2, words: 'two octaves lower (-2)' },
  { by: -3, words: 'three octaves lower (-3)' },
];

/** Most parts of a score, and staves of a part, that can be asked for. */
const MOST_PARTS = 1_000;
const MOST_STAVES = 20;

/** Reads a score again: another part of it, one staff alone, or in another octave. */
export function ReadAgain({ index, name }: { readonly index: number; readonly name: string }) {
  const { importer } = useApp();
  const [part, setPart] = useState('');
  const [octave, setOctave] = useState(0);
  const [staff, setStaff] = useState('');
  const known = isCount(part, MOST_PARTS) && isCount(staff, MOST_STAVES);
  return (
    <details>
      <summary>Read another part or octave of {name}</summary>
      <form
        className="filter-row"
        onSubmit={(e) => {
          e.preventDefault();
          if (!known) return;
          void importer.again(index, {
            ...(part === '' ? {} : { part: Number(part) }),
            ...(staff === '' ? {} : { staff: Number(staff) }),
            ...(octave === 0 ? {} : { octave }),
          });
        }}
      >
        <label>
          <span>Part</span>
          <input
            type="number"
            min={1}
            max={MOST_PARTS}
            step={1}
            placeholder="first"
            value={part}
            onChange={(e) => setPart(e.target.value)}
          />
        </label>
        <label>
          <span>Staff</span>
          <input
            type="number"
            min={1}
            max={MOST_STAVES}
            step={1}
            placeholder="all"
            value={staff}
            onChange={(e) => setStaff(e.target.value)}
          />
        </label>
        <label>
          <span>Octave</span>
          <select value={octave} onChange={(e) => setOctave(Number(e.target.value))}>
            {OCTAVES.map(({ by, words }) => (
              <option key={by} value={by}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <button type="submit">Read again</button>
      </form>
    </details>
  );
}

/** Whether a field says nothing, or a number from 1 on. */
function isCount(field: string, most: number): boolean {
  const n = Number(field);
  return field === '' || (Number.isInteger(n) && n >= 1 && n <= most);
}

import { useId } from 'react';
import type { Staves } from '../../engrave/options';
import { DEGREE_VIEWS, type DegreeView } from '../../publish/degree-labels';
import type { Query } from '../shared/query';

/** How the music is shown; kept in the address of the page. */
export interface Look {
  readonly degrees: DegreeView;
  readonly staves: Staves;
}

const STAVES: readonly Staves[] = ['both', 'staff', 'tab', 'degrees'];

const DEGREE_WORDS: Readonly<Record<DegreeView, string>> = {
  chord: 'against the chord',
  key: 'against the key',
  off: 'not shown',
};

const STAVES_WORDS: Readonly<Record<Staves, string>> = {
  both: 'staff and tab',
  staff: 'staff',
  tab: 'tab',
  degrees: 'degrees only',
};

/** Reads the look from an address; `usual` is what degrees count from where it says nothing. */
export function readLook(query: Query, usual: DegreeView): Look {
  return {
    degrees: DEGREE_VIEWS.find((v) => v === query.degrees) ?? usual,
    staves: STAVES.find((s) => s === query.show) ?? 'both',
  };
}

/** The part of the address that `readLook` reads; the usual is left out. */
export function writeLook(look: Look, usual: DegreeView): Query {
  return {
    ...(look.degrees === usual ? {} : { degrees: look.degrees }),
    ...(look.staves === 'both' ? {} : { show: look.staves }),
  };
}

/** What is shown of the music: staves, degrees. */
export function LookFields(props: {
  readonly look: Look;
  readonly onChange: (look: Look) => void;
}) {
  const { look, onChange } = props;
  const id = useId();
  return (
    <div className="look">
      <p>
        <label htmlFor={`${id}-show`}>Show</label>
        <select
          id={`${id}-show`}
          value={look.staves}
          onChange={(e) => {
            const staves = STAVES.find((s) => s === e.target.value);
            if (staves !== undefined) onChange({ ...look, staves });
          }}
        >
          {STAVES.map((s) => (
            <option key={s} value={s}>
              {STAVES_WORDS[s]}
            </option>
          ))}
        </select>
      </p>
      <p>
        <label htmlFor={`${id}-degrees`}>Degrees</label>
        <select
          id={`${id}-degrees`}
          value={look.degrees}
          onChange={(e) => {
            const degrees = DEGREE_VIEWS.find((v) => v === e.target.value);
            if (degrees !== undefined) onChange({ ...look, degrees });
          }}
        >
          {DEGREE_VIEWS.map((v) => (
            <option key={v} value={v}>
              {DEGREE_WORDS[v]}
            </option>
          ))}
        </select>
      </p>
    </div>
  );
}

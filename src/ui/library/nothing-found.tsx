import { useMemo } from 'react';
import { byStretch } from '../../core/search/query/by-stretch';
import { readQuery } from '../../core/search/query/read';
import { writeQuery } from '../../core/search/query/write';

interface Props {
  /** What stands in the field. */
  readonly text: string;
  readonly onAsk: (text: string) => void;
  readonly onAll: () => void;
}

/** Where no phrase has what is asked for, what to ask instead. */
export function NothingFound({ text, onAsk, onAll }: Props) {
  const instead = useMemo(() => {
    const read = readQuery(text);
    const query = read.ok ? byStretch(read.value.query) : null;
    return read.ok && query !== null ? writeQuery({ ...read.value, query }) : null;
  }, [text]);
  return (
    <div className="nothing-found">
      <p>No phrase has all of this.</p>
      {instead !== null && (
        <p>
          <i>fits:</i> asks for phrases that end with these chords.{' '}
          <button type="button" onClick={() => onAsk(instead)}>
            Find {instead} anywhere in a phrase
          </button>
        </p>
      )}
      <button type="button" onClick={onAll}>
        Show all again
      </button>
    </div>
  );
}

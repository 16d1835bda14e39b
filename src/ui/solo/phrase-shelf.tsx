import { useId, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { titleOf } from '../shared/facts';
import { count } from '../shared/words';
import { draggedPart } from './drag';

/** More are found by typing. */
const SHOWN = 8;

interface Props {
  readonly phrases: readonly Phrase[];
  /** From 1. */
  readonly bar: number;
  readonly onPut: (phrase: Phrase) => void;
}

/** Phrases of the library to be put onto the chosen bar, by a button or by dragging. */
export function PhraseShelf({ phrases, bar, onPut }: Props) {
  const [text, setText] = useState('');
  const id = useId();
  const found = useMemo(() => {
    const words = text.toLocaleLowerCase().split(/\s+/u).filter(Boolean);
    return phrases.filter((p) => {
      const about = `${titleOf(p)} ${p.meta.tags.join(' ')}`.toLocaleLowerCase();
      return words.every((w) => about.includes(w));
    });
  }, [phrases, text]);
  return (
    <section aria-labelledby={id} className="phrase-shelf">
      <h3 id={id}>Put a phrase onto bar {bar}</h3>
      <label>
        <span>Title or tag</span>
        <input type="search" value={text} onChange={(e) => setText(e.target.value)} />
      </label>
      <p className="quiet">Or drag one onto any bar; with a finger, rest on it first.</p>
      <ul>
        {found.slice(0, SHOWN).map((p) => (
          <li
            key={p.id}
            draggable
            data-carries={p.id}
            onDragStart={(e) => draggedPart(e, p.id, null)}
          >
            <span>{titleOf(p)}</span> <span className="quiet">{count(p.bars.length, 'bar')}</span>
            <button type="button" onClick={() => onPut(p)}>
              Put <span className="unseen">{titleOf(p)}</span> here
            </button>
          </li>
        ))}
      </ul>
      {found.length > SHOWN ? (
        <p className="quiet">{found.length - SHOWN} more. Type to find them.</p>
      ) : null}
      {found.length === 0 ? (
        <p className="quiet">No phrase has this in its title or tags.</p>
      ) : null}
    </section>
  );
}

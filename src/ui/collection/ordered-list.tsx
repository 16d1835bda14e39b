import { type KeyboardEvent, memo, type PointerEvent, useRef, useState } from 'react';
import { type Collection, movedTo, withoutPhrases } from '../../core/library/collection';
import type { Phrase } from '../../core/phrase/types';
import { addressOf } from '../frame/route';
import { titleOf } from '../shared/facts';
import { keyName, laneName } from '../shared/words';

interface Props {
  readonly collection: Collection;
  /** Those that are there, in the order of the collection. */
  readonly phrases: readonly Phrase[];
  readonly change: (next: Collection) => void;
}

interface Drag {
  readonly id: string;
  /** Place among those that are there, from 0. */
  readonly to: number;
}

/** The phrases in their order: put elsewhere by dragging, by the arrow keys or by buttons. */
export function OrderedList({ collection, phrases, change }: Props) {
  const list = useRef<HTMLOListElement>(null);
  const [said, setSaid] = useState('');
  const shift = (p: Phrase, from: number, by: number) => {
    const to = Math.max(0, Math.min(phrases.length - 1, from + by));
    if (to === from) return;
    change(movedTo(collection, p.id, placeAmongAll(collection, phrases, to)));
    setSaid(`${titleOf(p)} is now ${to + 1} of ${phrases.length}`);
  };
  const takeOut = (p: Phrase) => {
    change(withoutPhrases(collection, [p.id]));
    setSaid(`${titleOf(p)} was taken out`);
  };
  const { drag, handle } = useDragging(list, shift);
  if (phrases.length === 0) {
    return <p>No phrase is in it yet. Choose some in the library, or put one in below.</p>;
  }
  return (
    <>
      <p className="quiet">
        Drag a row by its ↕ to another place, or press the up and down keys on it.
      </p>
      <ol className="ordered" ref={list}>
        {phrases.map((p, i) => (
          <li key={p.id} className={markOf(drag, p, i, phrases)}>
            <button
              type="button"
              className="row-handle"
              aria-label={`Move ${titleOf(p)}, ${i + 1} of ${phrases.length}: arrow keys`}
              {...handle(p, i)}
            >
              ↕
            </button>
            <Row phrase={p} />
            <span className="ordered-tools">
              <Tool name="Up" of={p} blocked={i === 0} run={() => shift(p, i, -1)} />
              <Tool
                name="Down"
                of={p}
                blocked={i === phrases.length - 1}
                run={() => shift(p, i, 1)}
              />
              <Tool name="Take out" of={p} run={() => takeOut(p)} />
            </span>
          </li>
        ))}
      </ol>
      <p className="unseen" role="status">
        {said}
      </p>
    </>
  );
}

function Tool(props: {
  readonly name: string;
  readonly of: Phrase;
  readonly blocked?: boolean;
  readonly run: () => void;
}) {
  const { name, of, blocked = false, run } = props;
  return (
    <button type="button" disabled={blocked} aria-label={`${name}: ${titleOf(of)}`} onClick={run}>
      {name}
    </button>
  );
}

/** What the handle of a row listens to. */
function useDragging(
  list: { readonly current: HTMLElement | null },
  shift: (p: Phrase, from: number, by: number) => void,
) {
  const [drag, setDrag] = useState<Drag | null>(null);
  const placeAt = (y: number): number => {
    const rows = [...(list.current?.children ?? [])].map((row) => row.getBoundingClientRect());
    const at = rows.findIndex((r) => y < r.bottom);
    return at < 0 ? rows.length - 1 : at;
  };
  const handle = (p: Phrase, from: number) => ({
    onPointerDown: (e: PointerEvent<HTMLButtonElement>) => {
      if (e.button !== 0) return;
      e.currentTarget.setPointerCapture(e.pointerId);
      setDrag({ id: p.id, to: from });
    },
    onPointerMove: (e: PointerEvent<HTMLButtonElement>) => {
      if (drag?.id !== p.id) return;
      const to = placeAt(e.clientY);
      if (to !== drag.to) setDrag({ id: p.id, to });
    },
    onPointerUp: () => {
      if (drag?.id === p.id) shift(p, from, drag.to - from);
      setDrag(null);
    },
    onPointerCancel: () => setDrag(null),
    onKeyDown: (e: KeyboardEvent) => {
      if (e.key === 'Escape') setDrag(null);
      const by = e.key === 'ArrowUp' ? -1 : e.key === 'ArrowDown' ? 1 : 0;
      if (by === 0) return;
      e.preventDefault();
      shift(p, from, by);
    },
  });
  return { drag, handle };
}

const Row = memo(function Row({ phrase: p }: { readonly phrase: Phrase }) {
  return (
    <span className="ordered-what">
      <a href={addressOf({ page: 'phrase', id: p.id, query: {} })}>{titleOf(p)}</a>{' '}
      <span className="quiet">
        {keyName(p.key)} · {laneName(p)}
        {p.meta.level !== undefined && ` · level ${p.meta.level}`}
      </span>
    </span>
  );
});

/** Where a place among the phrases that are there lies among all that the collection names. */
function placeAmongAll(c: Collection, phrases: readonly Phrase[], to: number): number {
  const at = phrases[to];
  return at === undefined ? c.phrases.length - 1 : c.phrases.indexOf(at.id);
}

/** The row that is dragged, and the one before or behind which it will stand. */
function markOf(
  drag: Drag | null,
  p: Phrase,
  i: number,
  phrases: readonly Phrase[],
): string | undefined {
  if (drag === null) return undefined;
  if (p.id === drag.id) return 'dragged';
  if (i !== drag.to) return undefined;
  const from = phrases.findIndex((x) => x.id === drag.id);
  return drag.to < from ? 'drop-before' : 'drop-behind';
}

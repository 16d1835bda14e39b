import { type KeyboardEvent, useState } from 'react';
import type { LaidForm } from '../../core/form/lay';
import { symbolOf } from '../../core/move/lane';
import { typesetText } from '../../io/text/signs';
import { type Held, isPinned } from './bench';
import { draggedPart, droppedOn, takesDrops } from './drag';
import type { MadePart, SoloMade } from './solo-worker';

/** Bars in a row, as forms are written (common practice). */
const ROW = 4;

interface Props {
  /** All choruses in a row. */
  readonly laid: LaidForm;
  readonly made: SoloMade | null;
  readonly held: readonly Held[];
  /** From 1. */
  readonly chosen: number;
  readonly onChoose: (bar: number) => void;
  /** A phrase was dropped onto a bar; `from` is the bar it lay on, where it lay on one. */
  readonly onDrop: (bar: number, id: string, from: number | null) => void;
  /** The bar under what a finger carries; null where there is none. */
  readonly target: number | null;
}

/**
 * The bars of the form with their chords and what lies on them. One of them is chosen; arrows go from
 * bar to bar, so that the whole is one stop for the tab key.
 */
export function FormBars({ laid, made, held, chosen, onChoose, onDrop, target }: Props) {
  const bars = laid.bars.length;
  /** The bar under what a mouse carries. */
  const [over, setOver] = useState<number | null>(null);
  const onKeyDown = (e: KeyboardEvent<HTMLElement>) => {
    const to = stepOf(e.key, chosen, bars);
    if (to === null) return;
    e.preventDefault();
    onChoose(to);
    e.currentTarget.querySelector<HTMLElement>(`[data-bar="${to}"]`)?.focus();
  };
  return (
    <ol className="form-bars" aria-label="Bars of the form" onKeyDown={onKeyDown}>
      {laid.bars.map((chords, i) => {
        const bar = i + 1;
        const part = made?.parts.find((p) => p.firstBar <= bar && bar <= p.lastBar) ?? null;
        const begins = part?.firstBar === bar;
        const name = chords.map((c) => typesetText(symbolOf(c))).join(' ');
        const pinned = part !== null && isPinned(held, part);
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: bars are their numbers
          <li key={i} className={laid.sectionStarts.includes(bar) ? 'section-start' : undefined}>
            <button
              type="button"
              data-bar={bar}
              tabIndex={bar === chosen ? 0 : -1}
              aria-pressed={bar === chosen}
              className={[
                part === null ? 'bar-empty' : 'bar-filled',
                begins ? 'part-begins' : '',
                part?.lastBar === bar ? 'part-ends' : '',
                pinned ? 'part-pinned' : '',
                bar === (target ?? over) ? 'bar-target' : '',
              ].join(' ')}
              draggable={part !== null}
              data-carries={part?.id}
              data-carried-from={part?.firstBar}
              onClick={() => onChoose(bar)}
              onDragStart={(e) => part !== null && draggedPart(e, part.id, part.firstBar)}
              onDragOver={(e) => setOver(takesDrops(e) ? bar : null)}
              onDragLeave={() => setOver((now) => (now === bar ? null : now))}
              onDrop={(e) => {
                setOver(null);
                droppedOn(e, (id, from) => onDrop(bar, id, from));
              }}
            >
              <span className="bar-number">
                <span className="unseen">Bar </span>
                {bar}
              </span>{' '}
              <span className="bar-chords">{name}</span>{' '}
              <PartOnBar part={part} bar={bar} pinned={pinned} />
            </button>
          </li>
        );
      })}
    </ol>
  );
}

function PartOnBar(props: {
  readonly part: MadePart | null;
  readonly bar: number;
  readonly pinned: boolean;
}) {
  const { part, bar, pinned } = props;
  const begins = part?.firstBar === bar;
  return (
    <span className="bar-part">
      {part === null ? <span className="unseen">empty</span> : null}
      {part !== null && begins ? (
        <span className="part-title" title={part.title}>
          {part.title}
        </span>
      ) : null}
      {part !== null && !begins ? (
        <>
          …<span className="unseen"> {part.title} goes on</span>
        </>
      ) : null}
      {begins && pinned ? (
        <span className="pin-sign">
          <span className="unseen">, </span>pinned
        </span>
      ) : null}
    </span>
  );
}

function stepOf(key: string, from: number, bars: number): number | null {
  const by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: ROW, ArrowUp: -ROW }[key];
  if (by !== undefined) {
    const to = from + by;
    return to >= 1 && to <= bars ? to : null;
  }
  if (key === 'Home') return 1;
  return key === 'End' ? bars : null;
}

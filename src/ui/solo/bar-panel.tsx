import { type ReactNode, useRef } from 'react';
import { addressOf } from '../frame/route';
import { count } from '../shared/words';
import type { MadePart, Other, SoloMade } from './solo-worker';
import { useFocusStays } from './use-focus-stays';

export interface BarDoings {
  readonly pin: (part: MadePart, pinned: boolean) => void;
  readonly exchange: (part: MadePart | null, other: Other) => void;
  readonly octave: (part: MadePart, by: 1 | -1) => void;
  readonly takeAway: (from: number, to: number) => void;
  readonly refill: (bar: number) => void;
  readonly hear: (part: MadePart) => void;
}

interface Props {
  /** From 1. */
  readonly bar: number;
  readonly made: SoloMade | null;
  readonly part: MadePart | null;
  readonly pinned: boolean;
  /** Whether the bar was left empty by hand. */
  readonly resting: boolean;
  readonly fill: boolean;
  /** Whether what was asked for is refused, so that nothing else is sought either. */
  readonly refused: boolean;
  /** Null while they are being sought. */
  readonly others: readonly Other[] | null;
  readonly doings: BarDoings;
  /** The shelf of phrases. */
  readonly children: ReactNode;
}

/** What stands on the chosen bar, why, what else could, and what can be done about it. */
export function BarPanel(props: Props) {
  const { bar, part, made, others, refused, doings, children } = props;
  const panel = useRef<HTMLElement>(null);
  useFocusStays(panel);
  return (
    <section ref={panel} className="bar-panel" aria-label={`Bar ${bar}`} tabIndex={-1}>
      <div>
        {part === null ? <EmptyBar {...props} /> : <PartHere {...props} part={part} />}
        <h3>{part === null ? 'What could stand here' : 'What else could stand here'}</h3>
        {made === null || others === null ? (
          <p role="status">
            {refused ? 'Sought once what is said above the bars is mended.' : 'Seeking …'}
          </p>
        ) : others.length === 0 ? (
          <p className="quiet">No other phrase of the library goes here.</p>
        ) : (
          <ol className="solo-others">
            {others.map((o) => (
              <li key={o.id} aria-current={o.id === part?.id ? 'true' : undefined}>
                <span>
                  “{o.title}”{bars(o, part)}
                  {because(o)}
                </span>
                {o.id === part?.id ? (
                  <span className="quiet">stands here</span>
                ) : (
                  <button type="button" onClick={() => doings.exchange(part, o)}>
                    Take <span className="unseen">{o.title}</span>
                  </button>
                )}
              </li>
            ))}
          </ol>
        )}
      </div>
      {children}
    </section>
  );
}

function PartHere({ part, pinned, others, doings }: Props & { readonly part: MadePart }) {
  const next = nextBest(part, others);
  return (
    <>
      <h2>
        {barsName(part)}:{' '}
        <a href={addressOf({ page: 'phrase', id: part.id, query: {} })}>{part.title}</a>
      </h2>
      <p>
        {sentence([...octaveWords(part.octaves), ...part.why])}
        {part.changes.length === 0 ? '' : ` Changed on the way: ${part.changes.join('; ')}.`}
      </p>
      <p className="buttons">
        <button
          type="button"
          className="strong"
          // Not disabled: the focus would be lost while the next best is sought.
          aria-disabled={next === null}
          onClick={() => next !== null && doings.exchange(part, next)}
        >
          Exchange for the next best
        </button>
        <button type="button" aria-pressed={pinned} onClick={() => doings.pin(part, !pinned)}>
          {pinned ? 'Let it go again' : 'Pin it'}
        </button>
        <button type="button" onClick={() => doings.hear(part)}>
          Hear it
        </button>
        <button
          type="button"
          aria-disabled={part.octaves >= 1}
          onClick={() => part.octaves < 1 && doings.octave(part, 1)}
        >
          Octave up
        </button>
        <button
          type="button"
          aria-disabled={part.octaves <= -1}
          onClick={() => part.octaves > -1 && doings.octave(part, -1)}
        >
          Octave down
        </button>
        <button type="button" onClick={() => doings.takeAway(part.firstBar, part.lastBar)}>
          Take it away
        </button>
      </p>
    </>
  );
}

function EmptyBar({ bar, made, resting, fill, doings }: Props) {
  const why = made?.empty.find((e) => e.bar === bar)?.why;
  return (
    <>
      <h2>Bar {bar} is empty</h2>
      {why === undefined ? null : <p>{sentence([why])}</p>}
      <p className="buttons">
        {resting ? (
          <button type="button" onClick={() => doings.refill(bar)}>
            {fill ? 'Fill it again' : 'Leave it open'}
          </button>
        ) : (
          <button type="button" onClick={() => doings.takeAway(bar, bar)}>
            Keep it empty
          </button>
        )}
      </p>
    </>
  );
}

/** The one after what stands there, or the first of all. */
function nextBest(part: MadePart, others: readonly Other[] | null): Other | null {
  if (others === null) return null;
  const same = others.filter((o) => o.id !== part.id);
  const at = others.findIndex((o) => o.id === part.id);
  return others.slice(at + 1).find((o) => o.id !== part.id) ?? same[0] ?? null;
}

const bars = (o: Other, part: MadePart | null) => {
  const here = part === null ? 1 : part.lastBar - part.firstBar + 1;
  return o.bars === here ? '' : `, ${count(o.bars, 'bar')}`;
};

function because({ octaves, why }: Other): string {
  const all = [...octaveWords(octaves), ...why];
  return all.length === 0 ? '' : `: ${all.join('; ')}`;
}

/** No words where it stays in its octave. */
export const octaveWords = (octaves: number): readonly string[] =>
  octaves === 0 ? [] : [`an octave ${octaves > 0 ? 'higher' : 'lower'}`];

/** `Bar 3`, `Bars 3 to 4`. */
export const barsName = ({ firstBar, lastBar }: Pick<MadePart, 'firstBar' | 'lastBar'>) =>
  firstBar === lastBar ? `Bar ${firstBar}` : `Bars ${firstBar} to ${lastBar}`;

function sentence(parts: readonly string[]): string {
  if (parts.length === 0) return '';
  const text = parts.join('; ');
  return `${text[0]!.toLocaleUpperCase()}${text.slice(1)}.`;
}

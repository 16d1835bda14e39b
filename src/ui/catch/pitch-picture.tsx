import { useEffect, useRef } from 'react';
import type { HeardNote } from '../../core/heard/types';

const SECOND = 96;
const SEMITONE = 9;
const EDGE = 14;

/** A note of the picture. */
export interface DrawnNote {
  /** Its number in the recording. */
  readonly index: number;
  readonly heard: HeardNote;
  /** What it is written as: `E4`, `5` for its fret; empty where it is left out. */
  readonly name: string;
  readonly unsure: boolean;
}

/** The recording as a picture: pitch over time, with bar lines and the notes that were made of it. */
export function PitchPicture(props: {
  readonly from: number;
  readonly to: number;
  readonly bars: readonly number[];
  readonly notes: readonly DrawnNote[];
  readonly chosen: number | null;
  /** Seconds of the recording that sound now, while it sounds. */
  readonly position: (() => number | null) | null;
  readonly label: string;
  readonly onChoose: (index: number) => void;
}) {
  const { from, to, bars, notes, chosen, label, onChoose } = props;
  const pitches = notes.flatMap((n) => n.heard.curve.map((c) => c.midi));
  const low = Math.floor(Math.min(...pitches)) - 1;
  const high = Math.ceil(Math.max(...pitches)) + 2;
  const x = (t: number) => EDGE + (t - from) * SECOND;
  const y = (midi: number) => (high - midi) * SEMITONE;
  const scroll = useRef<HTMLElement>(null);
  useChosenInView(scroll, chosen);
  const playhead = useRef<SVGLineElement>(null);
  usePlayhead(playhead, props.position, x);
  const width = x(to) + EDGE;
  const height = (high - low) * SEMITONE + EDGE;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
    <section ref={scroll} className="pitch-scroll" tabIndex={0} aria-label={label}>
      <svg
        className="pitch-picture"
        width={width}
        height={height}
        viewBox={`0 0 ${width} ${height}`}
        aria-hidden="true"
      >
        {bars
          .filter((b) => b > from - 0.05 && b < to + 0.05)
          .map((b) => (
            <line key={b} className="bar" x1={x(b)} x2={x(b)} y1={0} y2={height} />
          ))}
        {notes.map((n) => {
          const { onset, end, curve, pitch } = n.heard;
          const points = curve.map((c) => `${x(c.at).toFixed(1)},${y(c.midi).toFixed(1)}`);
          const state = `${n.unsure ? ' unsure' : ''}${n.index === chosen ? ' chosen' : ''}${n.name === '' ? ' out' : ''}`;
          return (
            // biome-ignore lint/a11y/noStaticElementInteractions: the same is done with the buttons and keys below
            <g key={n.index} className={`heard${state}`} onClick={() => onChoose(n.index)}>
              <rect
                x={x(onset)}
                y={y(pitch) - SEMITONE / 2}
                width={Math.max(3, (end - onset) * SECOND - 1)}
                height={SEMITONE}
                rx={2}
              />
              <polyline points={points.join(' ')} />
              <text x={x(onset) + 1} y={y(pitch) - SEMITONE}>
                {n.name}
                {n.unsure ? ' ?' : ''}
              </text>
            </g>
          );
        })}
        <line ref={playhead} className="playhead" y1={0} y2={height} visibility="hidden" />
      </svg>
    </section>
  );
}

/** The note that is chosen is kept in sight. */
function useChosenInView(
  scroll: { readonly current: HTMLElement | null },
  chosen: number | null,
): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: every other choice counts.
  useEffect(() => {
    const note = scroll.current?.querySelector('.chosen rect');
    note?.scrollIntoView({ block: 'nearest', inline: 'center' });
  }, [scroll, chosen]);
}

/** A line goes with what sounds; the picture is not drawn again for that. */
function usePlayhead(
  line: { readonly current: SVGLineElement | null },
  position: (() => number | null) | null,
  x: (seconds: number) => number,
): void {
  const place = useRef(x);
  useEffect(() => {
    place.current = x;
  });
  useEffect(() => {
    if (position === null) return;
    let frame = 0;
    const draw = () => {
      const at = position();
      const to = line.current;
      if (at !== null && to !== null) {
        to.setAttribute('x1', place.current(at).toFixed(1));
        to.setAttribute('x2', place.current(at).toFixed(1));
        to.setAttribute('visibility', 'visible');
      }
      frame = requestAnimationFrame(draw);
    };
    draw();
    const own = line.current;
    return () => {
      cancelAnimationFrame(frame);
      own?.setAttribute('visibility', 'hidden');
    };
  }, [line, position]);
}

import { useEffect, useRef } from 'react';
import type { HeardNote } from '../../../core/heard/types';
import type { PitchedNote } from '../../../core/phrase/types';
import { TYPESET } from '../../../io/text/signs';
import { pitchName } from './pitch-name';
import './pitch-picture.css';

/** Pixels of a second, at least and at most: notes that follow each other quickly are drawn wider. */
const SECOND = { least: 96, most: 260 };
/** Pixels from a quick note to the next, so that its name has room. */
const QUICK = 26;
const SEMITONE = 9;
const EDGE = 14;
/** Room for the names of rows, and for the seconds under all. */
const ROWS = 30;
const FOOT = 16;
/** Rows that are named: no two nearer than two semitones. */
const NAMED: readonly number[] = [0, 2, 4, 7, 9];
/** A name of a note takes so much room, in pixels. */
const NAME = { wide: 22, high: 11 };

/** A note of the picture. */
export interface DrawnNote {
  /** Its number in the recording. */
  readonly index: number;
  readonly heard: Pick<HeardNote, 'onset' | 'end' | 'pitch' | 'curve'>;
  /** What it is written as: `E4`, `5` for its fret; empty where it is left out. */
  readonly name: string;
  readonly unsure: boolean;
  /** What is unsure of it, as the sign says it: `?`, `begin?`. */
  readonly sign: string;
}

/** What a note is written as: `G4`, and `G4→A4` where it is bent. */
export function writtenAs({ pitch, bend }: PitchedNote): string {
  const to = bend === undefined || bend.shape === 'curl' ? [] : [TYPESET.pitch(bend.target)];
  return [TYPESET.pitch(pitch), ...to].join('→');
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
  /** Absent where no note can be chosen. */
  readonly onChoose?: (index: number) => void;
}) {
  const { from, to, bars, notes, chosen, label, onChoose } = props;
  const pitches = notes.flatMap((n) => n.heard.curve.map((c) => c.midi));
  const low = Math.floor(Math.min(...pitches)) - 1;
  const high = Math.ceil(Math.max(...pitches)) + 2;
  const second = secondIn(notes);
  const x = (t: number) => EDGE + (t - from) * second;
  const y = (midi: number) => (high - midi) * SEMITONE;
  const scroll = useRef<HTMLElement>(null);
  useChosenInView(scroll, chosen);
  const playhead = useRef<SVGLineElement>(null);
  usePlayhead(playhead, props.position, x);
  const width = x(to) + EDGE;
  const bottom = (high - low) * SEMITONE + EDGE;
  const height = bottom + FOOT;
  const named = namedNotes(notes, chosen, x, y);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
    <section ref={scroll} className="pitch-scroll" tabIndex={0} aria-label={label}>
      <svg className="pitch-rows" width={ROWS} height={height} aria-hidden="true">
        <rect width={ROWS} height={height} />
        {rowsFrom(low, high).map((midi) => (
          <text key={midi} x={ROWS - 4} y={y(midi) + 4} textAnchor="end">
            {pitchName(midi)}
          </text>
        ))}
      </svg>
      <svg
        className="pitch-picture"
        width={width}
        height={height}
        viewBox={`0 0 ${width} ${height}`}
        aria-hidden="true"
      >
        <Grid {...{ from, to, low, high, bars, x, y, width, bottom }} />
        {notes.map((n) => {
          const { onset, end, curve, pitch } = n.heard;
          const points = curve.map((c) => `${x(c.at).toFixed(1)},${y(c.midi).toFixed(1)}`);
          const state = `${n.unsure ? ' unsure' : ''}${n.index === chosen ? ' chosen' : ''}${n.name === '' ? ' out' : ''}`;
          return (
            // biome-ignore lint/a11y/noStaticElementInteractions: the same is done with buttons and keys beside it
            <g key={n.index} className={`heard${state}`} onClick={() => onChoose?.(n.index)}>
              <rect
                x={x(onset)}
                y={y(pitch) - SEMITONE / 2}
                width={Math.max(3, (end - onset) * second - 1)}
                height={SEMITONE}
                rx={2}
              />
              <polyline points={points.join(' ')} />
              {named.has(n.index) && (
                <text x={x(onset) + 1} y={y(pitch) - SEMITONE}>
                  {n.name}
                  {n.unsure ? ` ${n.sign}` : ''}
                </text>
              )}
            </g>
          );
        })}
        <line ref={playhead} className="playhead" y1={0} y2={height} visibility="hidden" />
      </svg>
    </section>
  );
}

/** What stands behind the notes: named rows, seconds and bar lines. */
function Grid(props: {
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly high: number;
  readonly bars: readonly number[];
  readonly x: (seconds: number) => number;
  readonly y: (midi: number) => number;
  readonly width: number;
  /** Where the rows end and the seconds are named. */
  readonly bottom: number;
}) {
  const { from, to, low, high, bars, x, y, width, bottom } = props;
  return (
    <>
      {rowsFrom(low, high).map((midi) => (
        <line key={midi} className="row" x1={0} x2={width} y1={y(midi)} y2={y(midi)} />
      ))}
      {secondsFrom(from, to).map((t) => (
        <g key={t} className="second">
          <line x1={x(t)} x2={x(t)} y1={bottom} y2={bottom + 4} />
          <text className="clock" x={x(t)} y={bottom + FOOT - 3} textAnchor="middle">
            {t} s
          </text>
        </g>
      ))}
      {bars
        .filter((b) => b > from - 0.05 && b < to + 0.05)
        .map((b) => (
          <line key={b} className="bar" x1={x(b)} x2={x(b)} y1={0} y2={bottom} />
        ))}
    </>
  );
}

/** Pixels of a second: of ten notes at most one follows nearer than its name is wide, as far as that goes. */
function secondIn(notes: readonly DrawnNote[]): number {
  const steps = notes
    .slice(1)
    .map((n, i) => n.heard.onset - notes[i]!.heard.onset)
    // Struck together.
    .filter((step) => step > 0.04)
    .sort((a, b) => a - b);
  const quick = steps[Math.floor(steps.length / 10)];
  return quick === undefined
    ? SECOND.least
    : Math.min(SECOND.most, Math.max(SECOND.least, QUICK / quick));
}

/**
 * Notes that have their name beside them: those that are unsure or chosen always, the others where it stands on no other name. The row
 * says it for the rest.
 */
function namedNotes(
  notes: readonly DrawnNote[],
  chosen: number | null,
  x: (seconds: number) => number,
  y: (midi: number) => number,
): ReadonlySet<number> {
  const placed: { readonly x: number; readonly y: number }[] = [];
  const out = new Set<number>();
  const isAsked = (n: DrawnNote) => n.unsure || n.index === chosen;
  for (const n of [...notes].sort((a, b) => Number(isAsked(b)) - Number(isAsked(a)))) {
    const at = { x: x(n.heard.onset), y: y(n.heard.pitch) };
    const isFree = placed.every(
      (p) => Math.abs(p.x - at.x) >= NAME.wide || Math.abs(p.y - at.y) >= NAME.high,
    );
    if (!isAsked(n) && !isFree) continue;
    placed.push(at);
    out.add(n.index);
  }
  return out;
}

/** Pitches whose rows are named, as MIDI numbers. */
function rowsFrom(low: number, high: number): readonly number[] {
  return Array.from({ length: high - low - 1 }, (_, i) => low + i).filter((m) =>
    NAMED.includes(((m % 12) + 12) % 12),
  );
}

/** Whole seconds of the recording. */
function secondsFrom(from: number, to: number): readonly number[] {
  const first = Math.ceil(from);
  return Array.from({ length: Math.max(0, Math.floor(to) - first + 1) }, (_, i) => first + i);
}

/** The note that is chosen is kept in sight. */
function useChosenInView(
  scroll: { readonly current: HTMLElement | null },
  chosen: number | null,
): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: every other choice counts.
  useEffect(() => {
    const note = scroll.current?.querySelector('.chosen rect');
    if (note == null) return;
    const { top, bottom } = note.getBoundingClientRect();
    // What is asked of it stands over the top of the page.
    const free = document.querySelector('.catch-asked')?.getBoundingClientRect().bottom ?? 0;
    const isSeen = top >= free && bottom <= window.innerHeight;
    note.scrollIntoView({ block: isSeen ? 'nearest' : 'center', inline: 'center' });
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

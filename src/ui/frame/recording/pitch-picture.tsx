import { useEffect, useRef } from 'react';
import type { PitchedNote } from '../../../core/phrase/types';
import { TYPESET } from '../../../io/text/signs';
import type { BeatAlong } from './beats-along';
import { type DrawnNote, namedNotes } from './note-names';
import { pitchName } from './pitch-name';
import './pitch-picture.css';

/** Pixels of a second, at least and at most: notes that follow each other quickly are drawn wider. */
const SECOND = { least: 96, most: 260 };
/** Pixels from a quick note to the next, so that its name has room. */
const QUICK = 26;
const SEMITONE = 9;
const EDGE = 14;
/** Room for the names of rows, for the bars and beats over all, and for the seconds under all. */
const ROWS = 30;
const HEAD = 16;
const FOOT = 16;
/** Beats nearer than this are marks without numbers. */
const NUMBERED = 40;
/** Pixels that the name of a bar takes. */
const BAR = 36;
/** Rows that are named: no two nearer than two semitones. */
const NAMED: readonly number[] = [0, 2, 4, 7, 9];
/** What a note is written as: `G4`, and `G4→A4` where it is bent. */
export function writtenAs({ pitch, bend }: PitchedNote): string {
  const to = bend === undefined || bend.shape === 'curl' ? [] : [TYPESET.pitch(bend.target)];
  return [TYPESET.pitch(pitch), ...to].join('→');
}

/**
 * The recording as a picture: pitch over time with the notes that were made of it, under the bars and beats of their score and
 * over the seconds of the recording.
 */
export function PitchPicture(props: {
  readonly from: number;
  readonly to: number;
  readonly beats: readonly BeatAlong[];
  readonly notes: readonly DrawnNote[];
  readonly chosen: number | null;
  /** Seconds of the recording that sound now, while it sounds. */
  readonly position: (() => number | null) | null;
  readonly label: string;
  /** Absent where no note can be chosen. */
  readonly onChoose?: (index: number) => void;
}) {
  const { from, to, beats, notes, chosen, label, onChoose } = props;
  const pitches = notes.flatMap((n) => n.heard.curve.map((c) => c.midi));
  const low = Math.floor(Math.min(...pitches)) - 1;
  const high = Math.ceil(Math.max(...pitches)) + 2;
  const second = secondIn(notes);
  const x = (t: number) => EDGE + (t - from) * second;
  const y = (midi: number) => HEAD + (high - midi) * SEMITONE;
  const scroll = useRef<HTMLElement>(null);
  useChosenInView(scroll, chosen);
  const playhead = useRef<SVGLineElement>(null);
  usePlayhead(playhead, props.position, x);
  const width = x(to) + EDGE;
  const bottom = HEAD + (high - low) * SEMITONE + EDGE;
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
        <Grid {...{ from, to, low, high, beats, x, y, width, bottom }} />
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
                  {named.get(n.index)}
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
  readonly beats: readonly BeatAlong[];
  readonly x: (seconds: number) => number;
  readonly y: (midi: number) => number;
  readonly width: number;
  /** Where the rows end and the seconds are named. */
  readonly bottom: number;
}) {
  const { from, to, low, high, beats, x, y, width, bottom } = props;
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
      <Counted
        beats={beats.filter((b) => b.at > from - 0.05 && b.at < to + 0.05)}
        {...{ x, width, bottom }}
      />
    </>
  );
}

/** The bars and beats of the score, on the time of the recording. */
function Counted(props: {
  readonly beats: readonly BeatAlong[];
  readonly x: (seconds: number) => number;
  readonly width: number;
  readonly bottom: number;
}) {
  const { beats, x, width, bottom } = props;
  const [first, second] = beats;
  const isWide = first && second && x(second.at) - x(first.at) >= NUMBERED;
  return beats.map(({ at, bar, beat }) => (
    <g key={at} className={beat === 1 ? 'bar' : 'beat'}>
      <line x1={x(at)} x2={x(at)} y1={0} y2={beat === 1 ? bottom : 5} />
      {beat === 1
        ? bar !== null &&
          x(at) + BAR <= width && (
            <text className="clock" x={x(at) + 3} y={HEAD - 5}>
              bar {bar}
            </text>
          )
        : isWide && (
            <text className="clock" x={x(at)} y={HEAD - 1} textAnchor="middle">
              {beat}
            </text>
          )}
    </g>
  ));
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
    const picture = scroll.current;
    const note = picture?.querySelector('.chosen rect');
    if (picture == null || note == null) return;
    // What is asked of it stands over the top of the page, once that has scrolled so far.
    const free = () => document.querySelector('.catch-asked')?.getBoundingClientRect().bottom ?? 0;
    const { top, bottom, height } = picture.getBoundingClientRect();
    const isSeen = top >= free() && bottom <= window.innerHeight;
    note.scrollIntoView({ block: isSeen ? 'nearest' : 'center', inline: 'center' });
    if (isSeen || height > window.innerHeight - free()) return;
    // All of the picture where there is room, since bars and beats stand over the notes.
    window.scrollBy(0, picture.getBoundingClientRect().top - free());
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

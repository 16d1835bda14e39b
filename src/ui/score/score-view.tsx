import { useMemo } from 'react';
import type { NoteId, Phrase } from '../../core/phrase/types';
import type { EngraveOptions, Staves } from '../../engrave/options';
import { type DegreeView, degreeLabels } from '../../publish/degree-labels';
import { analysisOf } from './analysis';
import { useEngraver } from './engraver';
import './score.css';
import { ScoreWords } from './score-words';
import { SoundingMarks } from './sounding';
import { System } from './system';
import { textScale, useWidth } from './use-width';

/** Height of a staff space in px at the usual text size: the page, and lists of phrases. */
export const LARGE = 8.5;
export const SMALL = 6.2;

export interface ScoreLook {
  /** Default `both`. */
  readonly staves?: Staves;
  /** Default `chord`. */
  readonly degrees?: DegreeView;
  /** Height of a staff space in px at the usual text size; default `LARGE`. */
  readonly size?: number;
  /** Tempo and feel over the first line; default true. */
  readonly tempo?: boolean;
}

interface ScoreViewProps extends ScoreLook {
  readonly phrase: Phrase;
  /** What the list of notes is called for whoever listens: `Notes of Third Rung`. */
  readonly label: string;
  /** Notes marked as changed. */
  readonly changed?: ReadonlySet<NoteId>;
  /** A fixed width in px, as on paper; otherwise the music follows the room it has. */
  readonly width?: number;
  /** Only the lines with these bars, first and last; all when absent. The pickup is bar 0. */
  readonly bars?: readonly [number, number];
}

/** The engraved phrase with its notes as a list for screen readers. */
export function ScoreView({ phrase, label, width, changed, bars, ...look }: ScoreViewProps) {
  const engraver = useEngraver();
  const [ref, measured] = useWidth<HTMLDivElement>();
  const room = width ?? measured;
  const options = useEngraveOptions(phrase, look, room, changed, width !== undefined);
  const drawing = useMemo(
    () => (engraver === null || engraver === 'failed' ? null : engraver.createEngraver()),
    [engraver],
  );
  const systems = useMemo(
    () => (drawing === null || options === null ? null : drawing.engrave(phrase, options).systems),
    [drawing, phrase, options],
  );
  return (
    <div className="score" ref={ref}>
      {engraver === 'failed' ? (
        <NoEngraver />
      ) : systems === null ? (
        <div className="score-waiting" aria-hidden="true" />
      ) : (
        <div aria-hidden="true">
          {systems
            .filter((s) => isShown(s.bars, bars))
            .map((s, i) => (
              <div className="line" key={s.bars[0] ?? i}>
                <System svg={s.svg} />
                <SoundingMarks line={s} />
              </div>
            ))}
        </div>
      )}
      <ScoreWords phrase={phrase} label={label} {...(bars === undefined ? {} : { bars })} />
    </div>
  );
}

function isShown(line: readonly number[], wished: readonly [number, number] | undefined): boolean {
  return wished === undefined || line.some((bar) => bar >= wished[0] && bar <= wished[1]);
}

/** The part of the program that draws music could not be fetched. */
export function NoEngraver() {
  return (
    <p role="alert">
      The music could not be drawn: a part of the program is missing. Connect to the network once
      and load the page again; nothing of yours is lost.
    </p>
  );
}

/**
 * Options that keep their identity while nothing in them changes.
 * @param fixed The size is taken as it is, as on paper.
 */
export function useEngraveOptions(
  phrase: Phrase,
  look: ScoreLook,
  width: number | null,
  changed?: ReadonlySet<NoteId>,
  fixed = false,
): EngraveOptions | null {
  const { staves = 'both', degrees = 'chord', size = LARGE, tempo = true } = look;
  const labels = useMemo(() => degreeLabels(analysisOf(phrase), degrees), [phrase, degrees]);
  return useMemo(() => {
    if (width === null) return null;
    const scale = textScale();
    return {
      width,
      staves,
      size: fixed ? size : fitSize(size * scale, width),
      tempo,
      ...(labels === null ? {} : { degrees: labels }),
      ...(changed === undefined ? {} : { changed }),
    };
  }, [width, staves, size, tempo, labels, changed, fixed]);
}

/**
 * The music grows with the page within limits: on a narrow one a bar of eighths still fits a line, on
 * a wide one a teacher and a student can read it side by side.
 */
function fitSize(size: number, width: number): number {
  return Math.max(size * 0.85, Math.min(size * 1.25, (size * width) / 800));
}

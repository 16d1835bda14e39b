import type { BeamPart } from '../../core/phrase/written';
import type { Box } from '../ink/box';
import { type Pen, SPACE } from '../ink/pen';
import type { StemDirection } from '../score/score';
import { drawVexBeams, type Segment } from '../vex/beams';

/** SMuFL engraving defaults: half a space thick, a quarter apart. */
const BEAM_THICKNESS = 5;
const BEAM_STEP = 7.5;
const HOOK = 10;
/** Least length of a beamed stem from its nearest head to the outer edge of the beam. */
const LEAST_STEM = 3 * SPACE;
/** Steepest slope, and how far a beam may rise in all. */
const STEEPEST = 0.22;
const MOST_RISE = 1.25 * SPACE;
const CLEARANCE = 2;

export interface BeamMember {
  /** Middle of the stem. */
  readonly x: number;
  /** Where the stem leaves its heads. */
  readonly stemStart: number;
  /** The head nearest to the beam. */
  readonly stemHead: number;
  readonly beams: readonly BeamPart[];
  /** Longer by this for strokes through the stem. */
  readonly extra: number;
}

/** A straight line: outer edge of the first beam. */
interface Line {
  readonly x: number;
  readonly y: number;
  readonly slope: number;
}

const yOn = (l: Line, x: number) => l.y + l.slope * (x - l.x);

/**
 * Draws the beams and stems of one group.
 * @param obstacles Ink that the beams must not run into; they move outwards past it.
 * @param least Shortest stem, for smaller notes.
 * @returns the end of each stem.
 */
export function drawBeamGroup(
  pen: Pen,
  members: readonly BeamMember[],
  stem: StemDirection,
  obstacles: readonly Box[],
  scale = 1,
): readonly number[] {
  const line = placeBeam(members, stem, obstacles, scale);
  const levels = Math.max(...members.map((m) => m.beams.length));
  const pieces = Array.from({ length: levels }, (_, level) => segments(members, level, scale));
  drawVexBeams(pen, members, stem, line, pieces, BEAM_THICKNESS * scale, scale);
  return members.map((m) => yOn(line, m.x));
}

function segments(
  members: readonly BeamMember[],
  level: number,
  scale: number,
): readonly Segment[] {
  const out: Segment[] = [];
  let start = 0;
  members.forEach((m, i) => {
    const gap = (j: number) => Math.abs(members[j]!.x - m.x) / 2;
    switch (m.beams[level]) {
      case 'begin':
        start = m.x;
        break;
      case 'end':
        out.push([start, m.x]);
        break;
      case 'forward hook':
        out.push([m.x, m.x + Math.min(HOOK * scale, gap(i + 1))]);
        break;
      case 'backward hook':
        out.push([m.x - Math.min(HOOK * scale, gap(i - 1)), m.x]);
        break;
      default:
    }
  });
  return out;
}

function placeBeam(
  members: readonly BeamMember[],
  stem: StemDirection,
  obstacles: readonly Box[],
  scale: number,
): Line {
  const up = stem === 'up';
  const out = up ? Math.min : Math.max;
  const sign = up ? -1 : 1;
  const first = members[0]!;
  const last = members.at(-1)!;
  const levels = Math.max(...members.map((m) => m.beams.length));
  const slope = slopeOf(members, up);
  const least = (LEAST_STEM + Math.max(0, levels - 2) * BEAM_STEP) * scale;
  const rise = (m: BeamMember) => slope * (m.x - first.x);
  let y = out(...members.map((m) => m.stemHead + sign * (least + m.extra) - rise(m)));
  if (scale === 1) {
    // Stems of notes far off the staff reach its middle line.
    const middle = 2 * SPACE;
    y = out(y, middle - (up ? Math.max(0, rise(last)) : Math.min(0, rise(last))));
  }
  const band = (levels - 1) * BEAM_STEP * scale + BEAM_THICKNESS * scale;
  const near = obstacles.filter((b) => b.x1 > first.x - 1 && b.x0 < last.x + 1);
  for (let tries = 0; tries < 40; tries++) {
    const line = { x: first.x, y, slope };
    let move = 0;
    for (const b of near) {
      for (const x of [Math.max(b.x0, first.x), Math.min(b.x1, last.x)]) {
        const edge = yOn(line, x);
        const top = up ? edge : edge - band;
        if (b.y0 >= top + band + CLEARANCE || b.y1 <= top - CLEARANCE) continue;
        const need = up ? edge - (b.y0 - CLEARANCE - band) : b.y1 + CLEARANCE + band - edge;
        move = Math.max(move, need);
      }
    }
    if (move <= 0) break;
    y += sign * (move + 0.1);
  }
  return { x: first.x, y, slope };
}

/**
 * Half the slope of the outer notes, within limits; level when they are equal, or when a note
 * between them lies nearer to the beam than both (common practice).
 */
function slopeOf(members: readonly BeamMember[], up: boolean): number {
  const first = members[0]!;
  const last = members.at(-1)!;
  const run = last.x - first.x;
  const dy = last.stemHead - first.stemHead;
  if (run <= 0 || dy === 0) return 0;
  const inner = members.slice(1, -1).map((m) => m.stemHead);
  const pokes = inner.some((h) =>
    up ? h < Math.min(first.stemHead, last.stemHead) : h > Math.max(first.stemHead, last.stemHead),
  );
  if (pokes) return 0;
  const rise = Math.max(-MOST_RISE, Math.min(MOST_RISE, dy / 2));
  return Math.max(-STEEPEST, Math.min(STEEPEST, rise / run));
}

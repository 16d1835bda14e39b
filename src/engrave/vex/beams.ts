import { Beam, Stem, StemmableNote } from 'vexflow/core';
import type { Pen } from '../ink/pen';
import type { StemDirection } from '../score/score';
import { PenContext } from './context';
import { STEM_WIDTH } from './notes';

/** Where a beamed note's stem stands. */
export interface VexMember {
  /** Its middle. */
  readonly x: number;
  /** Where it leaves its heads. */
  readonly stemStart: number;
  /** The head nearest to the beam. */
  readonly stemHead: number;
  /** Its beams, the outermost first. */
  readonly beams: readonly unknown[];
}

/** One straight piece of beam, between the middles of two stems or of a stem and a hook's end. */
export type Segment = readonly [x0: number, x1: number];

class BeamedNote extends StemmableNote {
  middle = 0;

  override getStemX(): number {
    return this.middle;
  }

  override hasStem(): boolean {
    return true;
  }

  /** The beam says how long it is. */
  override getStemExtension(): number {
    return 0;
  }
}

/** What VexFlow calls the levels of beams, from the outermost. */
const LEVELS = ['4', '8', '16', '32', '64'];

class PlacedBeam extends Beam {
  outerY = 0;
  lean = 0;
  half = 0;
  pieces: readonly (readonly Segment[])[] = [];

  /** Slope and height are found where everything that stands in the way is known. */
  override calculateSlope(): void {
    this.slope = this.lean;
    this.yShift = this.outerY - this.notes[0]!.getStemExtents().topY;
  }

  /** Who is joined with whom is part of the written rhythm. */
  override getBeamLines(level: string): { start: number; end: number }[] {
    const here = this.pieces[LEVELS.indexOf(level)] ?? [];
    // VexFlow draws a unit past the end.
    return here.map(([x0, x1]) => ({ start: x0 - this.half, end: x1 + this.half - 1 }));
  }
}

/**
 * Draws the stems and beams of one group.
 * @param outer y of the first beam's outer edge at the first stem, and its slope.
 * @param pieces The pieces of each level, the outermost first.
 */
export function drawVexBeams(
  pen: Pen,
  members: readonly VexMember[],
  direction: StemDirection,
  outer: { readonly y: number; readonly slope: number },
  pieces: readonly (readonly Segment[])[],
  thickness: number,
  scale: number,
): void {
  const up = direction === 'up';
  const notes = members.map((m) => {
    const note = new BeamedNote({ keys: [], duration: String(4 * 2 ** m.beams.length) });
    note.middle = m.x;
    note.buildStem().setStemDirection(up ? Stem.UP : Stem.DOWN);
    // It leaves a single head a little before or after its middle, which is what VexFlow counts from.
    const far = up ? Math.max(m.stemHead, m.stemStart) : Math.min(m.stemHead, m.stemStart);
    const base = m.stemStart - far;
    const stem = note.checkStem();
    stem.setOptions({ stemUpYBaseOffset: base, stemDownYBaseOffset: base });
    stem.setYBounds(up ? m.stemHead : far, up ? far : m.stemHead);
    return note;
  });
  const beam = new PlacedBeam(notes);
  beam.renderOptions.beamWidth = thickness;
  beam.outerY = outer.y;
  beam.lean = outer.slope;
  beam.half = (STEM_WIDTH * scale) / 2;
  beam.pieces = pieces;
  const context = new PenContext(pen, { beam: 'beam', stem: 'stem' }, { stem: STEM_WIDTH * scale });
  beam.setContext(context.forVexFlow).draw();
}

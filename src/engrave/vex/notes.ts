import { BoundingBox, type NoteHead, Stave, StaveNote, Stem } from 'vexflow/core';
import { beamsOfValue, NOTE_VALUES, type NoteValue } from '../../core/phrase/note-value';
import { type Pen, SPACE } from '../ink/pen';
import type { HeadShape, StemDirection } from '../score/score';
import { type Kinds, PenContext } from './context';
import { NOTE_SIZES } from './setup';

/** Thicknesses in units (SMuFL engraving defaults of the music font). */
export const STEM_WIDTH = 1.2;
const VEX_STEM_WIDTH = Stem.WIDTH;
const LEDGER_WIDTH = 1.6;
const LEDGER_EXTENSION = 3.6;

/** A staff with its top line at 0; notes read their places from it. */
export const STAFF = new Stave(0, -4 * SPACE, 0, { leftBar: false, rightBar: false });

/** One head: its left edge and its middle. */
export interface VexHead {
  readonly x0: number;
  readonly y: number;
  readonly shape: HeadShape;
  readonly className?: string;
  /**
   * Family it belongs to, the pen's own where it is not given; null where it is drawn by another
   * note and only counts for stem and ledger lines.
   */
  readonly family?: string | null;
}

export interface VexStem {
  /** Its middle. */
  readonly x: number;
  readonly from: number;
  readonly to: number;
  readonly flag: boolean;
}

/** Size of a note: on the staff, before a note, or in the line of the rhythm. */
export type NoteSize = keyof typeof NOTE_SIZES;

const NOTE: Kinds = { stavenote: 'ledger', notehead: 'notehead', stem: 'stem', flag: 'flag' };
const GRACE: Kinds = { stavenote: 'ledger', notehead: 'grace', stem: 'grace', flag: 'flag' };
const TARGET: Kinds = { ...GRACE, notehead: 'target' };

const LETTERS = 'CDEFGAB';
const MARKS: Readonly<Record<HeadShape, string>> = { normal: '', x: '/X', diamond: '/D' };

/** VexFlow's name of a value. */
export function durationOf(value: NoteValue): string {
  return String(2 ** NOTE_VALUES.indexOf(value));
}

/** What VexFlow calls a head at y with its shape: it finds the same place in its treble clef. */
function keyOf(h: VexHead, value: NoteValue): string {
  const step = Math.round((5 - h.y / SPACE) * 2) + 4 * 7;
  const letter = LETTERS[((step % 7) + 7) % 7]!;
  const mark = MARKS[h.shape];
  const filled = Math.min(2, NOTE_VALUES.indexOf(value));
  return `${letter}/${Math.floor(step / 7)}${mark === '' ? '' : mark + filled}`;
}

const NOTHING = new BoundingBox(0, 0, 0, 0);

/** A chord whose heads and stem stand where they are told to. */
class PlacedNote extends StaveNote {
  static override get CATEGORY(): string {
    return 'PlacedNote';
  }

  left = 0;
  stemMiddle: number | null = null;
  flagged = false;
  shown: readonly VexHead[] = [];
  target: PenContext | null = null;

  /** VexFlow builds the heads twice while a note is made; nothing changes between. */
  override reset(): this {
    return this.noteHeads.length === 0 ? super.reset() : this;
  }

  override getAbsoluteX(): number {
    return this.left;
  }

  override getStemX(): number {
    return this.stemMiddle ?? this.left;
  }

  override hasStem(): boolean {
    // Asked before the fields are there, while the note is made.
    return (this.stemMiddle ?? null) !== null;
  }

  /** The stem goes where it is told to, and nothing hangs on the heads. */
  override getStemExtension(): number {
    return 0;
  }

  override calcNoteDisplacements(): void {}

  override drawModifiers(): void {}

  override shouldDrawFlag(): boolean {
    return this.flagged;
  }

  /** VexFlow hangs flags to the left edge of a stem that is thicker than the font's. */
  override drawFlag(): void {
    const middle = this.stemMiddle;
    if (middle === null || !this.flagged) return;
    this.stemMiddle = middle + VEX_STEM_WIDTH / 2 - (STEM_WIDTH * this.getFontScale()) / 2;
    super.drawFlag();
    this.stemMiddle = middle;
  }

  /** Each in its family and with its class. */
  override drawNoteHeads(): void {
    const target = this.target!;
    const own = target.pen.group;
    this.noteHeads.forEach((head, i) => {
      const { family = own, className } = this.shown[i]!;
      if (family === null) return;
      target.pen.of(family);
      target.className = className ?? '';
      head.setContext(target.forVexFlow).draw();
    });
    target.className = '';
    target.pen.of(own);
  }

  /** The outline is the pen's. */
  override getBoundingBox(): BoundingBox {
    return NOTHING;
  }
}

class GraceHead extends PlacedNote {
  static override get CATEGORY(): string {
    return 'GraceHead';
  }
}

class RhythmHead extends PlacedNote {
  static override get CATEGORY(): string {
    return 'RhythmHead';
  }
}

const CLASSES = { PlacedNote, GraceHead, RhythmHead } as const;

/**
 * Draws heads with their ledger lines, and stem and flag where the note stands alone.
 * @param heads From the lowest to the highest.
 * @param left Where heads on the stem's proper side begin.
 */
export function drawVexNote(
  pen: Pen,
  heads: readonly VexHead[],
  left: number,
  value: NoteValue,
  direction: StemDirection,
  stem: VexStem | null,
  size: NoteSize = 'PlacedNote',
  kinds: 'note' | 'grace' | 'target' = 'note',
): void {
  const scale = NOTE_SIZES[size];
  const note = new CLASSES[size]({
    keys: heads.map((h) => keyOf(h, value)),
    duration: durationOf(value),
    stemDirection: direction === 'up' ? Stem.UP : Stem.DOWN,
    strokePx: LEDGER_EXTENSION * scale,
  });
  const widths = {
    ledger: LEDGER_WIDTH * scale,
    stem: STEM_WIDTH * scale,
    grace: STEM_WIDTH * scale,
  };
  const context = new PenContext(
    pen,
    kinds === 'note' ? NOTE : kinds === 'grace' ? GRACE : TARGET,
    widths,
  );
  note.left = left;
  note.shown = heads;
  note.target = context;
  note.setStave(STAFF).setContext(context.forVexFlow);
  note.noteHeads.forEach((head: NoteHead, i) => {
    // Its own place, which VexFlow counts from where it would put the head itself.
    head.setX(left);
    head.setXShift(heads[i]!.x0 - head.getAbsoluteX());
  });
  if (stem !== null) {
    note.stemMiddle = stem.x;
    note.flagged = stem.flag && beamsOfValue(value) > 0;
    placeStem(note, heads, direction, stem);
  }
  note.draw();
}

function placeStem(
  note: PlacedNote,
  heads: readonly VexHead[],
  direction: StemDirection,
  stem: VexStem,
): void {
  const up = direction === 'up';
  const far = up ? heads[0]! : heads.at(-1)!;
  const near = up ? heads.at(-1)! : heads[0]!;
  const base = stem.from - far.y;
  const drawn = note.checkStem();
  drawn.setOptions({ stemUpYBaseOffset: base, stemDownYBaseOffset: base });
  drawn.setExtension(Math.abs(near.y - stem.to) - Stem.HEIGHT);
}

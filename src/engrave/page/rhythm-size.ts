import { beamsOfValue } from '../../core/phrase/note-value';
import { GLYPHS } from '../font/glyphs';
import { measureText } from '../font/measure';
import { MUSIC_SIZE } from '../ink/pen';
import type { ScoreItem } from '../score/score';
import { headGlyph } from '../staff/heads';
import { restGlyph } from '../staff/rests';
import { NOTE_SIZES } from '../vex/setup';

/** Size of the small notes that write a rhythm under a tablature, against those of a staff. */
export const RHYTHM_SCALE = NOTE_SIZES.RhythmHead;

const DOT_GAP = 2.5;
/** A flag hangs down beside the head. */
const FLAG_ROOM = 7;
const DOT_WIDTH = 4;

/** From the head's right edge to its dot. */
export function rhythmDotGap(item: ScoreItem): number {
  const flagged = item.group === null && beamsOfValue(item.written.value) > 0;
  return flagged && item.event !== null ? FLAG_ROOM : DOT_GAP;
}

/** Room of a small note or rest to the left and right of its middle. */
export function rhythmExtent(item: ScoreItem): { readonly x0: number; readonly x1: number } {
  const { value, dots } = item.written;
  const glyph = item.event === null ? restGlyph(value) : headGlyph('normal', value);
  const half = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE * RHYTHM_SCALE).x1 / 2;
  const gap = rhythmDotGap(item);
  const right = dots === 1 ? gap + DOT_WIDTH : gap === FLAG_ROOM ? FLAG_ROOM : 0;
  return { x0: -half, x1: half + right };
}

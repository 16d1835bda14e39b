import { GLYPHS } from '../font/glyphs';
import { measureText } from '../font/measure';
import { clearArc } from '../ink/arc';
import { glyphBox, MUSIC_SIZE, type Pen } from '../ink/pen';
import { drawTuplets } from '../signs/tuplets';
import { drawBeamGroup } from '../staff/beams';
import { drawFlag, drawStem, hasStem, headGlyph, STEM_LENGTH } from '../staff/heads';
import { restGlyph } from '../staff/rests';
import type { LineLayout } from './line';
import { RHYTHM_SCALE, rhythmDotGap } from './rhythm-size';
import { Row } from './row';
import { musicLeft } from './staff-row';
import type { Thread } from './thread';

const SCALE = RHYTHM_SCALE;
const LENGTH = STEM_LENGTH * SCALE * 0.9;

/**
 * The rhythm of one voice as small notes on a line of their own: what a tablature or a line of
 * degrees does not say by itself.
 */
export function drawRhythmRow(line: LineLayout, thread: Thread, width: number): Row {
  const row = new Row(width, 0, 0);
  const { pen } = row;
  const right = line.bars.at(-1)?.x1 ?? width;
  const half = measureText(GLYPHS.noteheadBlack, 'music', MUSIC_SIZE * SCALE).advance / 2;
  thread.forEach((p, i) => {
    const { item } = p.place;
    const { written } = item;
    const centre = p.x + p.place.centre;
    if (item.event === null) {
      const glyph = restGlyph(written.value);
      const box = glyphBox(glyph, 0, 0, SCALE);
      const y = -6;
      pen.sign('rest').glyph(glyph, centre - (box.x0 + box.x1) / 2, y, SCALE);
      if (written.dots === 1) {
        pen
          .sign('dot')
          .glyph('augmentationDot', centre + (box.x1 - box.x0) / 2 + 2, y - 3.4, SCALE);
      }
      return;
    }
    pen.of(`rhythm ${item.family}`);
    const head = headGlyph('normal', written.value);
    const m = measureText(GLYPHS[head], 'music', MUSIC_SIZE * SCALE);
    pen.sign('notehead').glyph(head, centre - m.advance / 2, 0, SCALE);
    const x = centre + half - 0.4;
    if (hasStem(written.value) && item.group === null) {
      drawStem(pen, x, -1.1, -LENGTH, SCALE);
      drawFlag(pen, x, -LENGTH, 'up', written.value, SCALE);
    }
    pen.of('');
    if (written.dots === 1) {
      const gap = rhythmDotGap(item);
      pen.sign('dot').glyph('augmentationDot', centre + m.advance / 2 + gap, 0, SCALE);
    }
    const y = 4.5;
    if (written.tieStart) {
      const next = thread[i + 1];
      const to = next === undefined ? right - 2 : next.x + next.place.centre - half - 0.5;
      const from = centre + half + 0.5;
      clearArc(pen.sign('tie'), { x: from, y }, { x: Math.max(to, from + 6), y }, 1, [], TIE);
    }
    if (written.tieStop && i === 0) {
      const to = centre - half - 0.5;
      const from = Math.max(musicLeft(line), to - 18);
      clearArc(pen.sign('tie'), { x: from, y }, { x: to, y }, 1, [], TIE);
    }
  });
  drawGroups(pen, thread, half);
  row.settle();
  drawTuplets(row, thread, () => 'above', SCALE);
  row.settle();
  return row;
}

const TIE = { least: 3, most: 3, thick: 1.5 } as const;

function drawGroups(pen: Pen, thread: Thread, half: number): void {
  let i = 0;
  while (i < thread.length) {
    const first = thread[i]!;
    const { group } = first.place.item;
    let j = i + 1;
    if (group !== null) {
      while (
        j < thread.length &&
        thread[j]!.bar === first.bar &&
        thread[j]!.place.item.group === group
      ) {
        j++;
      }
      const members = thread.slice(i, j).map((p) => ({
        x: p.x + p.place.centre + half - 0.4,
        stemStart: -1.1,
        stemHead: 0,
        beams: p.place.item.written.beams,
        extra: 0,
      }));
      pen.of(`rhythm ${first.place.item.family}`);
      drawBeamGroup(pen, members, 'up', [], SCALE);
      pen.of('');
    }
    i = j;
  }
}

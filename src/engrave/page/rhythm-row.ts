import type { PhraseEvent } from '../../core/phrase/types';
import { GLYPHS } from '../font/glyphs';
import { measureText } from '../font/measure';
import { clearArc } from '../ink/arc';
import { glyphBox, MUSIC_SIZE, type Pen } from '../ink/pen';
import { stackArticulations } from '../signs/articulations';
import { drawTuplets } from '../signs/tuplets';
import { drawBeamGroup } from '../staff/beams';
import {
  aloneStem,
  hasStem,
  headGlyph,
  STEM_LENGTH,
  tremoloPlace,
  tremoloRoom,
} from '../staff/heads';
import { restGlyph } from '../staff/rests';
import { drawVexDot, drawVexRest } from '../vex/marks';
import { drawVexNote } from '../vex/notes';
import type { LineLayout } from './line';
import { RHYTHM_SCALE, rhythmDotGap } from './rhythm-size';
import { Row } from './row';
import { musicLeft } from './staff-row';
import { beamGroups, eventsOf, type Placed, type Thread } from './thread';

const SCALE = RHYTHM_SCALE;
const LENGTH = STEM_LENGTH * SCALE * 0.9;
const HALF = measureText(GLYPHS.noteheadBlack, 'music', MUSIC_SIZE * SCALE).advance / 2;
const REST_Y = -6;
const TIE_Y = 4.5;
const TIE = { least: 3, most: 3, thick: 1.5 } as const;

/**
 * The rhythm of one voice as small notes on a line of their own: what a tablature or a line of
 * degrees does not say by itself.
 * @param events All events of the voice.
 */
export function drawRhythmRow(
  line: LineLayout,
  thread: Thread,
  events: readonly PhraseEvent[],
  width: number,
): Row {
  const row = new Row(width, 0, 0);
  const { pen } = row;
  thread.forEach((p, i) => {
    if (p.place.item.event === null) drawRest(pen, p);
    else {
      drawNote(pen, p);
      drawTie(pen, line, thread, i);
    }
  });
  drawGroups(pen, thread);
  drawTuplets(row, thread, () => 'above', SCALE);
  stackArticulations(row, eventsOf(thread, events), SCALE);
  row.settle();
  return row;
}

function centreOf(p: Placed): number {
  return p.x + p.place.centre;
}

function stemX(p: Placed): number {
  return centreOf(p) + HALF - 0.4;
}

function drawRest(pen: Pen, p: Placed): void {
  const { value, dots } = p.place.item.written;
  const glyph = restGlyph(value);
  const box = glyphBox(glyph, 0, 0, SCALE);
  drawVexRest(pen, value, glyph, centreOf(p) - (box.x0 + box.x1) / 2, REST_Y, SCALE);
  if (dots === 0) return;
  const x = centreOf(p) + (box.x1 - box.x0) / 2 + 2;
  drawVexDot(pen, x, REST_Y - 3.4, SCALE);
}

function drawNote(pen: Pen, p: Placed): void {
  const { item } = p.place;
  const { value, dots } = item.written;
  const strokes = item.event?.tremolo;
  pen.of(`rhythm ${item.family}`);
  const head = headGlyph('normal', value);
  const { advance } = measureText(GLYPHS[head], 'music', MUSIC_SIZE * SCALE);
  const end = -LENGTH - tremoloRoom(strokes ?? 0, value) * SCALE;
  const alone = hasStem(value) && item.group === null;
  const stem = alone ? aloneStem(stemX(p), -1.1, end, 'up', value, SCALE) : null;
  const x0 = centreOf(p) - advance / 2;
  drawVexNote(pen, [{ x0, y: 0, shape: 'normal' }], x0, value, 'up', stem, 'RhythmHead');
  if (strokes !== undefined) {
    const x = hasStem(value) ? stemX(p) : centreOf(p);
    pen.sign('tremolo').glyph(`tremolo${strokes}`, x, -tremoloPlace(strokes) * SCALE, SCALE);
  }
  pen.of('');
  if (dots === 0) return;
  const x = centreOf(p) + advance / 2 + rhythmDotGap(item);
  drawVexDot(pen, x, 0, SCALE);
}

/** From a note to the next part of its event, and from the line before. */
function drawTie(pen: Pen, line: LineLayout, thread: Thread, i: number): void {
  const p = thread[i]!;
  const { tieStart, tieStop } = p.place.item.written;
  const arc = (from: number, to: number) => {
    clearArc(pen.sign('tie'), { x: from, y: TIE_Y }, { x: to, y: TIE_Y }, 1, [], TIE);
  };
  if (tieStart) {
    const next = thread[i + 1];
    const from = centreOf(p) + HALF + 0.5;
    const to = next === undefined ? line.bars.at(-1)!.x1 - 2 : centreOf(next) - HALF - 0.5;
    arc(from, Math.max(to, from + 6));
  }
  if (tieStop && i === 0) {
    const to = centreOf(p) - HALF - 0.5;
    arc(Math.max(musicLeft(line), to - 18), to);
  }
}

function drawGroups(pen: Pen, thread: Thread): void {
  for (const members of beamGroups(thread)) {
    pen.of(`rhythm ${members[0]!.place.item.family}`);
    drawBeamGroup(
      pen,
      members.map((p) => {
        const { event, written } = p.place.item;
        const extra = tremoloRoom(event?.tremolo ?? 0, written.value);
        return {
          x: stemX(p),
          stemStart: -1.1,
          stemHead: 0,
          beams: written.beams,
          extra: extra * SCALE,
        };
      }),
      'up',
      [],
      SCALE,
    );
    pen.of('');
  }
}

import { ratioText } from '../../core/phrase/tuplet-ratio';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import { type Fragment, MUSIC_SIZE, Pen } from '../ink/pen';
import type { Row, Side } from '../page/row';
import type { Placed, Thread } from '../page/thread';

/** Right edge of the last note of a bracket, from its column's origin. */
const HEAD = 11.8;

interface Group {
  readonly members: readonly Placed[];
  /** `3`, or `7:3`. */
  readonly text: string;
}

/**
 * Writes the numbers of tuplets on the side of their beams, with a bracket where no beam holds just
 * their notes together (common practice).
 */
export function drawTuplets(
  row: Row,
  thread: Thread,
  sideOf: (p: Placed) => Side,
  scale = 1,
): void {
  for (const g of groupsOf(thread)) {
    const side = majority(g.members.map(sideOf));
    const first = g.members[0]!;
    const last = g.members.at(-1)!;
    const number = drawNumber(g, scale);
    const width = Math.max(...number.ink.map((k) => k.x1));
    const x0 = first.x - 1;
    const x1 = last.x + HEAD * scale + 1;
    const middle = (x0 + x1) / 2;
    if (isHeldByBeam(thread, g)) {
      row.stack(side, number, middle - width / 2, 3);
      continue;
    }
    const pen = new Pen();
    pen.sign('tuplet');
    const hook = side === 'above' ? 6 : -6;
    const room = width / 2 + 3;
    const length = x1 - x0;
    if (length > 2 * room + 4) {
      pen.polyline(
        [
          { x: 0, y: hook },
          { x: 0, y: 0 },
          { x: length / 2 - room, y: 0 },
        ],
        1.1,
      );
      pen.polyline(
        [
          { x: length / 2 + room, y: 0 },
          { x: length, y: 0 },
          { x: length, y: hook },
        ],
        1.1,
      );
    }
    pen.place(number, length / 2 - width / 2, 4.8 * scale);
    row.stack(side, pen.done(), x0, 3);
  }
}

function groupsOf(thread: Thread): Group[] {
  const groups: { members: Placed[]; text: string }[] = [];
  for (const p of thread) {
    const t = p.place.item.written.tuplet;
    if (t === null) continue;
    const open = groups.at(-1);
    if (open === undefined || t.start) groups.push({ members: [p], text: ratioText(t) });
    else open.members.push(p);
  }
  return groups;
}

/** One beam joins all its notes and nothing else. */
function isHeldByBeam(thread: Thread, g: Group): boolean {
  const beam = g.members[0]!.place.item.group;
  if (beam === null || g.members.some((m) => m.place.item.group !== beam)) return false;
  const bar = g.members[0]!.bar;
  const inBeam = thread.filter((p) => p.bar === bar && p.place.item.group === beam);
  return inBeam.length === g.members.length;
}

function majority(sides: readonly Side[]): Side {
  return sides.filter((s) => s === 'above').length * 2 >= sides.length ? 'above' : 'below';
}

function drawNumber(g: Group, scale: number): Fragment {
  const pen = new Pen();
  pen.sign('tuplet');
  const size = 0.62 * scale;
  let x = 0;
  const put = (glyph: GlyphName) => {
    pen.glyph(glyph, x, 0, size);
    x += measureText(GLYPHS[glyph], 'music', MUSIC_SIZE * size).advance;
  };
  for (const c of g.text) put(c === ':' ? 'tupletColon' : (`tuplet${c}` as GlyphName));
  return pen.done();
}

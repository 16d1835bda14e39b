import { describe, expect, it } from 'vitest';
import { compPart } from '../../../src/core/backing/comp-part';
import { isRhythm } from '../../../src/core/backing/rhythm';
import type { Phrase } from '../../../src/core/phrase/types';
import { analyse } from '../../../src/core/understand/analyse';
import type { Ink } from '../../../src/engrave/ink/pen';
import { findOutside, findOverlaps } from '../../../src/engrave/ink/touching';
import { engraveJoined } from '../../../src/engrave/joined';
import type { Staves } from '../../../src/engrave/options';
import { readQuick } from '../../../src/io/quick/read';
import { degreeLabels } from '../../../src/publish/degree-labels';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const rhythms = samples.filter((p) => isRhythm(p));
const birth = { id: 'comping', now: '2026-01-01T00:00:00Z', title: 'Comping' };

/** Stems that reach up between degrees, as if they belonged to them; within half a staff space. */
function stemsAtDegrees(ink: readonly Ink[]) {
  const degrees = ink.filter((k) => k.kind === 'degree');
  return ink.filter(
    (k) =>
      k.kind === 'stem' &&
      degrees.some((d) => k.y0 < d.y1 + 5 && k.y1 > d.y1 && k.x0 < d.x1 + 5 && k.x1 > d.x0 - 5),
  );
}

function quick(text: string): Phrase {
  const read = readQuick(text, { id: 'quick', now: birth.now });
  if (!read.ok) throw new Error(read.problems[0]!.message);
  return read.value;
}

/** Samples with the comping of a rhythm beneath each. */
const pairs = samples.flatMap((solo, i) =>
  rhythms
    .filter((_, k) => k === i % rhythms.length)
    .flatMap((rhythm) => {
      const part = compPart(solo, rhythm, birth);
      return part.ok ? [{ solo, part: part.value.phrase }] : [];
    }),
);

describe('a phrase with comping beneath it on the same lines', () => {
  it('keeps all ink clear and on the page, both parts in one drawing', () => {
    expect(pairs.length).toBeGreaterThan(10);
    const looks: readonly Staves[] = ['both', 'staff', 'tab'];
    for (const [i, { solo, part }] of pairs.entries()) {
      const staves = looks[i % looks.length]!;
      const width = i % 2 === 0 ? 340 : 700;
      const options = { width, staves, size: 7 };
      const lines = engraveJoined(
        { phrase: solo, options },
        { phrase: part, options, name: 'Comping' },
      );
      const name = `${solo.meta.title}, ${staves}, ${width}`;
      expect(lines.flatMap((l) => l.bars).length, name).toBe(
        solo.bars.length + (solo.pickup > 0 ? 1 : 0),
      );
      for (const l of lines) {
        expect(findOverlaps(l.ink), name).toEqual([]);
        const page = { x0: 0, y0: 0, x1: l.units.width, y1: l.units.height };
        expect(findOutside(l.ink, page), name).toEqual([]);
        expect(l.width, name).toBeLessThanOrEqual(width + 0.01);
        expect(l.ink.some((k) => k.kind === 'bracket')).toBe(true);
        const rows = l.hits.rows.map((r) => r.row);
        const each = staves === 'both' ? ['staff', 'tab'] : [staves];
        expect(rows, name).toEqual([...each, ...each]);
        expect(l.hits.rows.every((r, k) => k === 0 || r.y0 > l.hits.rows[k - 1]!.y1)).toBe(true);
      }
      const ids = new Set(lines.flatMap((l) => l.hits.notes.map((n) => n.id)));
      for (const p of [solo, part]) {
        for (const e of p.voices.flatMap((v) => v?.events ?? [])) {
          for (const n of e.notes) expect(ids.has(n.id), `${name} ${n.id}`).toBe(true);
        }
      }
      expect(lines[0]!.svg.match(/>Comping</gu), name).toHaveLength(1);
    }
  });

  it('keeps stems of the comping away from the degrees above it', () => {
    const solo = quick('[A blues, 4/4] {D7} q 4:2 r 4:2 r');
    const part = quick('[A blues, 4/4] {D7} q 5:5+4:7+3:5+2:7 5:5 5:5+4:7+3:5+2:7 5:5');
    const options = { width: 400, staves: 'both' as const };
    const [line] = engraveJoined(
      { phrase: solo, options: { ...options, degrees: degreeLabels(analyse(solo), 'chord')! } },
      { phrase: part, options, name: 'Comping' },
    );
    const ink = line!.ink;
    expect(ink.filter((k) => k.kind === 'degree')).toHaveLength(2);
    expect(stemsAtDegrees(ink)).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { compPart } from '../../../src/core/backing/comp-part';
import { isRhythm } from '../../../src/core/backing/rhythm';
import { findOutside, findOverlaps } from '../../../src/engrave/ink/touching';
import { engraveJoined } from '../../../src/engrave/joined';
import type { Staves } from '../../../src/engrave/options';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const rhythms = samples.filter((p) => isRhythm(p));
const birth = { id: 'comping', now: '2026-01-01T00:00:00Z', title: 'Comping' };

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
});

import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { TECHNIQUE_FIELDS } from '../../../../src/core/technique/table';
import { valueOfTechnique } from '../../../../src/core/technique/value';
import { readQuick } from '../../../../src/io/quick/read';
import { QUICK_SIGNS, TECHNIQUE_SIGNS } from '../../../../src/io/quick/signs';

/** Every technique that stands in a phrase. */
function techniquesIn(p: Phrase) {
  const all = p.voices.flatMap((v) => v.events.flatMap((e) => [e, ...e.notes]));
  return TECHNIQUE_FIELDS.filter((f) => all.some((x) => valueOfTechnique(x, f) !== undefined));
}

describe('every technique can be said in quick text', () => {
  it.each(TECHNIQUE_FIELDS)('%s', (field) => {
    const sign = QUICK_SIGNS.find((s) => s.sign === TECHNIQUE_SIGNS[field]);
    if (sign === undefined) throw new Error(`no sign ${TECHNIQUE_SIGNS[field]}`);
    const read = readQuick(sign.example, { id: 'x', now: '2026-11-27T00:00:00Z' });
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(techniquesIn(read.value)).toContain(field);
  });
});

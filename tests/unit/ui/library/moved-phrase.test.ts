import { describe, expect, it } from 'vitest';
import { analyse } from '../../../../src/core/understand/analyse';
import { degreeText } from '../../../../src/publish/degree-labels';
import { overOne } from '../../../../src/ui/library/first-phrase';
import { overFour } from '../../../../src/ui/library/moved-phrase';

describe('the phrase of the first visit', () => {
  it('is over I7, then over IV7 with other notes and the same degrees', () => {
    const over = overOne()!;
    const moved = overFour(over)!;
    expect([over, moved].map((p) => p.chords[0]?.symbol)).toEqual(['A7', 'D7']);
    const degrees = [over, moved].map((p) =>
      analyse(p).readings.map((r) => degreeText(r, 'chord')),
    );
    expect(degrees[0]!.length).toBeGreaterThan(5);
    expect(degrees[1]).toEqual(degrees[0]);
    expect(new Set(degrees[0]).has('♭3')).toBe(true);
  });
});

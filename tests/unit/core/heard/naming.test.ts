import { describe, expect, it } from 'vitest';
import { proposeName } from '../../../../src/core/heard/naming';
import { readQuick } from '../../../../src/io/quick/read';

function named(text: string) {
  const read = readQuick(text, { id: 'x', now: '2026-11-28T00:00:00Z' });
  if (!read.ok) throw new Error(read.problems[0]?.message);
  return proposeName(read.value, 'T, 1');
}

describe('what a phrase that was played may be called', () => {
  it('is what it does oftenest, over its chords in its key', () => {
    expect(
      named('[A blues] {A7} e 2:8b10 2:8b10 q 3:5 3:5+2:5 3:7+2:7 | {D7} 2:8b10 h. r'),
    ).toEqual({
      title: 'T, 1: bends and double stops over I7 IV7 in A',
      tags: ['bends', 'double stops'],
    });
    expect(named('[Bb] q 3:5 h7 h9 h10 | 3:7 S/9 S/10 r')).toEqual({
      title: 'T, 1: hammer-ons and slides in B♭',
      tags: ['hammer-ons', 'slides'],
    });
  });

  it('claims nothing that is there only once', () => {
    expect(named('[C] {C7} q 3:5 2:8b10 3:5 3:7~')).toEqual({
      title: 'T, 1: single notes over I7 in C',
      tags: [],
    });
    expect(named('[C] q 3:5+2:5 3:7 r r').title).toBe('T, 1: notes in C');
  });
});

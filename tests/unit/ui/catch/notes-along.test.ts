import { afterEach, describe, expect, it, vi } from 'vitest';
import { notesAlong, notesAt } from '../../../../src/ui/catch/notes-along';

const HEARD = new Map([
  ['low', { onset: 0.5, end: 2 }],
  ['first', { onset: 0.5, end: 1 }],
  ['second', { onset: 1, end: 1.6 }],
]);

afterEach(() => vi.unstubAllGlobals());

describe('the notes that the recording has at a moment', () => {
  it('has each from where it begins until it ends', () => {
    const at = (t: number) => [...notesAt(HEARD, t)];
    expect([0.4, 0.5, 0.99, 1, 1.7, 2].map(at)).toEqual([
      [],
      ['low', 'first'],
      ['low', 'first'],
      ['low', 'second'],
      ['low'],
      [],
    ]);
  });

  it('tells every line of music of a change once, and looks no more where nobody asks', () => {
    const frames: (() => void)[] = [];
    vi.stubGlobal('requestAnimationFrame', (run: () => void) => frames.push(run));
    vi.stubGlobal('cancelAnimationFrame', () => frames.pop());
    let at: number | null = 0.6;
    const sounding = notesAlong(HEARD, () => at);
    let told = 0;
    const lines = [0, 1].map(() => sounding.subscribe(() => told++));
    const next = () => {
      expect(frames).toHaveLength(1);
      frames.pop()!();
      return [...sounding.now()];
    };
    expect([next(), told]).toEqual([['low', 'first'], 2]);
    const before = sounding.now();
    at = 0.7;
    next();
    expect([sounding.now() === before, told]).toEqual([true, 2]);
    at = 1.2;
    expect([next(), told]).toEqual([['low', 'second'], 4]);
    at = null;
    expect([next(), told]).toEqual([[], 6]);
    for (const leave of lines) leave();
    expect(frames).toEqual([]);
  });
});

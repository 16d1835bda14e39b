import { describe, expect, it } from 'vitest';
import {
  eventSpot,
  findLinks,
  graceSpot,
  palmMuteRuns,
  SpannerNumbers,
  slideInSpot,
} from '../../../../../src/io/musicxml/write/spanners';
import { build } from '../../../../support/build';

describe('SpannerNumbers', () => {
  it('gives the lowest free number of each type, in the order of the document', () => {
    const n = new SpannerNumbers();
    expect(n.start('slur', 'a')).toBe(1);
    expect(n.start('slur', 'b')).toBe(2);
    expect(n.start('slide', 'a')).toBe(1);
    expect(n.stop('slur', 'a')).toBe(1);
    expect(n.start('slur', 'c')).toBe(1);
    expect(n.unclosed()).toEqual(['slur b', 'slur c', 'slide a']);
    expect(() => n.start('slur', 'b')).toThrow(RangeError);
    expect(() => n.stop('slur', 'a')).toThrow(RangeError);
  });
});

describe('findLinks', () => {
  it('links the notes on one string, through graces, and the starts of slide-ins', () => {
    const p = build('q 3/5+2/5 3/7(h)+2/8(s)@g:3/4;3/5~h 3/7(in:-2)', { chords: 'C' });
    const links = [...findLinks(p).startAt.values()]
      .flat()
      .map((l) => `${l.kind}: ${l.from} to ${l.to}`);
    expect(links.sort()).toEqual(
      [
        `hammer-on: ${graceSpot(0, 1, 0, 3)} to ${graceSpot(0, 1, 1, 3)}`,
        `hammer-on: ${graceSpot(0, 1, 1, 3)} to ${eventSpot(0, 1, 3)}`,
        `slide: ${eventSpot(0, 0, 2)} to ${eventSpot(0, 1, 2)}`,
        `slide-in: ${slideInSpot(0, 2, 3)} to ${eventSpot(0, 2, 3)}`,
      ].sort(),
    );
  });
});

describe('palmMuteRuns', () => {
  it('ends at other notes and at rests', () => {
    const p = build('e 5/3@pm 5/3@pm 5/5 5/3@pm - 5/3@pm 5/3@pm 5/3@pm', { chords: 'C' });
    expect(palmMuteRuns(p.voices[0].events)).toEqual([
      [0, 1],
      [3, 3],
      [4, 6],
    ]);
  });
});

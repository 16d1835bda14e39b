import { describe, expect, it } from 'vitest';
import { build } from '../../../support/build';
import { chosen, cursorOn, ordered, said } from '../../../support/technique';

const c7 = (line: string) => build(line, { chords: 'C7' });

describe('what gives way to a technique is named', () => {
  it('vibrato to a trill', () => {
    const s = cursorOn(c7('w 3/7(vib)'), 3);
    expect(said(s, 'hand.trill', 2)).toBe('trill, 2 semitones; vibrato taken off');
    expect(said(ordered(s, 'hand.trill', 2), 'hand.trill', 0)).toBe('without a trill');
  });

  it('everything that needs a stopped string to a natural harmonic', () => {
    const s = cursorOn(c7('h 3/5 3/12(s,vib,out:up,bend:A4)'), 3, 1);
    expect(said(s, 'hand.harmonic', 'natural')).toBe(
      'a natural harmonic; hammer-on, pull-off or slide, slide off, bend, vibrato taken off',
    );
    expect(said(s, 'hand.harmonic', 'pinch')).toBe('a pinch harmonic an octave above');
  });

  it('a slide-in to a slide from the note before, and the other way round', () => {
    expect(said(cursorOn(c7('h 3/5 3/7(in:-1)'), 3, 1), 'hand.attack', 'slide')).toBe(
      'by a slide from the note before; slide-in taken off',
    );
    expect(said(cursorOn(c7('h 3/5 3/7(s)'), 3, 1), 'hand.slide-in', 'below')).toBe(
      'slid into from a semitone below; hammer-on, pull-off or slide taken off',
    );
    expect(said(cursorOn(c7('w 3/7(in:-1)'), 3), 'hand.grace', '-1 hammer-on')).toBe(
      'grace note; slide-in taken off',
    );
  });

  it('vibrato, bend and slide-in to the open string that an octave lower ends on', () => {
    for (const [technique, name] of [
      ['vib', 'vibrato'],
      ['bend:F#3', 'bend'],
      ['in:-1', 'slide-in'],
    ]) {
      const s = cursorOn(c7(`w 6/12(${technique})`), 6);
      expect(said(s, 'move.phrase-octave', -1)).toBe(`an octave lower; ${name} taken off`);
    }
  });

  it('everything to a dead note, once each', () => {
    const s = chosen(c7('h 3/7(bend:E4,vib) 2/8(vib,dip:2)'));
    expect(said(s, 'hand.dead')).toBe('dead note; bend, vibrato, dip taken off');
    expect(said(cursorOn(c7('w 3/7'), 3), 'hand.dead')).toBe('dead note');
  });
});

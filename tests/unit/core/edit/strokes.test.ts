import { describe, expect, it } from 'vitest';
import { build } from '../../../support/build';
import { chosen, ordered } from '../../../support/technique';

/** Strokes of the chosen moments, `d` and `u`, `-` where nothing is plucked. */
function strokes(line: string, options: Parameters<typeof build>[1] = {}, from = 0): string {
  const s = ordered(chosen(build(line, options), from), 'pick.alternate', 'down');
  return s.phrase.voices[0].events
    .slice(from)
    .map((e) => e.stroke?.[0] ?? '-')
    .join('');
}

describe('alternate picking goes by the count (common practice)', () => {
  it.each([
    ['eighths', 'e 3/5 3/7 3/5 3/7 h -', 'dudu'],
    ['eighths with a rest on the beat', 'e 3/5 3/7 - 3/7 h -', 'duu'],
    ['eighths that begin off the beat', 'e - 3/7 3/5 3/7 h -', 'udu'],
    ['quarters alone', 'q 3/5 3/7 3/5 3/7', 'dudu'],
    ['halves alone', 'h 3/5 3/7', 'du'],
    ['quarters among eighths', 'q 3/5 e 3/7 3/5 q 3/7 3/5', 'ddudd'],
    ['16ths in one beat', 's 3/5 3/7 3/5 3/7 e 3/5 3/7 h -', 'dududu'],
    ['an eighth and two 16ths', 'e 3/5 s 3/7 3/5 e 3/7 3/5 h -', 'ddudu'],
    ['a dotted eighth and a 16th', 'e. 3/5 s 3/7 q 3/5 h -', 'dud'],
    ['a syncopation', 'e 3/5 q 3/7 e 3/5 h -', 'duu'],
    ['triplets counted on', 'e3 3/5 3/7 3/9 3/5 3/7 3/9 h -', 'dududu'],
    ['a triplet between eighths', 'e3 3/5 3/7 3/9 e 3/5 3/7 h -', 'duddu'],
    ['a triplet with a rest', 'e3 3/5 - 3/9 q 3/5 h -', 'ddd'],
    ['quintuplets counted on', 's5 3/5 3/6 3/7 3/8 3/9 3/5 3/6 3/7 3/8 3/9 h -', 'dududududu'],
  ])('%s', (_, line, expected) => {
    expect(strokes(line)).toBe(expected);
  });

  it.each([
    ['6/8 eighths', '6/8', 'e 3/5 3/7 3/9 3/5 3/7 3/9', 'dududu'],
    ['6/8 dotted quarters', '6/8', 'q. 3/5 3/7', 'du'],
    ['6/8 quarter and eighth', '6/8', 'q 3/5 e 3/7 q 3/5 e 3/7', 'dduu'],
    ['6/8 16ths', '6/8', 's 3/5 3/7 3/5 3/7 3/5 3/7 q. -', 'dududu'],
    ['7/8 eighths', '7/8', 'e 3/5 3/7 3/9 3/5 3/7 3/9 3/5', 'dududud'],
    ['3/4 quarters', '3/4', 'q 3/5 3/7 3/9 | 3/5 3/7 3/9', 'duddud'],
  ])('%s', (_, meter, line, expected) => {
    expect(strokes(line, { meter, chords: 'C7' })).toBe(expected);
  });

  it('counts a pickup from its end', () => {
    expect(strokes('e 3/5 | 3/7 3/5 h. -', { pickup: 5_040 })).toBe('udu');
    expect(strokes('e 3/5 3/7 3/5 | q 3/7 h. -', { pickup: 15_120 })).toBe('udud');
  });

  it('lets the hand swing on where the left hand sounds alone', () => {
    expect(strokes('e 3/5 3/7(h) 3/5(p) 3/7 h -')).toBe('d--u');
    expect(strokes('e 3/5 3/7(h) 3/9 3/7 h -')).toBe('d-du');
  });

  it('goes by the count wherever the choice begins', () => {
    expect(strokes('e 3/5 3/7 3/5 3/7 h -', {}, 1)).toBe('udu');
  });

  it('goes against the beat where that is asked for', () => {
    const up = ordered(chosen(build('e 3/5 3/7 - 3/7 h -')), 'pick.alternate', 'up');
    expect(up.phrase.voices[0].events.map((e) => e.stroke)).toEqual(['up', 'down', 'down']);
  });

  it('goes by the order where lengths were only guessed', () => {
    const p = build('e 3/5 3/7 - 3/7 h -');
    const events = p.voices[0].events.map((e) => ({ ...e, guessed: true as const }));
    const guessed = { ...p, voices: [{ ...p.voices[0], events }] as const };
    const s = ordered(chosen(guessed), 'pick.alternate', 'down');
    expect(s.phrase.voices[0].events.map((e) => e.stroke)).toEqual(['down', 'up', 'down']);
  });
});

import { describe, expect, it } from 'vitest';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { chosen, cursorOn, ordered, refusal, refusalOfKey, said } from '../../../support/technique';

const c7 = (line: string) => build(line, { chords: 'C7' });
const one = cursorOn(c7('w 3/7'), 3);
const two = cursorOn(c7('w 3/7+2/8'), 3);

describe('strokes and strums', () => {
  it.each([
    ['d', 'down'],
    ['u', 'up'],
    ['D', 'sdown'],
    ['U', 'sup'],
  ])('%s, and the same again takes it off', (key, written) => {
    const done = press(two, key);
    // A stroke belongs to the moment, whichever string the cursor is on.
    expect(done.phrase).toEqual(c7(`w 3/7+2/8@${written}`));
    expect(press(done, key).phrase).toEqual(two.phrase);
    expect(ordered(done, 'pick.stroke', 'plain').phrase).toEqual(two.phrase);
  });

  it('takes the place of another', () => {
    expect(press(two, 'd', 'u').phrase).toEqual(c7('w 3/7+2/8@up'));
    expect(press(two, 'd', 'U').phrase).toEqual(c7('w 3/7+2/8@sup'));
    expect(press(two, 'D', 'd').phrase).toEqual(c7('w 3/7+2/8@down'));
  });

  it('is given to all that are chosen, unless all have it', () => {
    const mixed = chosen(c7('q 3/5@down 3/7 2/5@up 2/8'));
    expect(press(mixed, 'd').phrase).toEqual(c7('q 3/5@down 3/7@down 2/5@down 2/8@down'));
    expect(press(mixed, 'd', 'd').phrase).toEqual(c7('q 3/5 3/7 2/5 2/8'));
  });

  it('goes over a range, and in turn beginning with either', () => {
    const p = c7('e 3/5 3/7 2/5 2/8 h -');
    expect(press(chosen(p), 'd').phrase).toEqual(c7('e 3/5@down 3/7@down 2/5@down 2/8@down h -'));
    expect(ordered(chosen(p), 'pick.alternate', 'down').phrase).toEqual(
      c7('e 3/5@down 3/7@up 2/5@down 2/8@up h -'),
    );
    const up = ordered(chosen(p), 'pick.alternate', 'up');
    expect(up.phrase).toEqual(c7('e 3/5@up 3/7@down 2/5@up 2/8@down h -'));
    expect(refusal(up, 'pick.alternate', 'up')).toBe('the strokes go so already');
  });

  it('passes over what the left hand sounds alone', () => {
    expect(ordered(chosen(c7('q 3/5 3/7(h) 3/5(p) 3/7')), 'pick.alternate', 'down').phrase).toEqual(
      c7('q 3/5@down 3/7(h) 3/5(p) 3/7@up'),
    );
  });

  it('refuses a strum of one note and a stroke where nothing is plucked', () => {
    expect(refusalOfKey(one, 'D')).toBe('one note cannot be strummed');
    expect(refusalOfKey(chosen(c7('h 3/7+2/8 3/5')), 'U')).toBe('one note cannot be strummed');
    expect(refusalOfKey(cursorOn(c7('h 3/5 3/7(h)'), 3, 1), 'd')).toBe(
      'no note of the event is plucked, so the pick has no stroke here',
    );
    // Slid to and plucked again it has one.
    expect(refusalOfKey(cursorOn(c7('h 3/5 3/7(S)'), 3, 1), 'd')).toBeNull();
    expect(refusal(one, 'pick.stroke', 'plain')).toBe('it has no stroke');
  });

  it('gives the stroke up where its note is hammered', () => {
    const s = cursorOn(c7('h 3/5 3/7@up'), 3, 1);
    expect(press(s, 'h').phrase).toEqual(c7('h 3/5 3/7(h)'));
    expect(said(s, 'hand.legato')).toBe('hammered on or pulled off; stroke taken off');
  });
});

describe('palm mute, staccato, accent, tenuto', () => {
  const p = c7('e 6/0 6/0 6/3 6/0 h 5/2+4/2');

  it.each([
    ['palmMute', 'pm'],
    ['staccato', 'stac'],
    ['accent', 'acc'],
    ['tenuto', 'ten'],
  ])('%s of a moment, and off again', (field, written) => {
    const done = ordered(one, 'pick.mark', field);
    expect(done.phrase).toEqual(c7(`w 3/7@${written}`));
    expect(ordered(done, 'pick.mark', field).phrase).toEqual(one.phrase);
  });

  it('p mutes a range and opens it again, and a mixed one is muted', () => {
    const muted = press(chosen(p, 0, 3), 'm');
    expect(muted.phrase).toEqual(c7('e 6/0@pm 6/0@pm 6/3@pm 6/0@pm h 5/2+4/2'));
    expect(press(muted, 'm').phrase).toEqual(p);
    const hole = press(chosen(muted.phrase, 2, 2), 'm');
    expect(hole.phrase).toEqual(c7('e 6/0@pm 6/0@pm 6/3 6/0@pm h 5/2+4/2'));
    const all = c7('e 6/0@pm 6/0@pm 6/3@pm 6/0@pm h 5/2+4/2@pm');
    expect(press(chosen(hole.phrase, 0, 3), 'm').phrase).toEqual(muted.phrase);
    expect(press(chosen(hole.phrase), 'm').phrase).toEqual(all);
    expect(press(chosen(hole.phrase, 2, 4), 'm').phrase).toEqual(all);
  });

  it('A accents', () => {
    expect(press(chosen(p, 0, 1), 'A').phrase).toEqual(c7('e 6/0@acc 6/0@acc 6/3 6/0 h 5/2+4/2'));
    expect(press(chosen(p, 0, 1), 'A', 'A').phrase).toEqual(p);
  });

  it('the palm ends a ring that was there, and says so', () => {
    const s = cursorOn(c7('w 3/7(ring)'), 3);
    expect(press(s, 'm').phrase).toEqual(c7('w 3/7@pm'));
    expect(said(s, 'pick.mark', 'palmMute')).toBe('palm muted; let ring taken off');
  });
});

describe('tremolo picking', () => {
  it.each(['1', '2', '3'])('in %s strokes through the stem, and off', (which) => {
    const done = ordered(one, 'pick.tremolo', which);
    expect(done.phrase).toEqual(c7(`w 3/7@trem${which}`));
    expect(refusal(done, 'pick.tremolo', which)).toBe('it is picked so already');
    expect(ordered(done, 'pick.tremolo', 'none').phrase).toEqual(one.phrase);
  });

  it('over a range, and nothing to take off', () => {
    expect(ordered(chosen(c7('h 3/7 2/8+1/8')), 'pick.tremolo', '3').phrase).toEqual(
      c7('h 3/7@trem3 2/8+1/8@trem3'),
    );
    expect(refusal(one, 'pick.tremolo', 'none')).toBe('it has no tremolo');
  });
});

describe('rake', () => {
  it('runs over the next lower strings up to the note, and off', () => {
    const done = ordered(one, 'pick.rake', 3);
    expect(done.phrase).toEqual(c7('w 3/7@rake:6.5.4'));
    expect(ordered(done, 'pick.rake', 1).phrase).toEqual(c7('w 3/7@rake:4'));
    expect(ordered(done, 'pick.rake', 0).phrase).toEqual(one.phrase);
    expect(refusal(done, 'pick.rake', 3)).toBe('it is raked into so already');
    expect(refusal(one, 'pick.rake', 0)).toBe('it has no rake');
  });

  it('begins below the lowest string of a double stop', () => {
    expect(ordered(two, 'pick.rake', 2).phrase).toEqual(c7('w 3/7+2/8@rake:5.4'));
  });

  it('needs the strings', () => {
    expect(refusal(one, 'pick.rake', 4)).toBe('only 3 strings lie below string 3');
    expect(refusal(cursorOn(c7('w 5/3'), 5), 'pick.rake', 2)).toBe(
      'only one string lies below string 5',
    );
    expect(refusal(cursorOn(c7('w 6/3'), 6), 'pick.rake', 1)).toBe('no string lies below string 6');
    expect(refusal(one, 'pick.rake', 6)).toBe(
      'the number of strings must be a whole number from 0 to 5',
    );
  });
});

describe('fingers of both hands, and the pin', () => {
  it.each(['1', '2', '3', '4', 'T'])('finger %s of the fretting hand', (finger) => {
    const done = ordered(one, 'hand.finger', finger);
    expect(done.phrase).toEqual(c7(`w 3/7(f:${finger})`));
    expect(refusal(done, 'hand.finger', finger)).toBe(`it has finger ${finger} already`);
    expect(ordered(done, 'hand.finger', 'none').phrase).toEqual(one.phrase);
  });

  it.each(['p', 'i', 'm', 'a', 'c'])('%s of the picking hand', (finger) => {
    const done = ordered(one, 'pick.finger', finger);
    expect(done.phrase).toEqual(c7(`w 3/7(pk:${finger})`));
    expect(ordered(done, 'pick.finger', 'none').phrase).toEqual(one.phrase);
  });

  it('plucks open strings and frets none of them', () => {
    const open = cursorOn(c7('w 3/0'), 3);
    expect(refusal(open, 'pick.finger', 'i')).toBeNull();
    expect(refusal(open, 'hand.finger', '1')).toBe('no finger of the fretting hand presses it');
    expect(refusal(cursorOn(c7('w 3/12(tap)'), 3), 'hand.finger', '1')).toBe(
      'no finger of the fretting hand presses it',
    );
  });

  it('each string of a double stop its own', () => {
    const low = ordered(cursorOn(two.phrase, 3), 'pick.finger', 'i');
    expect(ordered(cursorOn(low.phrase, 2), 'pick.finger', 'm').phrase).toEqual(
      c7('w 3/7(pk:i)+2/8(pk:m)'),
    );
  });

  it('pins notes to their strings and frees them', () => {
    expect(ordered(chosen(two.phrase), 'hand.pin').phrase).toEqual(c7('w 3/7(pin)+2/8(pin)'));
    const pinned = ordered(two, 'hand.pin');
    expect(pinned.phrase).toEqual(c7('w 3/7(pin)+2/8'));
    expect(ordered(pinned, 'hand.pin').phrase).toEqual(two.phrase);
  });
});

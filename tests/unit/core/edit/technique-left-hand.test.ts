import { describe, expect, it } from 'vitest';
import { playableFrets } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { chosen, cursorOn, ordered, refusal, refusalOfKey, said } from '../../../support/technique';

const over = (chords: string) => (line: string) => build(line, { chords });
const c7 = over('C7');
const bare = c7('w 3/7');
const start = cursorOn(bare, 3);

/** The phrases that a key makes, pressed once, twice and so on. */
function round(s: ReturnType<typeof chosen>, key: string, times: number): Phrase[] {
  return Array.from({ length: times }, (_, i) => press(s, ...Array(i + 1).fill(key)).phrase);
}

describe('hammer-on and pull-off', () => {
  it('C7: string 3, fret 8 hammered to 9 (worked example 3)', () => {
    const p = c7('q 3/8 3/9 2/8 1/8');
    const s = cursorOn(p, 3, 1);
    expect(press(s, 'h').phrase).toEqual(c7('q 3/8 3/9(h) 2/8 1/8'));
    expect(press(s, 'h', 'h').phrase).toEqual(p);
  });

  it('goes by the direction on each string, and over a range on all of them', () => {
    const p = c7('e 3/5+2/8 3/7+2/5 3/5+2/8 -');
    expect(press(chosen(p, 1, 2), 'h').phrase).toEqual(
      c7('e 3/5+2/8 3/7(h)+2/5(p) 3/5(p)+2/8(h) -'),
    );
    expect(press(chosen(p, 1, 2), 'h', 'h').phrase).toEqual(p);
    // What is hammered already is no reason to pluck the others again.
    const begun = c7('q 3/5 3/7(h) 3/8 3/5');
    const all = press(chosen(begun, 1, 3), 'h');
    expect(all.phrase).toEqual(c7('q 3/5 3/7(h) 3/8(h) 3/5(p)'));
  });

  it('where there is no note says the key of the half note, which may have been meant', () => {
    const s = cursorOn(c7('h 3/5 -'), 3);
    const away = { ...s, selection: { ...s.selection, cursor: { onset: 20_160, string: 2 } } };
    expect(refusalOfKey(away, 'h')).toBe('no note is chosen; the key of a half note is H');
    expect(press(s, 'H').pen.value).toBe('half');
  });

  it('is not taken off others where one note cannot be hammered on', () => {
    const p = chosen(c7('q 3/5 3/7(h) 3/8 -'));
    expect(refusalOfKey(p, 'h')).toBe('no note leads up to it on string 3');
  });

  it('hammers from an open string and pulls off to it (N3)', () => {
    const p = c7('q 3/0 3/2 3/0 -');
    expect(press(chosen(p, 1, 2), 'h').phrase).toEqual(c7('q 3/0 3/2(h) 3/0(p) -'));
  });

  it.each([
    ['the first note', 'h 3/5 3/7', 0, 'no note leads up to it on string 3'],
    ['a note on another string', 'h 2/5 3/7', 1, 'no note leads up to it on string 3'],
    ['a note after a rest', 'q 3/5 - 3/7 -', 1, 'no note leads up to it on string 3'],
    ['a note after a dead one', 'h 3/x5 3/7', 1, 'no note leads up to it on string 3'],
    ['the same fret', 'h 3/7 3/7', 1, 'it lies on the same fret as the note before'],
    [
      'a note after a natural harmonic',
      'h 3/12(nat:12) 3/14',
      1,
      'a hammer-on cannot start from a natural harmonic, where nothing is stopped',
    ],
    [
      'a note after a slide off',
      'h 3/5(out:up) 3/7',
      1,
      'a hammer-on cannot start from a note that slides off',
    ],
  ])('refuses %s', (_, line, event, because) => {
    expect(refusalOfKey(cursorOn(c7(line), 3, event), 'h')).toBe(because);
  });
});

describe('slide, slide plucked again, and tap', () => {
  const p = c7('h 3/5 3/7');
  const second = cursorOn(p, 3, 1);

  it.each([
    ['slide', '(s)'],
    ['slide-plucked', '(S)'],
    ['hammer-on', '(h)'],
    ['tap', '(tap)'],
  ])('%s; naming it again plucks the note', (attack, written) => {
    const done = ordered(second, 'hand.attack', attack);
    expect(done.phrase).toEqual(c7(`h 3/5 3/7${written}`));
    expect(ordered(done, 'hand.attack', attack).phrase).toEqual(p);
    expect(ordered(done, 'hand.attack', 'pluck').phrase).toEqual(p);
  });

  it('has a key for the slide and the tap', () => {
    expect(press(second, '/').phrase).toEqual(c7('h 3/5 3/7(s)'));
    expect(press(second, '/', '/').phrase).toEqual(p);
    expect(press(second, 'T').phrase).toEqual(c7('h 3/5 3/7(tap)'));
    expect(press(second, 'T', 'T').phrase).toEqual(p);
    expect(press(second, '/', 'T').phrase).toEqual(c7('h 3/5 3/7(tap)'));
  });

  it('is given to all that are chosen, unless all have it', () => {
    const mixed = chosen(c7('q 3/5 3/7(s) 3/9 3/7'), 1, 3);
    const all = press(mixed, '/');
    expect(all.phrase).toEqual(c7('q 3/5 3/7(s) 3/9(s) 3/7(s)'));
    expect(press(all, '/').phrase).toEqual(c7('q 3/5 3/7 3/9 3/7'));
  });

  it('slides both strings of a double stop', () => {
    const two = c7('h 3/5+2/5 3/7+2/8');
    expect(press(chosen(two, 1, 1), '/').phrase).toEqual(c7('h 3/5+2/5 3/7(s)+2/8(s)'));
  });

  it('refuses what the strings do not allow', () => {
    const why = (line: string, attack: string) =>
      refusal(cursorOn(c7(line), 3, 1), 'hand.attack', attack);
    expect(why('h 3/0 3/7', 'slide')).toBe('an open string cannot be slid to or from');
    expect(why('h 3/7 3/0', 'slide')).toBe('an open string cannot be slid to or from');
    expect(why('h 3/7 3/7', 'slide')).toBe('a slide from fret 7 to the same fret goes nowhere');
    expect(why('h 3/7 3/5', 'hammer-on')).toBe('a hammer-on from fret 7 to fret 5 does not go up');
    expect(why('h 3/5 3/7', 'pull-off')).toBe('a pull-off from fret 5 to fret 7 does not go down');
    expect(why('h 3/7 3/0', 'tap')).toBe('an open string cannot be tapped');
    expect(why('h 2/7 3/5', 'slide')).toBe('no note leads up to it on string 3');
  });
});

describe('slide-in', () => {
  it('from a semitone below, above, and not', () => {
    expect(round(start, 'a', 3)).toEqual([c7('w 3/7(in:-1)'), c7('w 3/7(in:1)'), bare]);
  });

  it('F: both strings of a double stop from a semitone below (worked example 4)', () => {
    const f = over('F');
    expect(press(chosen(f('w 3/10+2/10')), 'a').phrase).toEqual(f('w 3/10(in:-1)+2/10(in:-1)'));
  });

  it('wider and narrower by semitones, each string for itself', () => {
    const two = chosen(c7('w 3/9+2/8'));
    const below = press(two, 'a', 'Alt+ArrowUp');
    expect(below.phrase).toEqual(c7('w 3/9(in:-2)+2/8(in:-2)'));
    const one = press(cursorOn(below.phrase, 3), 'Alt+ArrowUp');
    expect(one.phrase).toEqual(c7('w 3/9(in:-3)+2/8(in:-2)'));
    expect(press(two, 'a', 'a', 'Alt+ArrowUp').phrase).toEqual(c7('w 3/9(in:2)+2/8(in:2)'));
    expect(press(below, 'Alt+ArrowDown').phrase).toEqual(c7('w 3/9(in:-1)+2/8(in:-1)'));
    expect(refusalOfKey(press(two, 'a'), 'Alt+ArrowDown')).toBe(
      'a slide-in spans a semitone at least',
    );
  });

  it.each([
    ['below', '(in:-1)'],
    ['above', '(in:1)'],
    ['somewhere below', '(in:below)'],
    ['somewhere above', '(in:above)'],
  ])('from %s by name', (slide, written) => {
    const done = ordered(start, 'hand.slide-in', slide);
    expect(done.phrase).toEqual(c7(`w 3/7${written}`));
    expect(refusal(done, 'hand.slide-in', slide)).toBe('it is slid into so already');
    expect(ordered(done, 'hand.slide-in', 'none').phrase).toEqual(bare);
  });

  it('takes the place of a hammer-on, and goes with a tap', () => {
    const hammered = cursorOn(c7('h 3/5 3/7(h)'), 3, 1);
    expect(press(hammered, 'a').phrase).toEqual(c7('h 3/5 3/7(in:-1)'));
    expect(press(cursorOn(c7('h 3/5 3/7(in:-1)'), 3, 1), 'h').phrase).toEqual(c7('h 3/5 3/7(h)'));
    expect(press(cursorOn(c7('w 3/7(tap)'), 3), 'a').phrase).toEqual(c7('w 3/7(tap,in:-1)'));
  });

  it('starts at fret 1 at the lowest and on the neck at the highest (N3)', () => {
    const why = (fret: number, slide: string, capo = 0) =>
      refusal(
        cursorOn(build(`w 3/${fret}`, { chords: 'C7', instrument: { capo } }), 3),
        'hand.slide-in',
        slide,
      );
    expect(why(0, 'below')).toBe('an open string cannot be slid into');
    expect(why(1, 'below')).toBe('a slide-in from below would start at fret 0');
    expect(why(1, 'somewhere below')).toBe('a slide-in from below would start at fret 0');
    expect(why(2, 'below')).toBeNull();
    expect(why(21, 'above')).toBeNull();
    expect(why(22, 'above')).toBe('a slide-in from above would start at fret 23');
    // Counted from the capo, which is the nut then (N2).
    expect(why(1, 'below', 3)).toBe('a slide-in from below would start at fret 0');
    expect(why(19, 'above', 3)).toBe('a slide-in from above would start at fret 20');
    const wide = cursorOn(c7('w 3/3(in:-2)'), 3);
    expect(refusalOfKey(wide, 'Alt+ArrowUp')).toBe('a slide-in from below would start at fret 0');
  });

  it('skips a side by key that the neck does not have, and says which is taken', () => {
    const low = cursorOn(c7('w 3/1'), 3);
    expect(round(low, 'a', 2)).toEqual([c7('w 3/1(in:1)'), low.phrase]);
    expect(said(low, 'hand.slide-in-next')).toBe('slid into from a semitone above');
    const high = cursorOn(c7('w 3/22'), 3);
    expect(round(high, 'a', 2)).toEqual([c7('w 3/22(in:-1)'), high.phrase]);
    expect(said(press(high, 'a'), 'hand.slide-in-next')).toBe('without a slide-in');
    // Counted from the capo, which is the nut then (N2).
    const capo = { chords: 'C7', instrument: { capo: 3 } };
    expect(press(cursorOn(build('w 3/1', capo), 3), 'a').phrase).toEqual(
      build('w 3/1(in:1)', capo),
    );
  });

  it('takes the side that all of several notes have', () => {
    expect(press(chosen(c7('h 3/1 3/7')), 'a').phrase).toEqual(c7('h 3/1(in:1) 3/7(in:1)'));
    // Fret 1 has none below and fret 22 none above: there is no form for both.
    expect(refusalOfKey(chosen(c7('h 3/1 3/22')), 'a')).toBe(
      'a slide-in from below would start at fret 0',
    );
  });

  it('first makes several notes alike, in the form that one of them has', () => {
    const two = c7('w 2/8(in:-1)+3/9');
    const once = press(chosen(two), 'a');
    expect(once.phrase).toEqual(c7('w 2/8(in:-1)+3/9(in:-1)'));
    expect(press(once, 'a').phrase).toEqual(c7('w 2/8(in:1)+3/9(in:1)'));
    expect(press(chosen(c7('h 3/9(vib) 3/7(vib:wide)')), 'v').phrase).toEqual(
      c7('h 3/9(vib) 3/7(vib)'),
    );
  });

  it('is refused as a whole where one string is open', () => {
    expect(refusalOfKey(chosen(c7('w 2/8+3/0')), 'a')).toBe('an open string cannot be slid into');
  });

  it('is refused where a grace note starts the note already', () => {
    expect(refusalOfKey(cursorOn(c7('w 3/7@g:3/6'), 3), 'a')).toBe(
      'a slide-in starts the note on string 3, and a grace note before it starts it too',
    );
  });
});

describe('slide off, and vibrato', () => {
  it('slides off downwards, upwards, and not', () => {
    expect(round(start, '\\', 3)).toEqual([c7('w 3/7(out:down)'), c7('w 3/7(out:up)'), bare]);
  });

  it('shakes narrowly, widely, and not', () => {
    expect(round(start, 'v', 3)).toEqual([c7('w 3/7(vib)'), c7('w 3/7(vib:wide)'), bare]);
    const names = [start, press(start, 'v'), press(start, 'v', 'v')].map((s) =>
      said(s, 'hand.vibrato-next'),
    );
    expect(names).toEqual(['narrow vibrato', 'wide vibrato', 'without vibrato']);
  });

  it('goes over a range, and is all or nothing', () => {
    const p = c7('q 3/7 3/5+2/5 2/8 -');
    expect(press(chosen(p), 'v', 'v').phrase).toEqual(
      c7('q 3/7(vib:wide) 3/5(vib:wide)+2/5(vib:wide) 2/8(vib:wide) -'),
    );
    const open = chosen(c7('q 3/7 2/0 2/8 -'));
    expect(refusalOfKey(open, 'v')).toBe('an open string cannot be given vibrato');
    expect(refusalOfKey(open, '\\')).toBe('an open string cannot be slid off');
    // The next form that all of them can have is none.
    expect(press(chosen(c7('h 3/7(vib) 2/0')), 'v').phrase).toEqual(c7('h 3/7 2/0'));
    expect(press(chosen(c7('h 3/7(out:down) 2/0')), '\\').phrase).toEqual(c7('h 3/7 2/0'));
    expect(refusalOfKey(cursorOn(c7('w 3/7(tr:E4)'), 3), 'v')).toBe(
      'a note cannot have vibrato and a trill',
    );
  });

  it('goes with a bend', () => {
    expect(press(start, 'B', 'v').phrase).toEqual(c7('w 3/7(bend:E4,vib)'));
  });
});

describe('trill', () => {
  it.each([
    [1, 'Eb4'],
    [2, 'E4'],
    [12, 'D5'],
  ])('with the note %i semitones above', (semitones, upper) => {
    const done = ordered(start, 'hand.trill', semitones);
    expect(done.phrase).toEqual(c7(`w 3/7(tr:${upper})`));
    expect(ordered(done, 'hand.trill', 0).phrase).toEqual(bare);
  });

  it('wider and narrower by semitones', () => {
    const trilled = ordered(start, 'hand.trill', 2);
    expect(press(trilled, 'Alt+ArrowUp').phrase).toEqual(c7('w 3/7(tr:F4)'));
    expect(press(trilled, 'Alt+ArrowUp', 'Alt+ArrowDown').phrase).toEqual(trilled.phrase);
    expect(refusalOfKey(ordered(start, 'hand.trill', 1), 'Alt+ArrowDown')).toBe(
      'a trill spans a semitone at least',
    );
  });

  it('each string its own upper note, at the same distance', () => {
    expect(ordered(chosen(c7('w 3/7+2/8')), 'hand.trill', 2).phrase).toEqual(
      c7('w 3/7(tr:E4)+2/8(tr:A4)'),
    );
  });

  it('begins on an open string too, hammered and pulled off in turn', () => {
    expect(ordered(cursorOn(c7('w 3/0'), 3), 'hand.trill', 2).phrase).toEqual(c7('w 3/0(tr:A3)'));
  });

  it('ends at the end of the neck (22 frets, from the capo)', () => {
    const at = (fret: number, capo = 0) =>
      cursorOn(build(`w 3/${fret}`, { chords: 'C7', instrument: { capo } }), 3);
    expect(refusal(at(20), 'hand.trill', 2)).toBeNull();
    expect(refusal(at(21), 'hand.trill', 2)).toBe("the trill's upper note would be at fret 23");
    expect(refusal(at(20, 2), 'hand.trill', 1)).toBe("the trill's upper note would be at fret 21");
    expect(refusal(start, 'hand.trill', 13)).toBe('the trill must be a whole number from 0 to 12');
    const high = ordered(at(20), 'hand.trill', 2);
    expect(refusalOfKey(high, 'Alt+ArrowUp')).toBe("the trill's upper note would be at fret 23");
  });

  it('takes the place of vibrato, and is refused on a bent note', () => {
    expect(ordered(press(start, 'v'), 'hand.trill', 2).phrase).toEqual(c7('w 3/7(tr:E4)'));
    expect(refusal(press(start, 'B'), 'hand.trill', 2)).toBe('a bent note cannot be trilled');
    expect(refusal(start, 'hand.trill', 0)).toBe('it has no trill');
  });
});

describe('grace notes', () => {
  // A half step is the next letter: C sharp leads up to D, as a slide-in does.
  it.each([
    ['-1 hammer-on', 'w 3/7(h)@g:3/6=C#4'],
    ['-2 hammer-on', 'w 3/7(h)@g:3/5=C4'],
    ['1 pull-off', 'w 3/7(p)@g:3/8=Eb4'],
    ['2 pull-off', 'w 3/7(p)@g:3/9=E4'],
    ['-1 slide', 'w 3/7(s)@g:3/6=C#4'],
    ['-1 pluck', 'w 3/7@g:3/6=C#4'],
    ['1 pluck', 'w 3/7@g:3/8=Eb4'],
  ])('%s', (which, written) => {
    const done = ordered(start, 'hand.grace', which);
    expect(done.phrase).toEqual(c7(written));
    expect(refusal(done, 'hand.grace', which)).toBe('it has this grace note already');
    expect(ordered(done, 'hand.grace', 'none').phrase).toEqual(bare);
  });

  it('on each string of a double stop, or on the one under the cursor', () => {
    const p = c7('w 3/9+2/8');
    expect(ordered(chosen(p), 'hand.grace', '-1 hammer-on').phrase).toEqual(
      c7('w 3/9(h)+2/8(h)@g:2/7=F#4&3/8=D#4'),
    );
    expect(ordered(cursorOn(p, 3), 'hand.grace', '-2 hammer-on').phrase).toEqual(
      c7('w 3/9(h)+2/8@g:3/7'),
    );
  });

  it('leaves what stands before the other string', () => {
    const both = c7('w 3/9(h)+2/8(h)@g:2/7=F#4&3/8=D#4');
    const lower = cursorOn(both, 3);
    expect(ordered(lower, 'hand.grace', '-2 hammer-on').phrase).toEqual(
      c7('w 3/9(h)+2/8(h)@g:2/7=F#4&3/7'),
    );
    expect(ordered(lower, 'hand.grace', 'none').phrase).toEqual(c7('w 3/9+2/8(h)@g:2/7=F#4'));
    expect(said(lower, 'hand.grace', 'none')).toBe('without grace notes');
    const run = c7('w 3/9+2/8(h)@g:2/5;2/7~h');
    expect(ordered(cursorOn(run, 3), 'hand.grace', '-2 hammer-on').phrase).toEqual(
      c7('w 3/9(h)+2/8(h)@g:2/5;2/7~h&3/7'),
    );
    expect(refusal(cursorOn(run, 3), 'hand.grace', 'none')).toBe('it has no grace note');
  });

  it('is taken out with its note, and that of the other string stays', () => {
    const both = c7('w 2/8(h)+3/9(h)@g:2/7=F#4&3/8=D#4');
    for (const id of ['take.cut', 'write.take-out']) {
      expect(ordered(cursorOn(both, 3), id).phrase).toEqual(c7('w 2/8(h)@g:2/7=F#4'));
    }
  });

  it('goes with its note to another string', () => {
    // The fourth string is tuned a fourth below the third (common practice): five frets further up.
    const s = cursorOn(c7('w 3/7(h)+2/10@g:3/5'), 3);
    expect(ordered(s, 'note.other-string').phrase).toEqual(c7('w 4/12(h)+2/10@g:4/10'));
    // Fret 22 is the last of this neck, and its grace would be a fret above.
    expect(said(cursorOn(c7('w 3/17'), 3), 'note.other-string')).toBe('fret 22 on string 4');
    const high = cursorOn(c7('w 3/17(p)@g:3/18'), 3);
    expect(said(high, 'note.other-string')).not.toContain('on string 4');
    expect(refusal(s, 'note.other-octave')).toBe(
      'a grace note leads up to it: move it by an octave instead',
    );
  });

  it('before each moment of a range', () => {
    expect(ordered(chosen(c7('h 3/7 3/9')), 'hand.grace', '-2 hammer-on').phrase).toEqual(
      c7('h 3/7(h)@g:3/5 3/9(h)@g:3/7'),
    );
  });

  it('gives way to another, with what the first led to', () => {
    const one = ordered(start, 'hand.grace', '-1 slide');
    expect(ordered(one, 'hand.grace', '1 pluck').phrase).toEqual(c7('w 3/7@g:3/8'));
  });

  it('has more before it, each reached from the one before as it is said', () => {
    const one = ordered(start, 'hand.grace', '-2 hammer-on');
    const two = ordered(one, 'hand.grace-before', '2 pull-off');
    // D is struck, pulled off to C and hammered to D again.
    expect(two.phrase).toEqual(c7('w 3/7(h)@g:3/7;3/5~p'));
    const three = ordered(two, 'hand.grace-before', '-1 slide');
    expect(three.phrase).toEqual(c7('w 3/7(h)@g:3/6=C#4;3/7~s;3/5~p'));
    expect(said(two, 'hand.grace-before', '-1 pluck')).toBe('3 grace notes');
    expect(ordered(three, 'hand.grace', 'none').phrase).toEqual(bare);
  });

  it('has one more on each string of a double stop that has one, or on the one chosen', () => {
    const p = c7('w 3/9(h)+2/8(h)@g:2/7=F#4&3/8=D#4');
    expect(ordered(chosen(p), 'hand.grace-before', '-1 pluck').phrase).toEqual(
      c7('w 3/9(h)+2/8(h)@g:2/6=F4&3/7=D4;2/7=F#4&3/8=D#4'),
    );
    expect(ordered(cursorOn(p, 3), 'hand.grace-before', '-1 hammer-on').phrase).toEqual(
      c7('w 3/9(h)+2/8(h)@g:3/7=D4;2/7=F#4&3/8=D#4~h'),
    );
  });

  it('has none before it where there is none, off the neck, and no more than 16', () => {
    const why = (line: string, which: string) =>
      refusal(cursorOn(c7(line), 3), 'hand.grace-before', which);
    expect(why('w 3/7', '-1 pluck')).toBe('it has no grace note yet');
    expect(why('w 3/7+2/8@g:2/7', '-1 pluck')).toBe('it has no grace note yet');
    expect(why('w 3/x7', '-1 pluck')).toBe('a dead note takes no grace note here');
    expect(why('w 3/1(h)@g:3/0', '-1 hammer-on')).toBe('there is no fret -1');
    expect(why('w 3/2(h)@g:3/1', '-1 slide')).toBe('an open string cannot be slid to or from');
    let s = ordered(start, 'hand.grace', '-1 hammer-on');
    for (let i = 1; i < 16; i++) {
      s = ordered(s, 'hand.grace-before', i % 2 === 1 ? '1 pull-off' : '-1 hammer-on');
    }
    expect(s.phrase.voices[0].events[0]!.graces).toHaveLength(16);
    expect(refusal(s, 'hand.grace-before', '-1 pluck')).toBe('it has 16 grace notes, and no more');
  });

  it('takes off with it only what it led to', () => {
    // String 3 is pulled off from the grace, string 2 hammered from the note before.
    const p = c7('h 3/5+2/5 3/7(p)+2/8(h)@g:3/8');
    expect(ordered(chosen(p, 1, 1), 'hand.grace', 'none').phrase).toEqual(
      c7('h 3/5+2/5 3/7+2/8(h)'),
    );
  });

  it('is refused off the neck, from an open string slid, and before a dead note', () => {
    const why = (line: string, which: string) =>
      refusal(cursorOn(c7(line), 3), 'hand.grace', which);
    expect(why('w 3/0', '-1 pluck')).toBe('there is no fret -1');
    expect(why('w 3/22', '1 pluck')).toBe('there is no fret 23');
    expect(why('w 3/1', '-1 slide')).toBe('an open string cannot be slid to or from');
    expect(why('w 3/1', '-1 hammer-on')).toBeNull();
    expect(why('w 3/x7', '-1 pluck')).toBe('a dead note takes no grace note here');
    expect(why('w 3/7', 'none')).toBe('it has no grace note');
  });
});

describe('dead and ghost notes', () => {
  it('keeps string and fret of a dead note and gives the pitch back', () => {
    expect(round(start, 'x', 2)).toEqual([c7('w 3/x7'), bare]);
  });

  it('keeps the pin, and only the pin', () => {
    const pinned = cursorOn(c7('w 3/7(vib,pin)'), 3);
    expect(round(pinned, 'x', 2)).toEqual([c7('w 3/x7(pin)'), c7('w 3/7(pin)')]);
  });

  it('one string of a double stop, or all of a range', () => {
    const p = c7('h 3/7+2/8 3/5');
    expect(press(cursorOn(p, 2), 'x').phrase).toEqual(c7('h 3/7+2/x8 3/5'));
    expect(press(chosen(p), 'x').phrase).toEqual(c7('h 3/x7+2/x8 3/x5'));
    expect(press(chosen(p), 'x', 'x').phrase).toEqual(p);
    expect(press(chosen(c7('h 3/7+2/x8 3/5')), 'x').phrase).toEqual(c7('h 3/x7+2/x8 3/x5'));
  });

  it('takes off, and names, what came from a note that is dead now', () => {
    const p = cursorOn(c7('h 3/5 3/7(h)'), 3, 0);
    expect(press(p, 'x').phrase).toEqual(c7('h 3/x5 3/7'));
    expect(said(p, 'hand.dead')).toBe('dead note; hammer-on, pull-off or slide taken off');
  });

  it('marks a ghost note and takes the mark off', () => {
    expect(round(start, 'g', 2)).toEqual([c7('w 3/7(ghost)'), bare]);
    const mixed = chosen(c7('q 3/7(ghost) 3/x5 3/9 -'));
    expect(round(mixed, 'g', 2)).toEqual([
      c7('q 3/7(ghost) 3/x5 3/9(ghost) -'),
      c7('q 3/7 3/x5 3/9 -'),
    ]);
    expect(refusalOfKey(cursorOn(c7('w 3/x7'), 3), 'g')).toBe('a dead note has no pitch');
  });
});

describe('let ring', () => {
  it('over a range, each string for itself, and off again', () => {
    const p = c7('e 5/3 4/2 3/0 2/1+1/0 h -');
    const done = press(chosen(p), 'l');
    expect(done.phrase).toEqual(c7('e 5/3(ring) 4/2(ring) 3/0(ring) 2/1(ring)+1/0(ring) h -'));
    expect(press(done, 'l').phrase).toEqual(p);
    const part = press(chosen(p, 1, 2), 'l');
    expect(part.phrase).toEqual(c7('e 5/3 4/2(ring) 3/0(ring) 2/1+1/0 h -'));
    // What is not ringing yet joins what rings, whichever comes first.
    expect(press(chosen(part.phrase), 'l').phrase).toEqual(done.phrase);
    const begun = press(chosen(p, 0, 0), 'l').phrase;
    expect(press(chosen(begun), 'l').phrase).toEqual(done.phrase);
  });

  it('does not go with the palm or a short stroke', () => {
    expect(refusalOfKey(cursorOn(c7('w 3/7@pm'), 3), 'l')).toBe(
      'a note cannot ring on and be muted by the palm',
    );
    expect(refusalOfKey(cursorOn(c7('w 3/7@stac'), 3), 'l')).toBe(
      'a note cannot ring on and be cut short',
    );
  });
});

describe('bar dip', () => {
  it('by semitones, another depth, and off', () => {
    const one = ordered(start, 'hand.bar-dip', 1);
    expect(one.phrase).toEqual(c7('w 3/7(dip:1)'));
    expect(ordered(one, 'hand.bar-dip', 2).phrase).toEqual(c7('w 3/7(dip:2)'));
    expect(ordered(one, 'hand.bar-dip', 0).phrase).toEqual(bare);
    expect(refusal(one, 'hand.bar-dip', 1)).toBe('it is dipped so already');
    expect(refusal(start, 'hand.bar-dip', 0)).toBe('it is not dipped');
    expect(refusal(start, 'hand.bar-dip', 13)).toBe('the dip must be a whole number from 0 to 12');
  });

  it('reaches open strings, whose pitch the bar lowers too', () => {
    expect(ordered(chosen(c7('w 3/0+2/0')), 'hand.bar-dip', 2).phrase).toEqual(
      c7('w 3/0(dip:2)+2/0(dip:2)'),
    );
  });
});

describe('wider and narrower', () => {
  it('has nothing to change on a plain note', () => {
    for (const key of ['Alt+ArrowUp', 'Alt+ArrowDown']) {
      expect(refusalOfKey(start, key)).toBe(
        'it has no bend, slide-in or trill to make wider or narrower',
      );
    }
  });

  it('never leaves the neck, however often', () => {
    let s = press(start, 'a', 'a');
    let steps = 0;
    while (refusalOfKey(s, 'Alt+ArrowUp') === null) {
      s = press(s, 'Alt+ArrowUp');
      steps++;
    }
    // From a semitone above fret 7 to the last fret.
    expect(7 + 1 + steps).toBe(playableFrets(bare.instrument));
  });
});

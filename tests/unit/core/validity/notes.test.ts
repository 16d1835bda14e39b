import { describe, expect, it } from 'vitest';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { expectProblem, withValue } from '../../../support/broken';
import { build } from '../../../support/build';

const line = build('q 5/7 e 4/5 4/7(h) | q. 3/5 e 3/7+4/5 q 2/5 2/8', { pickup: 20_160 });
const note = (event: number, n = 0) => `/voices/0/events/${event}/notes/${n}`;

describe('a note and its place', () => {
  it('has an id of its own, across voices too', () => {
    expectProblem(withValue(line, `${note(6)}/id`, 'n1'), {
      pointer: `${note(6)}/id`,
      bar: 1,
      beat: 4,
      string: 2,
      says: "'n1' already names the note in the pickup, beat 3, string 5",
    });
    const two = build('q 1/5', { second: 'h 6/0' });
    expectProblem(withValue(two, '/voices/1/events/0/notes/0/id', 'n1'), {
      pointer: '/voices/1/events/0/notes/0/id',
      bar: 1,
      beat: 1,
      string: 6,
      says: 'already names',
    });
  });

  it('sounds what its string and fret give: open string, capo and fret (N2)', () => {
    const wrong = withValue(line, `${note(4)}/fret`, 8);
    const at = { pointer: `${note(4)}/pitch`, bar: 1, beat: 2.5, string: 3 };
    expectProblem(wrong, {
      ...at,
      says: 'D4 (MIDI 62) is not what the place on the neck sounds, MIDI 63',
    });
    const capo = build('q 3/5', { instrument: { capo: 2 } });
    expect(checkPhrase(capo)).toEqual([]);
    expect(checkPhrase(withValue(capo, '/instrument/capo', 3))).toHaveLength(1);
  });

  it('may be spelled in any way', () => {
    const p = build('q 3/5=B#');
    expect(p.voices[0].events[0]?.notes[0]).toMatchObject({ pitch: { letter: 'B', octave: 3 } });
    expect(checkPhrase(p)).toEqual([]);
  });

  it('is on a string of the instrument', () => {
    expectProblem(withValue(line, `${note(0)}/string`, 7), {
      pointer: `${note(0)}/string`,
      bar: 0,
      beat: 3,
      string: 7,
      says: 'no string 7',
    });
  });

  it('is on a fret of the neck, counted from the capo', () => {
    const high = build('q 1/20');
    expect(checkPhrase(withValue(high, '/instrument/frets', 20))).toEqual([]);
    const at = { pointer: '/voices/0/events/0/notes/0/fret', bar: 1, beat: 1, string: 1 };
    expectProblem(withValue(high, '/instrument/frets', 19), { ...at, says: 'no fret 20' });
    const capo = build('q 1/19', { instrument: { capo: 3, frets: 22 } });
    expect(checkPhrase(capo)).toEqual([]);
    expectProblem(withValue(capo, '/instrument/frets', 21), { ...at, says: 'no fret 19' });
    expect(checkPhrase(withValue(capo, '/instrument/frets', 21))[0]?.fix).toBe(
      'The frets are 0 to 18, counted from the capo.',
    );
    expect(checkPhrase(withValue(high, '/instrument/frets', 19))[0]?.fix).toBe(
      'The frets are 0 to 19.',
    );
  });

  it('that is dead has a place as well', () => {
    const p = build('q 3/x7');
    expect(checkPhrase(p)).toEqual([]);
    expectProblem(withValue(p, '/voices/0/events/0/notes/0/fret', 23), {
      pointer: '/voices/0/events/0/notes/0/fret',
      bar: 1,
      beat: 1,
      string: 3,
      says: 'no fret 23',
    });
  });

  it('stands in order of the strings, no string twice', () => {
    const both = build('q 3/7+4/5').voices[0].events[0]!.notes;
    const swapped = withValue(line, '/voices/0/events/4/notes', [both[1], both[0]]);
    const at = { pointer: `${note(4, 1)}/string`, bar: 1, beat: 2.5 };
    const ids = withValue(withValue(swapped, `${note(4)}/id`, 'a'), `${note(4, 1)}/id`, 'b');
    expectProblem(ids, { ...at, string: 3, says: 'not in order' });
    const twice = withValue(line, note(4, 1), { ...both[0], id: 'c' });
    expectProblem(twice, { ...at, string: 3, says: 'string 3 is struck twice' });
    expect(checkPhrase(ids)[0]?.fix).toBe('Write them from the lowest string number up.');
    expect(checkPhrase(twice)[0]?.fix).toMatch(/^Put one of the notes on another string/);
  });
});

describe('two voices', () => {
  it('never sound one string together (N3)', () => {
    const p = build('h 1/5 q 1/7 5/2', { second: 'h - q. 5/0' });
    expectProblem(p, {
      pointer: '/voices/1/events/0/notes/0/string',
      bar: 1,
      beat: 4,
      string: 5,
      says: 'string 5 sounds in both voices at once, in the first from bar 1, beat 4 and in the second from bar 1, beat 3',
    });
    const early = build('q - w 6/0', { second: 'h 6/0', bars: 2 });
    expectProblem(early, {
      pointer: '/voices/1/events/0/notes/0/string',
      bar: 1,
      beat: 2,
      string: 6,
      says: 'in the first from bar 1, beat 2 and in the second from bar 1, beat 1',
    });
  });

  it('may use one string in turn', () => {
    expect(checkPhrase(build('h 1/5 q 1/7 5/2', { second: 'h - q 5/0' }))).toEqual([]);
  });

  it('are compared in bounded time even when out of order', () => {
    const p = build('w 1/5', { second: 'w 6/0' });
    const pile = (n: number) => ({
      events: Array.from({ length: 20_000 }, (_, i) => ({
        ...p.voices[n]!.events[0]!,
        notes: [{ ...p.voices[n]!.events[0]!.notes[0], id: `${n}-${i}` }] as const,
      })),
      tuplets: [],
    });
    const row = {
      ...pile(1),
      events: pile(1).events.map((e, i) => ({ ...e, onset: i, duration: 1 })),
    };
    // Pair by pair this would take half a minute, and the test would run out of time.
    for (const second of [pile(1), row]) {
      expect(checkPhrase({ ...p, voices: [pile(0), second] })).toHaveLength(101);
    }
  });

  it('report each pair once', () => {
    const p = build('q 5/2 5/3', { second: 'h 5/0' });
    expect(checkPhrase(p).map((x) => x.beat)).toEqual([1, 2]);
  });
});

describe('grace notes', () => {
  const grace = (g: number, n = 0) => `/voices/0/events/0/graces/${g}/notes/${n}`;
  const at = { bar: 1, beat: 1 };

  it('lead to a note by any way that is open', () => {
    expect(checkPhrase(build('q 2/8(h)@g:2/5;2/7~h'))).toEqual([]);
    expect(checkPhrase(build('q 2/8@g:3/0&4/2;3/9;3/7~p'))).toEqual([]);
  });

  it('have pitch, string and fret', () => {
    const p = build('q 2/8@g:3/5');
    const pitch = { letter: 'C', alter: 1, octave: 4 };
    expectProblem(withValue(p, `${grace(0)}/pitch`, pitch), {
      ...at,
      pointer: `${grace(0)}/pitch`,
      string: 3,
      says: 'C#4 (MIDI 61)',
    });
    expectProblem(withValue(p, `${grace(0)}/string`, 9), {
      ...at,
      pointer: `${grace(0)}/string`,
      string: 9,
      says: 'no string 9',
    });
    expectProblem(withValue(p, `${grace(0)}/fret`, 23), {
      ...at,
      pointer: `${grace(0)}/fret`,
      string: 3,
      says: 'no fret 23',
    });
  });

  it('stand in order of the strings', () => {
    const p = build('q 2/8@g:3/5&4/5');
    const notes = p.voices[0].events[0]!.graces![0].notes;
    expectProblem(withValue(p, '/voices/0/events/0/graces/0/notes', [notes[1], notes[0]]), {
      ...at,
      pointer: `${grace(0, 1)}/string`,
      string: 3,
      says: 'not in order',
    });
  });

  it.each([
    ['q 2/8@g:2/5~h', 0, 'no grace note before it on string 2'],
    ['q 2/8@g:3/5;2/7~h', 1, 'no grace note before it on string 2'],
    ['q 2/8@g:2/7;2/5~h', 1, 'from fret 7 to fret 5 does not go up'],
    ['q 2/8@g:2/5;2/5~h', 1, 'from fret 5 to fret 5 does not go up'],
    ['q 2/8@g:2/5;2/7~p', 1, 'from fret 5 to fret 7 does not go down'],
    ['q 2/8@g:2/5;2/5~s', 1, 'goes nowhere'],
    ['q 2/8@g:2/0;2/5~s', 1, 'open string'],
  ])('start from a grace before them: not %s', (text, g, says) => {
    expectProblem(build(text), { ...at, pointer: `${grace(g)}/attack`, string: 2, says });
  });
});

describe('how an event is struck', () => {
  const event = '/voices/0/events/0';

  it('has one direction', () => {
    const p = withValue(build('q 2/5+3/5@sdown'), `${event}/stroke`, 'down');
    expectProblem(p, { pointer: `${event}/stroke`, bar: 1, beat: 1, says: 'stroke of its own' });
  });

  it('is no strum of one note', () => {
    const p = build('q 2/5@sup');
    expectProblem(p, { pointer: `${event}/strum`, bar: 1, beat: 1, says: 'one note' });
  });

  it('has no stroke where nothing is plucked', () => {
    const at = { bar: 1, beat: 2 };
    const second = '/voices/0/events/1';
    const stroke = build('q 2/5 2/7(h)@up');
    expectProblem(stroke, {
      ...at,
      pointer: `${second}/stroke`,
      says: 'no note of the event is plucked',
    });
    const strum = build('q 2/5+3/5 2/7(h)+3/7(s)@sup');
    expectProblem(strum, {
      ...at,
      pointer: `${second}/strum`,
      says: 'no note of the event is plucked',
    });
    expect(checkPhrase(build('q 2/5+3/5 2/7(h)+3/7@sup'))).toEqual([]);
    expect(checkPhrase(build('q 2/5 2/7(S)@up'))).toEqual([]);
  });

  it('does not ring on and stop at once', () => {
    const at = { bar: 1, beat: 1, pointer: `${event}/notes/1/letRing` };
    expectProblem(build('q 2/5+3/0(ring)@pm'), { ...at, says: 'muted by the palm' });
    expectProblem(build('q 2/5+3/0(ring)@stac'), { ...at, says: 'cut short' });
  });

  it.each([
    ['q 3/5@rake:6.5.4', true],
    ['q 2/5+3/5@rake:5', true],
    ['q 3/5@rake:1.2', true],
    ['q 3/5@rake:4.5.6', false],
    ['q 3/5@rake:6.4.5', false],
    ['q 3/5@rake:4.2', false],
    ['q 3/5@rake:5.5', false],
    ['q 2/5+5/3@rake:4.3', false],
  ])('is raked into from one side: %s %s', (text, right) => {
    if (right) expect(checkPhrase(build(text))).toEqual([]);
    else
      expectProblem(build(text), {
        pointer: `${event}/rake`,
        bar: 1,
        beat: 1,
        says: 'one direction',
      });
  });

  it('is raked over strings that exist and are not struck', () => {
    const at = { bar: 1, beat: 1 };
    const missing = build('q 3/5@rake:7.6');
    expectProblem(missing, { ...at, pointer: `${event}/rake/0`, says: 'no string 7' });
    const struck = build('q 3/5+5/3@rake:6.5');
    expectProblem(struck, { ...at, pointer: `${event}/rake/1`, says: 'string 5 is raked' });
    const first = build('q 3/5+6/3@rake:6.5');
    expectProblem(first, { ...at, pointer: `${event}/rake/0`, says: 'string 6 is raked' });
  });
});

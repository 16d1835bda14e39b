import { describe, expect, it } from 'vitest';
import { writeRhythm } from '../../../../src/core/phrase/rhythm';
import { tupletRatio } from '../../../../src/core/phrase/tuplet-ratios';
import type { Meter, PhraseEvent, Ticks, Tuplet } from '../../../../src/core/phrase/types';
import type { WrittenItem } from '../../../../src/core/phrase/written';

/*
 * The expected writings are common practice of engraving: the middle of a bar of four is seen,
 * beats of compound meter are seen, syncopations inside half a bar are one note, rests hide no beat.
 *
 * Rhythms are written here in units: `5` is a note of five units, `-2` a rest of two. What is
 * expected is a value (w h q e s t, 64, 128), a dot, a tuplet's number in brackets, `r` for a rest
 * and `~` for a tie to the next.
 */

const LETTERS: Record<string, string> = {
  whole: 'w',
  half: 'h',
  quarter: 'q',
  eighth: 'e',
  '16th': 's',
  '32nd': 't',
  '64th': '64',
  '128th': '128',
};

const SIXTEENTH = 2_520;

interface Setting {
  readonly unit?: Ticks;
  readonly bars?: number;
  readonly pickup?: Ticks;
  readonly length?: Ticks;
  readonly tuplets?: readonly Tuplet[];
}

function write(meter: string, rhythm: string, o: Setting = {}) {
  const [beats, beatType] = meter.split('/').map(Number);
  const bar = { meter: { beats, beatType } as Meter };
  let at = 0;
  const events: PhraseEvent[] = [];
  for (const word of rhythm.split(' ').filter((x) => x !== '')) {
    const duration = Math.abs(Number(word)) * (o.unit ?? SIXTEENTH);
    if (!word.startsWith('-')) {
      const note = { kind: 'dead', id: `n${at}`, string: 3, fret: 5 } as const;
      events.push({ onset: at, duration, notes: [note] });
    }
    at += duration;
  }
  return writeRhythm({
    pickup: o.pickup ?? 0,
    bars: Array.from({ length: o.bars ?? 1 }, () => bar),
    length: o.length ?? Number.MAX_SAFE_INTEGER,
    voices: [{ events, tuplets: o.tuplets ?? [] }],
  });
}

function item(i: WrittenItem): string {
  const tuplet = i.tuplet === null ? '' : `[${i.tuplet.actual}]`;
  const rest = i.event === null ? 'r' : '';
  return `${LETTERS[i.value]}${i.dots === 1 ? '.' : ''}${tuplet}${rest}${i.tieStart ? '~' : ''}`;
}

function text(meter: string, rhythm: string, o: Setting = {}): string {
  return write(meter, rhythm, o)
    .map((b) => b.voices[0]!.map(item).join(' '))
    .join(' | ');
}

describe('notes split by the beats', () => {
  it.each([
    // The bar of four: what starts with it may cross the middle, nothing else.
    ['4/4', '16', 'w'],
    ['4/4', '12 4', 'h. q'],
    ['4/4', '4 12', 'q q~ h'],
    ['4/4', '4 8 4', 'q q~ q q'],
    ['4/4', '6 4 6', 'q. e~ e q.'],
    ['4/4', '2 14', 'e q.~ h'],
    ['4/4', '14 2', 'h~ q. e'],
    ['4/4', '10 6', 'h~ e q.'],
    // Inside half a bar: dotted quarter either way, and the syncopation.
    ['4/4', '6 2 8', 'q. e h'],
    ['4/4', '2 6 8', 'e q. h'],
    ['4/4', '2 4 2 8', 'e q e h'],
    // One level lower: the same inside a beat.
    ['4/4', '3 1 4 8', 'e. s q h'],
    ['4/4', '1 3 4 8', 's e. q h'],
    ['4/4', '1 2 1 4 8', 's e s q h'],
    // Over a beat from a 16th: the beat is shown.
    ['4/4', '3 2 3 8', 'e. s~ s e. h'],
    ['4/4', '1 6 1 8', 's e.~ e. s h'],
    ['4/4', '5 3 8', 'q~ s e. h'],
    ['4/4', '1 4 3 8', 's e.~ s e. h'],
    // Seven 16ths have no single value.
    ['4/4', '7 1 8', 'q~ e. s h'],
    ['2/4', '2 4 2', 'e q e'],
    ['2/4', '8', 'h'],
    ['3/4', '12', 'h.'],
    ['3/4', '8 4', 'h q'],
    ['3/4', '4 8', 'q h'],
    ['3/4', '6 6', 'q. e~ q'],
    ['3/4', '2 4 2 4', 'e q e q'],
    ['3/4', '2 8 2', 'e e~ q. e'],
    ['2/2', '4 8 4', 'q h q'],
    ['2/2', '12 4', 'h. q'],
    // Compound meters by dotted beats (T2).
    ['6/8', '12', 'h.'],
    ['6/8', '6 6', 'q. q.'],
    ['6/8', '8 4', 'q.~ e q'],
    ['6/8', '4 4 4', 'q e~ e q'],
    ['6/8', '2 4 6', 'e q q.'],
    ['6/8', '3 1 2 6', 'e. s e q.'],
    ['9/8', '18', 'h.~ q.'],
    ['9/8', '6 12', 'q. h.'],
    ['12/8', '24', 'w.'],
    ['12/8', '6 12 6', 'q. q.~ q. q.'],
    ['12/8', '18 6', 'h.~ q. q.'],
    ['3/8', '6', 'q.'],
    ['3/8', '2 4', 'e q'],
    // Unequal groups: 5 as 3 + 2, 7/8 as 2 + 2 + 3, 6/4 as 3 + 3.
    ['5/4', '20', 'h.~ h'],
    ['5/4', '8 8 4', 'h q~ q q'],
    ['7/8', '4 4 6', 'q q q.'],
    ['7/8', '8 6', 'h q.'],
    ['7/8', '6 8', 'q~ e e~ q.'],
    ['6/4', '24', 'w.'],
    ['6/4', '8 8 8', 'h q~ q h'],
  ])('%s: %s', (meter, rhythm, expected) => {
    expect(text(meter, rhythm)).toBe(expected);
  });

  it('goes down to the dotted 64th and the 128th (T1)', () => {
    expect(text('4/4', '3 1 4 24 96', { unit: 315 })).toBe('64. 128 t e. q~ h');
  });

  it('refuses what is finer than a 128th', () => {
    expect(() => text('4/4', '7 5', { unit: 105 })).toThrow(RangeError);
  });
});

describe('rests', () => {
  it.each([
    ['4/4', '', 'wr'],
    ['4/4', '4 -12', 'q qr hr'],
    ['4/4', '-12 4', 'hr qr q'],
    ['4/4', '-4 4 -8', 'qr q hr'],
    ['4/4', '2 -4 2 8', 'e er er e h'],
    ['4/4', '1 -3 4 8', 's sr er q h'],
    ['4/4', '-3 1 4 8', 'er sr s q h'],
    ['4/4', '4 -8 4', 'q qr qr q'],
    ['4/4', '6 -10', 'q. er hr'],
    ['3/4', '4 -8', 'q qr qr'],
    ['3/4', '-8 4', 'qr qr q'],
    ['6/8', '6 -6', 'q. q.r'],
    ['6/8', '-4 2 6', 'qr e q.'],
    ['6/8', '2 -4 6', 'e er er q.'],
    ['6/8', '2 -6 4', 'e er er er q'],
    ['12/8', '12 -12', 'h. h.r'],
    ['12/8', '6 -12 6', 'q. q.r q.r q.'],
  ])('%s: %s', (meter, rhythm, expected) => {
    expect(text(meter, rhythm)).toBe(expected);
  });

  it('stands for a whole bar in any meter, but not for part of one', () => {
    for (const meter of ['4/4', '3/4', '9/8', '5/4']) {
      const [bar] = write(meter, '');
      expect(bar!.voices[0]).toHaveLength(1);
      expect(bar!.voices[0]![0]).toMatchObject({ wholeBar: true, value: 'whole', event: null });
    }
    expect(text('4/4', '', { length: 6 * SIXTEENTH })).toBe('qr er');
    const [partial] = write('4/4', '', { length: 8 * SIXTEENTH });
    expect(partial!.voices[0]![0]).toMatchObject({ wholeBar: false, value: 'half' });
  });
});

describe('bar lines', () => {
  it('ties over them and counts the parts of a note', () => {
    const bars = write('4/4', '12 22', { bars: 3, length: 34 * SIXTEENTH });
    const all = bars.flatMap((b) => b.voices[0]!);
    expect(all.map(item).join(' ')).toBe('h. q~ w~ e');
    expect(all.map((i) => i.part)).toEqual([1, 1, 2, 3]);
    expect(all.map((i) => [i.tieStop, i.tieStart])).toEqual([
      [false, false],
      [false, true],
      [true, true],
      [true, false],
    ]);
  });

  it('reads a pickup from its end (T2)', () => {
    // Three quarters before 4/4 are beats 2 to 4: a half note from beat 2 would hide the middle.
    const o = { pickup: 12 * SIXTEENTH, length: 20 * SIXTEENTH };
    expect(text('4/4', '8 4 8', o)).toBe('q~ q q | h');
    expect(text('4/4', '4 8 8', o)).toBe('q h | h');
    expect(text('4/4', '-12 8', o)).toBe('qr hr | h');
  });

  it('ends where the phrase ends', () => {
    expect(text('4/4', '16 4 2', { bars: 2, length: 24 * SIXTEENTH })).toBe('w | q e er');
  });
});

describe('tuplets', () => {
  const Q = 10_080;
  const triplet = (onset: Ticks, duration: Ticks): Tuplet => ({
    onset,
    duration,
    actual: 3,
    normal: 2,
  });

  it('writes the values of the tuplet and marks its ends', () => {
    const bars = write('4/4', '3360 3360 3360 6720 3360 20160', {
      unit: 1,
      tuplets: [triplet(0, Q), triplet(Q, Q)],
    });
    const items = bars[0]!.voices[0]!;
    expect(items.map(item).join(' ')).toBe('e[3] e[3] e[3] q[3] e[3] h');
    expect(items.map((i) => [i.tuplet?.start, i.tuplet?.stop])).toEqual([
      [true, false],
      [false, false],
      [false, true],
      [true, false],
      [false, true],
      [undefined, undefined],
    ]);
    expect(items[0]!.tuplet?.unit).toEqual({ value: 'eighth', dots: 0 });
  });

  it('ties a note into and out of a tuplet', () => {
    expect(
      text('4/4', `${Q + 3360} 3360 ${3360 + Q} ${Q}`, {
        unit: 1,
        tuplets: [triplet(Q, Q)],
      }),
    ).toBe('q~ e[3] e[3] e[3]~ q q');
  });

  it('joins the first two rests of a triplet, not the last two', () => {
    const o = { unit: 1, tuplets: [triplet(0, Q)] };
    expect(text('4/4', `-6720 3360 ${3 * Q}`, o)).toBe('q[3]r e[3] q~ h');
    expect(text('4/4', `3360 -6720 ${3 * Q}`, o)).toBe('e[3] e[3]r e[3]r q~ h');
  });

  it.each([
    [5, 4, Q, '16th'],
    [7, 4, 2 * Q, 'eighth'],
    [9, 8, Q, '32nd'],
    [7, 3, 3 * Q, 'quarter'],
    [15, 8, 2 * Q, '16th'],
    [4, 3, 3 * Q, 'quarter'],
    [2, 3, (3 * Q) / 2, 'eighth'],
    [6, 4, Q, '16th'],
  ] as const)('of %i in the time of %i', (actual, normal, duration, value) => {
    const ratio = tupletRatio(actual, normal)!;
    const step = duration / actual;
    const rhythm = [...Array.from({ length: actual }, () => step), 4 * Q - duration].join(' ');
    const bars = write('4/4', rhythm, {
      unit: 1,
      tuplets: [{ onset: 0, duration, ...ratio }],
    });
    const inside = bars[0]!.voices[0]!.filter((i) => i.tuplet !== null);
    expect(inside.map((i) => i.value)).toEqual(Array.from({ length: actual }, () => value));
    expect(inside[0]!.tuplet?.unit).toEqual({ value, dots: 0 });
  });

  it('takes long values inside: five 16ths as a quarter and a 16th', () => {
    const step = Q / 5;
    expect(
      text('4/4', `${4 * step} ${step} ${3 * Q}`, {
        unit: 1,
        tuplets: [{ onset: 0, duration: Q, actual: 5, normal: 4 }],
      }),
    ).toBe('q[5] s[5] q~ h');
  });

  it('refuses a tuplet over the bar line', () => {
    expect(() => text('4/4', '16 16', { bars: 2, tuplets: [triplet(15 * SIXTEENTH, Q)] })).toThrow(
      /crosses a bar line/,
    );
  });
});

describe('beams', () => {
  const SHORT: Record<string, string> = {
    begin: '(',
    continue: '-',
    end: ')',
    'forward hook': '>',
    'backward hook': '<',
  };
  const beams = (meter: string, rhythm: string, o: Setting = {}) =>
    write(meter, rhythm, o)
      .flatMap((b) => b.voices[0]!)
      .map((i) => i.beams.map((x) => SHORT[x]).join('') || '.')
      .join(' ');

  it.each([
    // Four plain eighths fill a half together; anything else goes by the beat.
    ['4/4', '2 2 2 2 2 2 4', '( - - ) ( ) .'],
    ['4/4', '2 2 1 1 2 8', '( ) (( -) ) .'],
    ['4/4', '3 1 1 3 8', '( )< (> ) .'],
    ['4/4', '1 2 1 4 8', '(> - )< . .'],
    ['4/4', '2 1 1 4 8', '( -( )) . .'],
    ['4/4', '2 -2 2 2 8', '. . ( ) .'],
    ['4/4', '2 4 2 8', '. . . .'],
    ['3/4', '2 2 2 2 2 2', '( ) ( ) ( )'],
    ['6/8', '2 2 2 2 2 2', '( - ) ( - )'],
    ['6/8', '4 2 2 4', '. . . .'],
    ['12/8', '2 2 2 6 2 4 6', '( - ) . . . .'],
    ['3/8', '2 2 2', '( - )'],
    ['7/8', '2 2 2 2 2 2 2', '( ) ( ) ( - )'],
    ['2/2', '2 2 2 2 2 2 2 2', '( - - ) ( - - )'],
  ])('%s: %s', (meter, rhythm, expected) => {
    expect(beams(meter, rhythm)).toBe(expected);
  });

  it('beams a tuplet by itself', () => {
    const triplets = [0, 1].map(
      (i): Tuplet => ({ onset: i * 10_080, duration: 10_080, actual: 3, normal: 2 }),
    );
    expect(beams('2/4', '3360 3360 3360 3360 3360 3360', { unit: 1, tuplets: triplets })).toBe(
      '( - ) ( - )',
    );
  });

  it('breaks at the beat where a half note holds anything but four eighths', () => {
    expect(beams('2/4', '2 2 2 2')).toBe('( - - )');
    expect(beams('2/4', '2 2 2 1 1')).toBe('( ) ( -( ))');
    expect(beams('4/4', '2 2 2 -2 2 2 2 2')).toBe('( ) . . ( - - )');
  });
});

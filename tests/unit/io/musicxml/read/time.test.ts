import { describe, expect, it } from 'vitest';
import { barSpans } from '../../../../../src/core/phrase/time';
import { attributes, imported, lines, move, n, score } from '../../../../support/score-text';

/*
 * Times of plain MusicXML files. Source of what the elements mean: W3C MusicXML 4.0 reference
 * (divisions, duration, backup, forward, chord, grace, time-modification, tuplet, tied, implicit).
 * Ticks are 10,080 to a quarter (T1).
 */

const Q = 10_080;

describe('durations', () => {
  it('follow the divisions, which may change inside a bar', () => {
    const { phrase } = imported(
      score([
        attributes({ divisions: 3 }) +
          n('G4', 3) +
          '<attributes><divisions>8</divisions></attributes>' +
          n('A4', 4) +
          n('B4', 4) +
          n('rest', 8) +
          n('C5', 8),
      ]),
    );
    expect(lines(phrase)).toEqual([
      '0+10080 G4',
      '10080+5040 A4',
      '15120+5040 B4',
      '30240+10080 C5',
    ]);
  });

  it('may be decimals', () => {
    const { phrase } = imported(
      score([attributes({ divisions: 1.5 }) + n('G4', 0.75) + n('A4', 5.25)]),
    );
    expect(lines(phrase)).toEqual(['0+5040 G4', '5040+35280 A4']);
  });

  it('come from the note value where they are missing', () => {
    const without = n('D4', 1, { type: 'half', dots: 1 }).replace('<duration>1</duration>', '');
    const { phrase, listed } = imported(score([attributes() + without + n('E4', 2)]));
    expect(lines(phrase)).toEqual(['0+30240 D4', '30240+10080 E4']);
    expect(listed.join()).toContain('takes the length of its note value');
  });

  it('are one division a quarter where the file has no divisions, which is listed', () => {
    const { phrase, listed } = imported(
      score([attributes().replace(/<divisions>.*<\/divisions>/u, '') + n('D4', 4)]),
    );
    expect(lines(phrase)).toEqual(['0+40320 D4']);
    expect(listed.join()).toContain('how many divisions');
  });
});

describe('voices, chords and grace notes', () => {
  it('backup and forward lead to a second voice', () => {
    const { phrase } = imported(
      score([
        attributes() +
          n('C5', 4) +
          n('D5', 4) +
          move('backup', 8) +
          move('forward', 2) +
          n('E3', 6, { voice: '2' }),
      ]),
    );
    expect(lines(phrase, 0)).toEqual(['0+20160 C5', '20160+20160 D5']);
    expect(lines(phrase, 1)).toEqual(['10080+30240 E3']);
  });

  it('a chord is one event, its notes by string', () => {
    const { phrase } = imported(
      score([
        attributes() + n('E3', 8) + n('G#3', 8, { chord: true }) + n('D4', 8, { chord: true }),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+40320 D4 G#3 E3']);
  });

  it('graces stand before their note and take no time', () => {
    const { phrase } = imported(
      score([
        attributes() +
          n('A4', 4) +
          n('F#4', 0, { grace: true }) +
          n('G4', 0, { grace: true }) +
          n('B4', 0, { grace: true, chord: true }) +
          n('A4', 4),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+20160 A4', '20160+20160 A4']);
    const names = phrase.voices[0].events[1]?.graces?.map((g) =>
      g.notes.map((x) => `${x.pitch.letter}${x.pitch.alter}`).sort(),
    );
    expect(names).toEqual([['F1'], ['B0', 'G0']]);
  });

  it('graces with nothing after them are listed, not kept', () => {
    const { phrase, listed } = imported(
      score([attributes() + n('A4', 8) + n('F4', 0, { grace: true })]),
    );
    expect(phrase.voices[0].events).toHaveLength(1);
    expect(listed).toContain('grace notes without a note after them: not kept (dropped)');
  });

  const three = (first: string, second: string, other: string) =>
    imported(
      score([attributes() + first + move('backup', 8) + second + move('backup', 8) + other]),
    );
  const eighths = (voice: string, ...pitches: string[]) =>
    pitches.map((p) => n(p, 1, { voice })).join('');
  const upper = eighths('1', 'E4', 'G4', 'E4', 'G4', 'E4', 'G4', 'E4', 'G4');

  it('no note that begins is lost to a third voice: it lasts as long as those struck with it', () => {
    const lower = eighths('2', 'C4', 'B3', 'C4', 'B3', 'C4', 'B3', 'C4', 'B3');
    const bass = n('E3', 4, { voice: '3' }) + n('A3', 4, { voice: '3' });
    const { phrase, listed } = three(upper, lower, bass);
    expect(lines(phrase, 0)).toHaveLength(8);
    expect(lines(phrase, 1).filter((l) => / [EA]3/u.test(l))).toEqual([
      '0+5040 C4 E3',
      '20160+5040 C4 A3',
    ]);
    expect(listed.join()).toContain(
      'lasts as long as those struck with it (approximated, 2 times)',
    );
    expect(listed.join()).not.toContain('left out');
  });

  it('or ends what is held where it begins', () => {
    const lower = n('C4', 4, { voice: '2' }) + n('B3', 4, { voice: '2' });
    const held = n('G4', 4) + n('A4', 4);
    const { phrase, listed } = three(
      held,
      lower,
      n('rest', 2, { voice: '3' }) + n('E3', 6, { voice: '3' }),
    );
    expect([lines(phrase, 0), lines(phrase, 1)]).toEqual([
      ['0+20160 G4', '20160+20160 A4'],
      ['0+10080 C4', '10080+10080 E3', '20160+20160 B3'],
    ]);
    expect(listed.join()).toContain('a held note ends where a third voice begins');
  });

  it('a third voice goes where there is room, and what fits nowhere is listed', () => {
    const { phrase, listed } = imported(
      score([
        attributes() +
          n('C5', 4) +
          n('rest', 4) +
          move('backup', 8) +
          n('E3', 8, { voice: '2' }) +
          move('backup', 8) +
          n('G4', 2, { voice: '3' }) +
          n('rest', 2, { voice: '3' }) +
          n('A4', 2, { voice: '3' }) +
          n('rest', 2, { voice: '3' }),
      ]),
    );
    // Two voices have as many notes as the third; the first two in the file stay.
    expect(phrase.voices.length).toBe(2);
    const all = [...lines(phrase, 0), ...lines(phrase, 1)].join('; ');
    expect(all).toContain('20160+10080 A4');
    expect(listed.join()).toContain('more than two voices');
    // The E of a whole bar lasts as long as the C, not only as the G.
    expect(all).toContain('0+20160 C5 E3');
    expect(listed.join()).toContain('lasts as long as those struck with it');
  });

  const third = (...upper: string[]) =>
    imported(
      score([
        attributes({ divisions: 6 }) +
          upper.join('') +
          move('backup', 24) +
          n('E3', 3, { voice: '2' }) +
          n('rest', 3, { voice: '2' }) +
          n('F3', 6, { voice: '2' }) +
          n('G3', 6, { voice: '2' }) +
          n('A3', 6, { voice: '2' }) +
          move('backup', 24) +
          n('rest', 2, { voice: '3', type: 'eighth', ratio: '3:2' }) +
          n('B4', 2, { voice: '3', type: 'eighth', ratio: '3:2' }) +
          n('C5', 2, { voice: '3', type: 'eighth', ratio: '3:2' }),
      ]),
    );
  const later = [n('D4', 6), n('E4', 6), n('F4', 6)];

  it('a third voice brings its tuplets where a beat is free', () => {
    const { phrase, listed } = third(n('rest', 6), ...later);
    expect(lines(phrase, 0).slice(0, 3)).toEqual([
      '3360+3360 B4',
      '6720+3360 C5',
      '10080+10080 D4',
    ]);
    expect(phrase.voices[0].tuplets).toEqual([{ onset: 0, duration: Q, actual: 3, normal: 2 }]);
    expect(listed.join()).not.toMatch(/left out|shortened/u);
  });

  it('and not where others sound in the beat', () => {
    const { phrase, listed } = third(n('D4', 3), n('rest', 3), ...later);
    expect(phrase.voices.flatMap((v) => v.tuplets)).toEqual([]);
    expect(listed.join()).toContain('2 times');
    expect(listed.join()).toContain('notes that overlap both voices are left out');
  });

  it('a note tied on while others of its chord end goes to the second voice', () => {
    const { phrase } = imported(
      score([
        attributes() +
          n('E3', 4, { tie: ['start'] }) +
          n('C4', 4, { chord: true }) +
          n('G4', 4, { chord: true }) +
          n('E3', 4, { tie: ['stop'] }) +
          n('A4', 4, { chord: true }),
      ]),
    );
    expect(lines(phrase, 0)).toEqual(['0+20160 G4 C4', '20160+20160 A4']);
    expect(lines(phrase, 1)).toEqual(['0+40320 E3']);
  });
});

describe('bars of a length that no meter here has', () => {
  it('are joined until they end on a 16th, so that every note keeps its time', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 8, time: '5/32' }) + n('G4', 5),
        n('A4', 5),
        n('B4', 5),
        n('C5', 5),
      ]),
    );
    const thirtySeconds = lines(phrase).map((l) => Number(l.split('+')[0]) / (Q / 8));
    expect(thirtySeconds).toEqual([0, 5, 10, 15]);
    expect(phrase.bars[0]?.meter).toEqual({ beats: 5, beatType: 16 });
    expect(listed.join()).toContain("the time signature '5/32' is not known here");
    expect(listed.join()).toContain('joined to keep all times');
  });

  it('are listed also where they fill a bar of the meter together', () => {
    const whole = n('A4', 32);
    const first = attributes({ divisions: 8 }) + whole;
    const { phrase, listed } = imported(score([first, n('G4', 17), n('A4', 15), whole]));
    expect(phrase.bars).toHaveLength(3);
    expect(listed.join()).toContain('joined to keep all times');
  });

  it('one alone is filled up, as a slip of the file', () => {
    const whole = n('A4', 32);
    const { listed } = imported(
      score([attributes({ divisions: 8 }) + whole, n('G4', 31), whole, whole, whole]),
    );
    expect(listed.join()).toContain('filled up with a rest');
  });
});

describe('an ending whose bracket stops before its repeat', () => {
  const line = (side: string, inside: string) => `<barline location="${side}">${inside}</barline>`;
  const first = `${line('left', '<ending number="1" type="start"/>')}${n('A4', 8)}${line('right', '<ending number="1" type="stop"/>')}`;
  const back = n('B4', 8) + line('right', '<repeat direction="backward"/>');
  const second = `${line('left', '<ending number="2" type="start"/>')}${n('C5', 8)}${line('right', '<ending number="2" type="stop"/>')}`;

  it('goes on to it, which is listed', () => {
    const { phrase, listed } = imported(score([attributes() + n('G4', 8), first, back, second]));
    expect(phrase.bars.map((b) => b.ending)).toEqual([undefined, [1], [1], [2]]);
    expect(phrase.bars[2]?.repeatEnd).toBe(2);
    expect(listed.join()).toContain('an ending that stops before its repeat goes on to it');
  });

  it('is left alone where no second ending follows that repeat', () => {
    const { listed } = imported(
      score([attributes() + n('G4', 8), first, back, n('C5', 8), second]),
    );
    expect(listed.join()).not.toContain('goes on to it');
  });
});

describe('what a file leaves open is told', () => {
  it.each([
    ['slash heads', n('B4', 8, { head: '<notehead>slash</notehead>' }), 'a slash for a head'],
    [
      'repeat signs',
      `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>${n('rest', 8)}`,
      'bars under repeat signs',
    ],
  ])('%s', (_, bar, said) => {
    expect(imported(score([attributes() + n('B4', 8), bar])).listed.join()).toContain(said);
  });
});

describe('notes', () => {
  it('of no length take no time, as grace notes, and that is said', () => {
    const none = (xml: string) => xml.replace('<duration>4<', '<duration>0<');
    const first = none(n('F4', 4)) + n('G4', 4);
    const { phrase, listed } = imported(
      score([
        attributes() + first + none(n('rest', 4)) + n('A4', 4) + none(n('C5', 4, { chord: true })),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+20160 G4', '20160+20160 C5 A4']);
    expect(phrase.voices[0].events[0]!.graces?.[0].notes[0].pitch).toMatchObject({ letter: 'F' });
    for (const what of ['read as a grace note', 'takes that of its chord', 'rest of no length'])
      expect(listed.join()).toContain(what);
  });
});

describe('ties', () => {
  it('that miss their second end are closed, but not over a note with a syllable of its own', () => {
    const tied = n('G4', 8, { tie: ['start'] });
    const sung = n('G4', 8, { extra: '<lyric><text>la</text></lyric>' });
    const closed = imported(score([attributes() + tied, n('G4', 8)]));
    expect(lines(closed.phrase)).toEqual(['0+80640 G4']);
    expect(closed.listed.join()).toContain('a tie without its second end is closed');
    const struck = imported(score([attributes() + tied, sung]));
    expect(lines(struck.phrase)).toEqual(['0+40320 G4', '40320+40320 G4']);
    expect(struck.listed.join()).toContain('leads to a note that is struck');
  });

  it('that lose an end on both sides of a note between them go through it', () => {
    const first = n('G4', 4) + n('G4', 4, { tie: ['start'] });
    const { phrase, listed } = imported(
      score([attributes() + first, n('G4', 8), n('G4', 2, { tie: ['stop'] }) + n('G4', 6)]),
    );
    expect(lines(phrase)).toEqual(['0+20160 G4', '20160+70560 G4', '90720+30240 G4']);
    expect(listed.join()).not.toContain('nowhere');
    // Without a stop the note after it is struck.
    const plain = imported(score([attributes() + first, n('G4', 8), n('G4', 8)]));
    expect(lines(plain.phrase)).toEqual(['0+20160 G4', '20160+60480 G4', '80640+40320 G4']);
  });

  it('make one note over bar lines and several values', () => {
    const { phrase } = imported(
      score([
        attributes() + n('rest', 7) + n('B4', 1, { tie: ['start'] }),
        n('B4', 8, { tie: ['stop', 'start'] }),
        n('B4', 3, { tie: ['stop'] }) + n('B4', 5),
      ]),
    );
    expect(lines(phrase)).toEqual([`${7 * 5040}+${12 * 5040} B4`, `${19 * 5040}+25200 B4`]);
  });

  it('of two equal pitches on two strings stay apart', () => {
    const both = (tie: readonly ('start' | 'stop')[]) =>
      n('E4', 8, { tie, technical: at('2', '5') }) +
      n('E4', 8, { tie, chord: true, technical: at('1', '0') });
    const at = (s: string, f: string) => `<string>${s}</string><fret>${f}</fret>`;
    const { phrase } = imported(score([attributes() + both(['start']), both(['stop'])]));
    expect(phrase.voices[0].events.map((e) => [e.duration, e.notes.length])).toEqual([[80_640, 2]]);
  });

  it('of two equal pitches follow their strings', () => {
    const on = (string: number, fret: number, tie: readonly ('start' | 'stop')[], chord = false) =>
      n('E4', 8, { tie, chord, technical: `<string>${string}</string><fret>${fret}</fret>` });
    const { phrase } = imported(
      score([
        attributes() + on(2, 5, ['start']) + on(1, 0, ['start'], true),
        on(1, 0, ['stop', 'start']) + on(2, 5, ['stop'], true),
        on(1, 0, ['stop']),
      ]),
    );
    const lengths = phrase.voices.flatMap((v) =>
      v.events.map((e) => [e.notes[0].string, e.duration / 40_320]),
    );
    expect(lengths.sort()).toEqual([
      [1, 3],
      [2, 2],
    ]);
  });

  it('without an end are closed if the next note has the pitch, else listed', () => {
    const { phrase, listed } = imported(
      score([
        attributes() +
          n('B4', 2, { tie: ['start'] }) +
          n('B4', 2) +
          n('A4', 2, { tie: ['start'] }) +
          n('G4', 2, { tie: ['stop'] }),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+20160 B4', '20160+10080 A4', '30240+10080 G4']);
    expect(listed.join()).toContain('without its second end');
    expect(listed.join()).toContain('leads to no note');
    expect(listed.join()).toContain('comes from nowhere');
  });
});

describe('tuplets', () => {
  const three = (pitch: string, notations?: string) =>
    n(pitch, 4, {
      type: 'eighth',
      ratio: '3:2',
      ...(notations === undefined ? {} : { notations }),
    });

  it('with a bracket', () => {
    const { phrase } = imported(
      score([
        attributes({ divisions: 12 }) +
          three('E4', '<tuplet type="start" number="1"/>') +
          n('rest', 4, { type: 'eighth', ratio: '3:2' }) +
          three('G4', '<tuplet type="stop" number="1"/>') +
          n('A4', 36),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+3360 E4', '6720+3360 G4', '10080+30240 A4']);
    expect(phrase.voices[0].tuplets).toEqual([{ onset: 0, duration: Q, actual: 3, normal: 2 }]);
  });

  it('without a bracket, each as short as it can be', () => {
    const { phrase } = imported(
      score([
        attributes({ divisions: 12 }) +
          ['E4', 'F4', 'G4', 'A4', 'B4', 'C5'].map((p) => three(p)).join('') +
          n('D5', 8, { type: 'quarter', ratio: '3:2' }) +
          three('E5') +
          n('D5', 12),
      ]),
    );
    expect(phrase.voices[0].tuplets.map((t) => [t.onset, t.duration])).toEqual([
      [0, Q],
      [Q, Q],
      [2 * Q, Q],
    ]);
    expect(lines(phrase).slice(6, 8)).toEqual(['20160+6720 D5', '26880+3360 E5']);
  });

  it('of five, seven and nine', () => {
    const run = (count: number, ratio: string, duration: number) =>
      Array.from({ length: count }, () => n('E4', duration, { type: '16th', ratio })).join('');
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 315, time: '4/4' }) +
          run(5, '5:4', 63) +
          run(7, '7:4', 45) +
          Array.from({ length: 9 }, () => n('E4', 35, { type: '32nd', ratio: '9:8' })).join('') +
          n('rest', 315),
      ]),
    );
    expect(phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: Q, actual: 5, normal: 4 },
      { onset: Q, duration: Q, actual: 7, normal: 4 },
      { onset: 2 * Q, duration: Q, actual: 9, normal: 8 },
    ]);
    expect(listed.filter((l) => l.includes('moved'))).toEqual([]);
  });

  it('six in the time of four stay so, half of them are three in the time of two', () => {
    const sixes = (count: number) =>
      Array.from({ length: count }, () => n('E4', 1, { type: '16th', ratio: '6:4' })).join('');
    const of = (xml: string) => imported(score([attributes({ divisions: 6 }) + xml])).phrase;
    const whole = of(sixes(6) + n('G4', 18));
    expect(whole.voices[0].tuplets).toEqual([{ onset: 0, duration: Q, actual: 6, normal: 4 }]);
    expect(lines(whole)[1]).toBe('1680+1680 E4');
    const half = of(sixes(3) + n('G4', 21));
    expect(half.voices[0].tuplets).toEqual([{ onset: 0, duration: Q / 2, actual: 3, normal: 2 }]);
  });

  it('of seven in the time of three and fifteen in the time of eight are exact (T1)', () => {
    const run = (count: number, ratio: string, type: string, duration: number) =>
      Array.from({ length: count }, () => n('E4', duration, { type, ratio })).join('');
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 210, time: '7/4' }) +
          run(7, '7:3', 'quarter', 90) +
          run(15, '15:8', '16th', 28) +
          n('rest', 420),
      ]),
    );
    expect(phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 3 * Q, actual: 7, normal: 3 },
      { onset: 3 * Q, duration: 2 * Q, actual: 15, normal: 8 },
    ]);
    expect(lines(phrase)[1]).toBe('4320+4320 E4');
    expect(lines(phrase)[8]).toBe('31584+1344 E4');
    expect(listed.join()).not.toContain('moved');
  });

  it('three inside five are fifteen in the time of eight, every place exact', () => {
    const inner = (pitch: string, tuplets = '') =>
      n(pitch, 4, { type: 'eighth', ratio: '15:8', notations: tuplets });
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 15 }) +
          n('E4', 6, {
            type: 'eighth',
            ratio: '5:4',
            notations: '<tuplet type="start" number="1"/>',
          }) +
          ['F4', 'G4'].map((p) => n(p, 6, { type: 'eighth', ratio: '5:4' })).join('') +
          inner('A4', '<tuplet type="start" number="2"/>') +
          inner('B4') +
          inner('C5', '<tuplet type="stop" number="2"/><tuplet type="stop" number="1"/>') +
          n('D5', 30),
      ]),
    );
    expect(phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 2 * Q, actual: 15, normal: 8 },
    ]);
    expect(lines(phrase)).toEqual([
      '0+4032 E4',
      '4032+4032 F4',
      '8064+4032 G4',
      '12096+2688 A4',
      '14784+2688 B4',
      '17472+2688 C5',
      '20160+20160 D5',
    ]);
    expect(listed.join()).toContain('a tuplet inside a tuplet is written as one of 15:8');
    expect(listed.join()).not.toContain('moved');
  });

  it('of a ratio that nobody prints are its like in other values', () => {
    const { phrase } = imported(
      score([
        attributes({ divisions: 9 }) +
          Array.from({ length: 9 }, () => n('E4', 1, { type: 'eighth', ratio: '9:2' })).join('') +
          n('G4', 27),
      ]),
    );
    expect(phrase.voices[0].tuplets).toEqual([{ onset: 0, duration: Q, actual: 9, normal: 8 }]);
    expect(lines(phrase)[1]).toBe('1120+1120 E4');
  });

  it('four in the time of three are quadruplets, also without a bracket', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 8, time: '3/8' }) +
          Array.from({ length: 4 }, () => n('E4', 3, { type: 'eighth', ratio: '4:3' })).join(''),
      ]),
    );
    const duration = (3 * Q) / 2;
    expect(phrase.voices[0].tuplets).toEqual([{ onset: 0, duration, actual: 4, normal: 3 }]);
    expect(lines(phrase).map((l) => l.split(' ')[0])).toEqual([
      '0+3780',
      '3780+3780',
      '7560+3780',
      '11340+3780',
    ]);
    expect(listed.join()).not.toContain('moved');
  });

  it('times that a program rounded to whole divisions are put back (T1)', () => {
    // 256 divisions cannot hold a third of a quarter: 85, 85 and 86 were written.
    const { phrase } = imported(
      score([
        attributes({ divisions: 256 }) +
          n('E4', 85, { type: 'eighth', ratio: '3:2' }) +
          n('F4', 85, { type: 'eighth', ratio: '3:2' }) +
          n('G4', 86, { type: 'eighth', ratio: '3:2' }) +
          n('A4', 768),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+3360 E4', '3360+3360 F4', '6720+3360 G4', '10080+30240 A4']);
  });

  it('a bit too long as well as a bit too short', () => {
    const { phrase } = imported(
      score([
        attributes({ divisions: 256 }) +
          ['E4', 'F4', 'G4'].map((p) => n(p, 86, { type: 'eighth', ratio: '3:2' })).join('') +
          n('A4', 766),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+3360 E4', '3360+3360 F4', '6720+3360 G4', '10080+30240 A4']);
    expect(phrase.voices[0].tuplets).toHaveLength(1);
  });

  it('that the model has no name for go to the nearest 128th, later onsets stay (T1)', () => {
    // Eleven in the time of eight 16ths: 1832.7 ticks each.
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 44 }) +
          Array.from({ length: 11 }, () => n('E4', 8, { type: '16th', ratio: '11:8' })).join('') +
          n('G4', 88),
      ]),
    );
    const onsets = phrase.voices[0].events.map((e) => e.onset);
    expect(onsets.slice(0, 11)).toEqual(
      Array.from({ length: 11 }, (_, i) => Math.round(((20_160 / 11) * i) / 315) * 315),
    );
    expect(onsets[11]).toBe(20_160);
    expect(listed.join()).toContain('notes of a tuplet 11:8 are moved to the nearest 128th');
  });

  it('notes shorter than a 128th are left out and listed', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ divisions: 512, time: '1/4' }) + n('E4', 4, { type: '512th' }) + n('F4', 508),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+10080 F4']);
    expect(listed.join()).toContain('shorter than a 128th');
  });
});

describe('bars', () => {
  it('a short implicit first measure is the pickup, a short last one ends early (T2)', () => {
    const { phrase, listed } = imported(
      score([`{number="0" implicit="yes"}${attributes()}${n('G4', 1)}`, n('A4', 8), n('B4', 6)]),
    );
    expect([phrase.pickup, phrase.bars.length, phrase.length]).toEqual([5040, 2, 5040 + 7 * Q]);
    expect(barSpans(phrase).map((s) => s.number)).toEqual([0, 1, 2]);
    expect(listed.join()).not.toContain('pickup');
  });

  it('a short first measure that does not say so is a pickup too, and listed', () => {
    const { phrase, listed } = imported(score([attributes() + n('G4', 3), n('A4', 8)]));
    expect(phrase.pickup).toBe(3 * 5040);
    expect(listed.join()).toContain('read as a pickup');
  });

  it('a pickup may be longer than what the only bar after it still holds', () => {
    const { phrase } = imported(
      score([`{number="0" implicit="yes"}${attributes()}${n('G4', 5)}`, n('A4', 3)]),
    );
    expect([phrase.pickup, phrase.bars.length, phrase.length]).toEqual([25_200, 1, 40_320]);
    expect(phrase.bars[0]?.meter).toEqual({ beats: 4, beatType: 4 });
    // But not longer than a full bar with a meter of its own: then it is a bar as well.
    const odd = imported(score([attributes() + n('G4', 5), n('A4', 3), n('B4', 8)]));
    expect(odd.phrase.pickup).toBe(0);
    expect(odd.phrase.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`)).toEqual([
      '5/8',
      '3/8',
      '4/4',
    ]);
  });

  it('a pickup of a third of a beat is filled up in front to a whole 128th', () => {
    const { phrase } = imported(
      score([
        `{number="0" implicit="yes"}${attributes({ divisions: 3 })}${n('G4', 1, { type: 'eighth', ratio: '3:2' })}`,
        n('A4', 12),
      ]),
    );
    // 3,360 ticks lie between ten and eleven 128ths; the bar itself starts where it did.
    expect(phrase.pickup).toBe(3465);
    expect(lines(phrase).at(-1)).toBe('3465+40320 A4');
  });

  it('a bar split by an implicit measure is one bar', () => {
    const { phrase, listed } = imported(
      score([
        attributes() + n('A4', 8),
        n('B4', 3),
        `{number="X1" implicit="yes"}${n('C5', 5)}`,
        n('D5', 8),
      ]),
    );
    expect(phrase.bars).toHaveLength(3);
    // Two short measures that do not say so are two bars, although they would fill one.
    const two = imported(score([attributes() + n('A4', 8), n('B4', 3), n('C5', 5), n('D5', 8)]));
    expect(two.phrase.bars.map((b) => b.meter.beats)).toEqual([4, 3, 5, 4]);
    expect(lines(phrase)[2]).toBe(`${40_320 + 15_120}+25200 C5`);
    expect(listed.join()).not.toContain('bar shorter');
  });

  it('a bar that is too short or too long gets its own meter, later onsets stay', () => {
    const { phrase, listed } = imported(
      score([attributes() + n('A4', 8), n('B4', 5), n('C5', 11), n('D5', 8)]),
    );
    expect(phrase.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`)).toEqual([
      '4/4',
      '5/8',
      '11/8',
      '4/4',
    ]);
    expect(lines(phrase).map((l) => Number(l.split('+')[0]) / 5040)).toEqual([0, 8, 13, 24]);
    expect(listed.filter((l) => l.includes('gets one of its own'))).toHaveLength(2);
  });

  it('meters change, and added meters are kept as one', () => {
    const time = (text: string) => `<attributes><time>${text}</time></attributes>`;
    const two = '<beats>3</beats><beat-type>8</beat-type><beats>2</beats><beat-type>4</beat-type>';
    const { phrase, listed } = imported(
      score([
        attributes({ time: '6/8' }) + n('A4', 6),
        time('<beats>2+3</beats><beat-type>8</beat-type>') + n('A4', 5),
        time(two) + n('A4', 7),
      ]),
    );
    expect(phrase.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`)).toEqual([
      '6/8',
      '5/8',
      '7/8',
    ]);
    expect(listed.join()).toContain("'3/8 + 2/4' is kept as 7/8");
  });

  it('without a time signature 4/4 is assumed; without meter each bar has its own', () => {
    const none = imported(score([attributes({ time: 'none' }) + n('A4', 8)]));
    expect(none.phrase.bars).toEqual([{ meter: { beats: 4, beatType: 4 } }]);
    expect(none.listed.join()).toContain('no time signature');
    const free = imported(
      score([
        `<attributes><divisions>2</divisions><time><senza-misura/></time></attributes>${n('A4', 14)}`,
        n('B4', 6),
      ]),
    );
    expect(free.phrase.bars.map((b) => b.meter)).toEqual([
      { beats: 7, beatType: 4 },
      { beats: 4, beatType: 4 },
    ]);
    expect(free.phrase.length).toBe(10 * Q);
  });

  it('an empty measure is a full bar of silence', () => {
    const { phrase } = imported(score([attributes({ time: '3/4' }) + n('A4', 6), '', n('B4', 6)]));
    expect(lines(phrase)).toEqual(['0+30240 A4', '60480+30240 B4']);
  });

  it('a step back beyond the bar stops at its beginning, and is listed', () => {
    const { phrase, listed } = imported(
      score([attributes() + n('C5', 8) + move('backup', 9) + n('E3', 8, { voice: '2' })]),
    );
    expect(lines(phrase, 1)).toEqual(['0+40320 E3']);
    expect(listed.join()).toContain('goes before the bar');
  });
});

describe('repeats', () => {
  const left = (inside: string) => `<barline location="left">${inside}</barline>`;
  const right = (inside: string) => `<barline location="right">${inside}</barline>`;
  const bars = (...content: string[]) =>
    imported(score([attributes() + (content[0] ?? ''), ...content.slice(1)].map((c) => c)));

  it('with times and endings', () => {
    const { phrase, listed } = bars(
      n('A4', 8),
      left('<repeat direction="forward"/>') + n('A4', 8),
      left('<ending number="1, 2" type="start"/>') +
        n('A4', 8) +
        right('<ending number="1, 2" type="stop"/><repeat direction="backward" times="3"/>'),
      left('<ending number="3" type="start"/>') +
        n('A4', 8) +
        right('<ending number="3" type="discontinue"/>'),
      n('A4', 8),
    );
    const meter = { beats: 4, beatType: 4 };
    expect(phrase.bars).toEqual([
      { meter },
      { meter, repeatStart: true },
      { meter, repeatEnd: 3, ending: [1, 2] },
      { meter, ending: [3] },
      { meter },
    ]);
    expect(listed.join()).not.toContain('repeat');
  });

  it('an ending without times closes as often as there are passes', () => {
    const { phrase } = bars(
      n('A4', 8),
      left('<ending number="1, 2" type="start"/>') +
        n('A4', 8) +
        right('<ending number="1, 2" type="stop"/><repeat direction="backward"/>'),
      left('<ending number="3" type="start"/>') +
        n('A4', 8) +
        right('<ending number="3" type="stop"/><repeat direction="backward"/>'),
    );
    expect(phrase.bars.map((b) => b.repeatEnd)).toEqual([undefined, 3, undefined]);
  });

  it('endings that name no passes are dropped, repeats that never end too; both listed', () => {
    const { phrase, listed } = bars(
      n('A4', 8),
      left('<ending number="2" type="start"/>') +
        n('A4', 8) +
        right('<ending number="2" type="stop"/><repeat direction="backward"/>'),
      left('<repeat direction="forward"/>') + n('A4', 8),
    );
    expect(phrase.bars.map((b) => [b.ending, b.repeatEnd, b.repeatStart])).toEqual([
      [undefined, undefined, undefined],
      [undefined, 2, undefined],
      [undefined, undefined, undefined],
    ]);
    expect(listed.join()).toContain('endings that do not number the passes');
    expect(listed.join()).toContain('never ends');
  });
});

import { describe, expect, it } from 'vitest';
import { movePhrase } from '../../../../src/core/move/move';
import type { PitchedNote } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { allAfter, moved, rulesOf, toChord, toKey } from '../../../support/moves';

const note = (m: ReturnType<typeof moved>, event: number): PitchedNote => {
  const [n] = m.phrase.voices[0].events[event]!.notes;
  if (n.kind === 'dead') throw new Error('a pitched note');
  return n;
};

describe('bends (M10)', () => {
  it('whose ends would meet start a semitone below the target', () => {
    // 3 bent to 4 over C7; over Csus4 both are 4.
    const p = build('q 2/5(bend:F4)', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Csus4'));
    expect(allAfter(m)).toEqual(['s2 f5 E4 3>4 F4']);
    expect(rulesOf(m, 0)).toContain('M10');
  });

  it('too wide for string 5 start higher, reported', () => {
    // R to 3 over C7 is two tones: fine on string 3, too much on string 5.
    const p = build('q 3/5(bend:E4)', { chords: 'C7', key: 'C' });
    const low = build('q 5/15(bend:E4)', { chords: 'C7', key: 'C' });
    expect(allAfter(moved(p, toChord(p, 'D7')))).toEqual(['s3 f7 D4 R>3 F#4']);
    const known = moved(low, toChord(low, 'D7'));
    expect(allAfter(known)).toEqual(['s5 f19 E4 2>3 F#4']);
    expect(rulesOf(known, 0)).toContain('M10');
  });

  it('a pre-bend without release keeps its width: nobody hears where it starts', () => {
    const p = build('q 3/8(pre:E4)', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Fm7'));
    expect(allAfter(m)[0]).toMatch(/^s3 f12 G4 2>b3 Ab4$/);
    const full = build('q 3/7(pre:E4)', { chords: 'C7', key: 'C' });
    expect(allAfter(moved(full, toChord(full, 'Fm7')))[0]).toMatch(/>b3 Ab4$/);
    expect(note(moved(full, toChord(full, 'Fm7')), 0).pitch).toEqual({
      letter: 'G',
      alter: -1,
      octave: 4,
    });
  });

  it('a curl keeps its quarter tone, and is named where it lands on the ♭3 of a minor chord', () => {
    const p = build('q 3/9(curl)', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Fm7'));
    expect(note(m, 0).bend).toEqual({
      shape: 'curl',
      curve: [
        { at: 0, amount: 0 },
        { at: 100, amount: 100 },
      ],
    });
    expect(rulesOf(m, 0)).toContain('M11');
  });
});

describe('legato, slides, harmonics, dead notes (M11)', () => {
  it('a hammer-on turns into a pull-off where the line turns', () => {
    // 3 hammered to 4 over C; over Csus2 the third is 2 and 4 stays: still up. 2 to 3 over sus2 meet.
    const p = build('e 3/7=D 3/9=E(h)', { chords: 'C', key: 'C' });
    const m = moved(p, toChord(p, 'Csus2'));
    expect(note(m, 1).attack).toBeUndefined();
    expect(rulesOf(m, 1)).toEqual(expect.arrayContaining(['M4', 'M11', 'M9']));
  });

  it('slide-ins and graces keep their semitones', () => {
    const p = build('q 3/9(in:-2) 2/8@g:2/6~h', { chords: 'C7', key: 'C' });
    const m = moved(p, toKey('D'));
    expect(note(m, 0).slideIn).toEqual({ kind: 'interval', from: 'below', semitones: 2 });
    expect(m.phrase.voices[0].events[1]!.graces?.[0].notes[0]).toMatchObject({
      string: 2,
      fret: 8,
    });
  });

  it('a natural harmonic is sought on the nodes, else becomes artificial and is reported', () => {
    const p = build('h 1/12(nat:12)', { chords: 'E7', key: 'E' });
    const onNode = moved(p, toKey('B'), { octave: 'down' });
    expect(note(onNode, 0)).toMatchObject({
      string: 2,
      fret: 12,
      harmonic: { kind: 'natural', above: 12 },
    });
    const off = moved(p, toKey('F'));
    expect(note(off, 0)).toMatchObject({
      string: 1,
      fret: 1,
      harmonic: { kind: 'artificial', above: 12 },
    });
    expect(rulesOf(off, 0)).toContain('M11');
  });

  it('dead notes keep their string and follow the hand', () => {
    const p = build('e 3/5 3/x5 2/5 3/x5', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'D7'));
    expect(m.phrase.voices[0].events.map((e) => [e.notes[0].string, e.notes[0].fret])).toEqual([
      [3, 7],
      [3, 7],
      [2, 7],
      [3, 7],
    ]);
    expect(m.report.notes).toHaveLength(2);
  });
});

describe('collisions (M9)', () => {
  it('a note that repeats the upper note of the double stop before it is told', () => {
    const p = build('q 3/5+2/5 2/6 h -', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'C7sus4'));
    const told = m.report.notes.flatMap((n) => n.adaptations.map((a) => a.text));
    expect(told).toContain('repeated note: it now repeats the note before');
  });
});

describe('anchors (M5)', () => {
  it('a drone stays when the chord moves and moves with the key', () => {
    const p = build('q 3/2 3/4 3/2 3/4', { second: 'w 5/0', chords: 'A7', key: 'A' });
    const chord = moved(p, toChord(p, 'D7'));
    expect(chord.report.notes.find((n) => n.before.string === 5)?.after).toMatchObject({
      string: 5,
      fret: 0,
    });
    const key = moved(p, toKey('B'));
    expect(key.report.notes.find((n) => n.before.string === 5)?.after.pitch).toEqual({
      letter: 'B',
      alter: 0,
      octave: 2,
    });
  });

  it('a note anchored to the key keeps its key degree', () => {
    const p = build('q 3/5=C(anchor:key) 3/9=E', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'F7'));
    expect(m.report.notes.map((n) => n.after.pitch.letter)).toEqual(['C', 'A']);
  });

  it('a note anchored to its goal keeps any interval to it', () => {
    // D is 2 of C7, in the row; anchored it goes with the E it leads to, the A♭ of Fm7.
    const p = build('e 3/7=D(anchor:goal) 3/9=E', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Fm7'));
    expect(allAfter(m)).toEqual(['s3 f11 Gb4 b2', 's3 f13 Ab4 b3']);
  });
});

describe('the quality table (M4) and chromatic notes (M3)', () => {
  it.each([
    ['Cmaj7', '2/12=B', 'F7', 'Eb', 'b7'],
    ['C7', '2/11=Bb', 'Fmaj7', 'E', '7'],
    ['C7', '2/11=Bb', 'F', 'Eb', 'b7'],
    ['C', '2/12=B', 'F7', 'Eb', 'b7'],
    ['Csus4', '2/6=F', 'F7', 'A', '3'],
    ['C7', '2/5=E', 'Fsus2', 'G', '2'],
    ['C7', '2/8=G', 'Fm7b5', 'Cb', 'b5'],
    ['C7', '2/8=G', 'Faug', 'C#', '#5'],
    ['Cm7', '3/8=Eb', 'F7', 'A', '3'],
    ['C7', '2/10=A', 'Fdim7', 'Db', 'b6'],
    ['C7b9', '2/2=Db', 'F7', 'G', '2'],
  ])('%s %s to %s', (from, place, to, letter, degree) => {
    const p = build(`h ${place}`, { chords: from, key: 'C' });
    const [s] = allAfter(moved(p, toChord(p, to)));
    expect(s!.split(' ')[2]!.replace(/\d/, '')).toBe(letter);
    expect(s!.split(' ')[3]).toBe(degree);
  });

  it('an unresolved ♭3 stays a blue note, and any other chromatic note its interval, reported', () => {
    const p = build('q 3/8=Eb - - - | 3/1=Ab - - -', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Fmaj7'));
    expect(allAfter(m).map((s) => s.split(' ').slice(2).join(' '))).toEqual(['Ab4 b3', 'Db4 b6']);
    expect(m.report.notes.map((n) => n.adaptations.map((a) => a.rule))).toEqual([['M3'], ['M3']]);
    const minor = moved(p, toChord(p, 'Fm7'));
    expect(minor.report.notes[0]!.adaptations.map((a) => a.text)).toEqual([
      '♭3 is kept as a blue note',
    ]);
  });

  it('an enclosure keeps both its semitones around the goal', () => {
    // F and D♯ around E over Cmaj7: F is 4, in the row; G♯ and F♯ around G are chromatic.
    const p = build('e 2/9=G# 2/7=F# q 2/8=G', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Fm7b5'));
    expect(allAfter(m).map((s) => s.split(' ')[2])).toEqual(['C5', 'Bb4', 'Cb5']);
  });

  it('two notes that land on one pitch are kept and reported (M9)', () => {
    const p = build('e 2/5=E 2/6=F', { chords: 'C7', key: 'C' });
    const m = moved(p, toChord(p, 'Csus4'));
    expect(m.report.notes.map((n) => n.after.fret)).toEqual([6, 6]);
    expect(rulesOf(m, 1)).toContain('M9');
  });
});

describe('the hand (M12)', () => {
  it('a pin holds its string; where it cannot sound, it is released and reported', () => {
    const p = build('q 2/1=C(pin) 3/0=G', { chords: 'C', key: 'C' });
    const area = moved(p, toChord(p, 'D'), { hand: 'area' });
    expect(area.report.notes.find((n) => n.id === 'n1')?.after.string).toBe(2);
    const pinned = build('q 6/0=E(pin) 6/22=D(pin)', { chords: 'E7', key: 'E' });
    const m = moved(pinned, toChord(pinned, 'F7'));
    expect(m.report.notes.flatMap((n) => n.adaptations.map((a) => a.text)).join()).toMatch(
      /pin to string 6 was released/,
    );
    expect(checkPhrase(m.phrase)).toEqual([]);
  });

  it('double accidentals beyond two: the chord is respelled with its notes (P5)', () => {
    const p = build('q 3/8=Eb 4/4=Gb', { chords: 'Cdim7', key: 'C' });
    const seventh = build('q 2/10=Bbb', { chords: 'Cdim7', key: 'C' });
    expect(allAfter(moved(p, toChord(p, 'Cbdim7')))[0]).toMatch(/Ebb/);
    const m = moved(seventh, toChord(seventh, 'Cbdim7'));
    expect(m.phrase.chords[0]!.symbol).toBe('Bdim7');
    expect(m.report.general.map((a) => a.rule)).toEqual(['P5']);
    expect(allAfter(m)[0]).toMatch(/Ab4 bb7/);
  });

  it('a phrase that fits nowhere is refused, with its place', () => {
    // From the lowest note of the guitar to the highest: a semitone up leaves it, eleven down too.
    const p = build('q 6/0=E 1/22=D', { chords: 'E7', key: 'E' });
    const r = movePhrase(p, { to: toKey('F') });
    expect(r.ok).toBe(false);
    expect(!r.ok && r.problems[0]?.message).toMatch(
      /^the moved notes do not fit on Guitar in any octave: E♭ \(bar 1, beat 2\) lies above/u,
    );
  });
});

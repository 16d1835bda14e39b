import { describe, expect, it } from 'vitest';
import { startAt } from '../../../../src/core/move/beat-move';
import { readGoal } from '../../../../src/core/move/goal';
import { countsFromKey, parseLane } from '../../../../src/core/move/lane';
import { movePhrase } from '../../../../src/core/move/move';
import { formatProblem } from '../../../../src/core/result';
import { formatKey, twelveKeys } from '../../../../src/core/theory/key';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { allAfter, moved, toChord, toKey, toLane } from '../../../support/moves';

const TWO_BARS = 'e 3/5 3/7 2/5 2/8 q 1/5 - | e 3/7 3/5 4/7 4/5 h 4/7';

describe('to a key (M2)', () => {
  it('real is the default, and V of C becomes V of E♭', () => {
    const p = build(TWO_BARS, { chords: 'C7 | G7', key: 'C' });
    const m = moved(p, toKey('Eb'));
    expect(m.report.way).toBe('real');
    expect(m.phrase.chords.map((c) => c.symbol)).toEqual(['Eb7', 'Bb7']);
    expect(formatKey(m.phrase.key)).toBe('Eb');
  });

  it('to the other mode the numerals are kept: I7 i m7, IV7 iv m7, V7 stays', () => {
    const p = build('h 3/5 3/7 | 3/7 3/5 | w 4/7', { chords: 'C7 | F7 | G7', key: 'C blues' });
    const m = moved(p, toKey('Am'), { way: 'chord' });
    expect(m.phrase.chords.map((c) => c.symbol)).toEqual(['Am7', 'Dm7', 'E7']);
    const back = moved(m.phrase, toKey('C blues'), { way: 'chord' });
    expect(back.phrase.chords.map((c) => c.symbol)).toEqual(['C7', 'F7', 'G7']);
  });

  it('diatonic steps follow the other scale; a passing chord keeps its distance (common practice)', () => {
    const p = build('h 3/5 3/7 | 3/7 3/5 | w 4/7', {
      chords: 'Dm7 Am7 | Bm7b5 F#dim7 | Em7',
      key: 'C',
    });
    const m = moved(p, toKey('Cm'), { way: 'chord' });
    expect(m.phrase.chords.map((c) => c.symbol)).toEqual([
      'Dm7b5',
      'Abmaj7',
      'Bb7',
      'F#dim7',
      'Ebmaj7',
    ]);
  });

  it('real to the other mode is refused with what to do', () => {
    const p = build(TWO_BARS, { chords: 'C7', key: 'C' });
    const r = movePhrase(p, { to: toKey('Am') });
    expect(r.ok).toBe(false);
    expect(!r.ok && formatProblem(r.problems[0]!)).toMatch(/other mode.*chord.*hold/);
  });

  it('twelve keys come back respelled at most, from C and from F♯', () => {
    let compared = 0;
    for (const from of ['C', 'F#', 'Gb', 'Dm', 'Bb blues']) {
      const p = build('q 3/9 2/8 3/9 4/9', { chords: 'C', key: 'C' });
      const start = moved(p, toKey(from.endsWith('m') ? 'C' : from)).phrase;
      for (const key of twelveKeys(start.key)) {
        const there = moved(start, { kind: 'key', key });
        const home = moved(there.phrase, { kind: 'key', key: start.key });
        if ([there, home].some((m) => m.report.general.some((a) => a.fallback))) continue;
        compared++;
        expect(
          home.phrase.voices[0].events.map((e) =>
            e.notes.map((n) => n.kind === 'pitched' && n.pitch),
          ),
        ).toEqual(
          start.voices[0].events.map((e) => e.notes.map((n) => n.kind === 'pitched' && n.pitch)),
        );
      }
    }
    expect(compared).toBeGreaterThan(40);
  });
});

describe('to a lane (M2)', () => {
  const p = build(TWO_BARS, { chords: 'C7', key: 'C blues' });

  it('bars by |, symbols of a bar share its beats; without | one symbol a bar', () => {
    const m = moved(p, toLane(p, 'I7 | IV7 V7'));
    expect(m.phrase.chords).toEqual([
      { onset: 0, symbol: 'C7' },
      { onset: 40_320, symbol: 'F7' },
      { onset: 60_480, symbol: 'G7' },
    ]);
    expect(moved(p, toLane(p, 'I7 IV7')).phrase.chords).toEqual([
      { onset: 0, symbol: 'C7' },
      { onset: 40_320, symbol: 'F7' },
    ]);
  });

  it('three symbols share four beats with the longer stretch first; five are refused', () => {
    const m = moved(p, toLane(p, 'I7 | I7 IV7 V7'));
    expect(m.phrase.chords.slice(1)).toEqual([
      { onset: 40_320 + 20_160, symbol: 'F7' },
      { onset: 40_320 + 30_240, symbol: 'G7' },
    ]);
    const r = movePhrase(p, { to: toLane(p, 'I7 | I7 I7 IV7 V7 I7') });
    expect(!r.ok && r.problems[0]!.bar).toBe(2);
  });

  it('the pickup takes the first chord', () => {
    const q = build('e 3/5 | e 3/7 2/5 2/8 2/5 q 1/5 -', { chords: 'C7', key: 'C', pickup: 5_040 });
    const m = moved(q, toLane(q, 'F7 |'));
    expect(m.report.notes[0]!.after.chordDegree).toEqual(m.report.notes[0]!.before.chordDegree);
    expect(m.phrase.chords).toEqual([{ onset: 0, symbol: 'F7' }]);
  });

  it('a lane of another length is refused: no silent repeat or cut', () => {
    const r = movePhrase(p, { to: toLane(p, 'I7 | IV7 | V7') });
    expect(!r.ok && formatProblem(r.problems[0]!)).toBe(
      'the lane has 3 bars and the phrase 2 bars. Give 2 bars of chords, or one symbol for the whole phrase.',
    );
  });

  it('numerals mean other chords in another key, names do not', () => {
    for (const lane of ['I7 | IV7', 'A7 | V7', 'N.C. | ii7 V7']) {
      expect(countsFromKey(lane), lane).toBe(true);
    }
    for (const lane of ['A7 | D7', 'N.C.', 'H7', '']) expect(countsFromKey(lane), lane).toBe(false);
  });

  it('a wrong symbol is told with its bar', () => {
    const r = parseLane('I7 | H7', p.key);
    expect(!r.ok && r.problems[0]!.bar).toBe(2);
  });

  it('real moves each segment by its own root', () => {
    const q = build('h 3/5=C 3/7=D | 3/5=C 3/7=D', { chords: 'C7', key: 'C' });
    const m = moved(q, toLane(q, 'D7 | Bb7'), { way: 'real' });
    expect(allAfter(m).map((s) => s.split(' ')[2])).toEqual(['D4', 'E4', 'Bb3', 'C4']);
  });

  it('keeps the contour across a joint before it keeps the motion small (M7)', () => {
    // C4 up to G4 across the bar line: nearest alone would send F7 up and G7 down, and turn the line.
    const q = build('w 3/5=C | 2/8=G', { chords: 'C7 | C7', key: 'C' });
    const lane = moved(q, toLane(q, 'F#7 | F7'));
    const [a, b] = lane.report.notes.map((n) => n.after);
    const height = (x: typeof a) =>
      x!.pitch.octave * 12 + 'C D EF G A B'.indexOf(x!.pitch.letter) + x!.pitch.alter;
    expect(height(b)).toBeGreaterThan(height(a));
  });

  it('N.C. in the lane leaves the notes with the key', () => {
    const m = moved(p, { kind: 'lane', bars: [[null], [null]] });
    expect(m.phrase.chords).toEqual([{ onset: 0, symbol: null }]);
    expect(m.report.notes.map((n) => n.after.pitch)).toEqual(
      m.report.notes.map((n) => n.before.pitch),
    );
    expect(m.report.notes[0]!.after.chordDegree).toBeNull();
  });
});

describe('by scale steps (M2)', () => {
  it('whole octaves keep every name, also one that the scale does not have', () => {
    const p = build('q 2/2=C# 2/1', { chords: 'F#m(maj7)', key: 'Db' });
    for (const [steps, octaves] of [
      [0, 0],
      [7, 1],
      [-7, -1],
    ] as const) {
      const notes = moved(p, { kind: 'steps', steps }).report.notes;
      expect(notes.map((n) => [n.after.pitch.letter, n.after.pitch.alter])).toEqual([
        ['C', 1],
        ['C', 0],
      ]);
      expect(notes[0]!.after.pitch.octave - notes[0]!.before.pitch.octave).toBe(octaves);
    }
  });

  it('a third up in C: letters move by steps, and steps are read in the key', () => {
    const p = build('q 3/5=C 3/7=D 2/5=E 2/6=F', { key: 'C' });
    const m = moved(p, { kind: 'steps', steps: 2 });
    expect(allAfter(m).map((s) => s.split(' ')[2])).toEqual(['E4', 'F4', 'G4', 'A4']);
    expect(
      moved(p, { kind: 'steps', steps: -1 }).report.notes.map((n) => n.after.pitch.letter),
    ).toEqual(['B', 'C', 'D', 'E']);
  });

  it('natural minor in a minor key', () => {
    const p = build('q 4/7=A 3/4=B 3/5=C 3/7=D', { key: 'Am' });
    expect(allAfter(moved(p, { kind: 'steps', steps: 5 })).map((s) => s.split(' ')[2])).toEqual([
      'F4',
      'G4',
      'A4',
      'B4',
    ]);
  });

  it('a chromatic note follows its goal by its semitone, or keeps its alteration', () => {
    // D♯ to E becomes E to F: a semitone below its goal; A♭ alone keeps its alteration.
    const p = build('q 3/8=D# 2/5=E - 3/1=Ab', { key: 'C' });
    const m = moved(p, { kind: 'steps', steps: 1 });
    expect(allAfter(m).map((s) => s.split(' ')[2])).toEqual(['E4', 'F4', 'Bb3']);
  });

  it('a chromatic note that comes to lie on a step of the scale takes its name', () => {
    // B♭ led to B; two steps down the same semitone lies below G, and in G major that is F♯.
    const p = build('e 4/8=Bb 4/9=B', { key: 'G' });
    expect(allAfter(moved(p, { kind: 'steps', steps: -2 })).map((s) => s.split(' ')[2])).toEqual([
      'F#3',
      'G3',
    ]);
  });

  it('a name that no degree of the key has moves by its letter, in the octave of the others', () => {
    // D𝄪4 (E4) in C♭: three steps down A𝄪3; it went to B2, and the note before it, which leads there, with it.
    const p = build('e 2/6=F 3/9=D## 3/11=Gb', { key: 'Cb' });
    expect(allAfter(moved(p, { kind: 'steps', steps: -3 })).map((s) => s.split(' ')[2])).toEqual([
      'C4',
      'A##3',
      'Db4',
    ]);
  });

  it('goes with no other destination, and no other way goes with it', () => {
    const p = build('q 3/5', { key: 'C' });
    expect(movePhrase(p, { to: { kind: 'steps', steps: 1 }, way: 'real' }).ok).toBe(false);
    expect(movePhrase(p, { to: toChord(p, 'F7'), way: 'tonal' }).ok).toBe(false);
  });
});

describe('an octave, another beat', () => {
  const p = build(TWO_BARS, { chords: 'C7', key: 'C' });

  it('moves an octave up on the neck, or says why not', () => {
    const up = movePhrase(p, { to: { kind: 'octaves', octaves: 1 } });
    expect(up.ok && up.value.report.notes.map((n) => n.after.fret - n.before.fret)).toEqual(
      Array.from({ length: 10 }, () => 12),
    );
    const r = movePhrase(p, { to: { kind: 'octaves', octaves: 3 } });
    expect(!r.ok && r.problems[0]!.message).toMatch(
      /do not fit on Guitar: C \(bar 1, beat 1\) lies above/,
    );
  });

  it('starts on beat 2: everything struck moves, bars are added as needed', () => {
    const r = startAt(p, { bar: 1, beat: 2 });
    expect(r.ok && r.value.voices[0].events[0]!.onset).toBe(10_080);
    expect(r.ok && r.value.bars.length).toBe(3);
    expect(r.ok && checkPhrase(r.value)).toEqual([]);
  });

  it('starts before bar 1: a pickup is made, its beats counted from its end', () => {
    const r = startAt(p, { bar: 0, beat: 4.5 });
    expect(r.ok && r.value.pickup).toBe(5_040);
    expect(r.ok && r.value.voices[0].events[0]!.onset).toBe(0);
    expect(r.ok && r.value.chords[0]!.onset).toBe(0);
    expect(r.ok && checkPhrase(r.value)).toEqual([]);
  });

  it('refuses to push a tuplet over a bar line', () => {
    const q = build('q3 3/5 3/7 2/5 h -', { chords: 'C7', key: 'C' });
    const r = startAt(q, { bar: 1, beat: 4 });
    expect(!r.ok && r.problems[0]!.message).toBe('a tuplet would cross a bar line');
  });
});

describe('what makes no sense', () => {
  it.each(['key', 'steps', 'octaves', 'beat'] as const)(
    'is quoted by its beginning: %s',
    (kind) => {
      const r = readGoal(
        { kind, text: 'to be or not to be '.repeat(30) },
        build('w 3/5', { key: 'C' }).key,
      );
      expect(!r.ok && r.problems[0]!.message).toMatch(
        /^'to be or not to be to be or not to be to…' is no /u,
      );
    },
  );
});

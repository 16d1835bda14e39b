import { describe, expect, it } from 'vitest';
import { momentsOf } from '../../../../src/core/heard/moments';
import { motionOfHeard } from '../../../../src/core/heard/motion';
import { proposeChords } from '../../../../src/core/heard/propose';
import { findBeat, phaseOf } from '../../../../src/core/heard/tempo';
import { offTuning } from '../../../../src/core/heard/tuning';
import type { HeardNote } from '../../../../src/core/heard/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { parseKey } from '../../../../src/core/theory/key';
import { phrasesOf } from '../../../../src/io/heard/phrases';
import { takeOf } from '../../../../src/io/heard/take';
import { Dice } from '../../../support/generate/dice';

/** A note whose pitch goes along a line of semitones, from its onset to its end. */
function note(
  onset: number,
  end: number,
  line: number | readonly number[],
  more: Partial<HeardNote> = {},
): HeardNote {
  const points = typeof line === 'number' ? [line] : line;
  const curve = Array.from({ length: 40 }, (_, i) => ({
    at: onset + ((end - onset) * i) / 40,
    midi: points[Math.floor((i * points.length) / 40)]!,
  }));
  const pitch = [...curve].map((c) => c.midi).sort((a, b) => a - b)[20]!;
  return {
    onset,
    end,
    pitch,
    start: points[0]!,
    curve,
    attack: 'pluck',
    muted: false,
    confidence: 0.9,
    ...more,
  };
}

describe('what was heard', () => {
  it('finds the beat of eighths and of a shuffle, and where it begins', () => {
    const eighths = [0, 1, 2, 4, 5, 6, 7, 8, 10, 12, 13, 14].map((n) => 0.37 + (n * 60) / 96 / 2);
    const found = findBeat(eighths)!;
    expect(found.bpm).toBe(96);
    const off = ((0.37 - found.phase) / (60 / 96)) % 0.5;
    expect(Math.min(Math.abs(off), Math.abs(0.5 - Math.abs(off)))).toBeLessThan(0.02);
    const shuffle = [0, 2, 3, 5, 6, 9, 11, 12, 14, 15, 18].map((n) => (n * 60) / 120 / 3);
    expect(findBeat(shuffle)!.bpm).toBe(120);
    // Slow enough for its quarters to be taken for eighths of a faster beat in threes.
    const slow = [0, 2, 3, 5, 6, 9, 11, 12, 14, 15, 18, 21, 23, 24].map((n) => (n * 60) / 75 / 3);
    expect(findBeat(slow)!.bpm).toBe(75);
    expect(findBeat([1, 2, 3])).toBeNull();
    expect(phaseOf([0.5, 1, 1.5, 2.25], 0.5).phase).toBe(0);
  });

  it('finds dotted beats where they are told, and offers them where they are not', () => {
    // Eighths of 12/8: a shuffle, a long note, three eighths, a beat that is tied over.
    const eighths = [0, 2, 3, 6, 7, 8, 9, 11, 12, 14, 15, 18, 19, 20, 21, 23, 24];
    const at = eighths.map((n) => 0.4 + (n * 60) / 54 / 3);
    const found = findBeat(at, true)!;
    expect(found.bpm).toBe(54);
    expect(Math.abs(found.phase - 0.4)).toBeLessThan(0.01);
    const unsaid = findBeat(at)!;
    expect(unsaid.others).toContainEqual({ bpm: 54, threes: true });
  });

  it('finds dotted beats of rhythms that nobody wrote', () => {
    // Rhythms of a dotted beat and how often they stand in a shuffle (ours); a hand is off by 10 ms.
    const cells = [[0], [0, 2], [0, 2], [0, 1, 2], [2]];
    let right = 0;
    for (let seed = 0; seed < 20; seed++) {
      const d = new Dice(seed, 12);
      const bpm = d.int(46, 84);
      const at: number[] = [];
      for (let beat = 0; beat < 16; beat++)
        for (const eighth of beat === 0 ? [0] : d.pick(cells))
          at.push(0.7 + ((beat + eighth / 3) * 60) / bpm + 0.02 * (d.next() - 0.5));
      const found = findBeat(at, true)!;
      if ([0.5, 1, 2].some((x) => Math.abs(found.bpm / x / bpm - 1) < 0.03)) right += 1;
    }
    expect(right).toBeGreaterThanOrEqual(18);
  });

  it('tells a bend, a curl, a vibrato and a slide-in, and how the guitar is tuned', () => {
    const bent = note(0, 1, [64, 64, 65, 66, 66, 66], { bend: { semitones: 2, shape: 'bend' } });
    expect(motionOfHeard(bent, 0)).toMatchObject({
      midi: 64,
      bend: { shape: 'bend', semitones: 2 },
    });
    const curve = motionOfHeard(bent, 0).bend!.curve;
    expect(curve[0]).toEqual({ at: 0, amount: 0 });
    expect(curve.at(-1)).toEqual({ at: 100, amount: 100 });
    const curl = note(0, 1, [64, 64.5], { bend: { semitones: 0.5, shape: 'bend' } });
    expect(motionOfHeard(curl, 0).bend?.shape).toBe('curl');
    const shaken = note(0, 1, [64, 64.9, 64, 64.9], { vibrato: 45 });
    expect(motionOfHeard(shaken, 0)).toMatchObject({ midi: 64, vibrato: 'wide' });
    const slid = note(0, 1, 64, { slideIn: -2.1 });
    expect(motionOfHeard(slid, 0).slideIn).toEqual({
      kind: 'interval',
      from: 'below',
      semitones: 2,
    });
    const sharp = [60.2, 62.2, 64.2, 65.2, 67.2].map((m, i) => note(i, i + 0.5, m));
    expect(offTuning(sharp)).toBeCloseTo(0.2, 6);
    expect(motionOfHeard(note(0, 1, 64.45), 0.3).midi).toBe(64);
  });

  it('joins strings struck together, and graces that are slurred or quick', () => {
    const notes = [
      note(0, 0.5, 60),
      note(0.012, 0.5, 64),
      note(1, 1.06, 62),
      note(1.06, 1.5, 64, { attack: 'hammer-on' }),
      note(2, 2.1, 62),
      note(2.1, 2.5, 64),
      note(3, 3.06, 62),
      note(3.06, 3.5, 64),
    ];
    const moments = momentsOf(notes, 0.5, (at) => Math.abs(at - Math.round(at)));
    expect(moments.map((m) => [m.onset, m.notes.length, m.graces.length])).toEqual([
      [0, 2, 0],
      [1, 1, 1],
      [2, 1, 0],
      [2.1, 1, 0],
      [3, 1, 1],
    ]);
  });

  it('hears the key from the chords that are named, not from those that are counted from it', () => {
    // The fifth, sixth and ninth of E flat are as good a C minor.
    const notes = [70, 72, 65, 70, 72].map((m, i) => note(i / 2, i / 2 + 0.4, m));
    const key = (lane?: string) => {
      const take = takeOf(
        { notes, dead: [], seconds: 3 },
        { bpm: 120, ...(lane === undefined ? {} : { lane }) },
      );
      if (!take.ok) throw new Error(take.problems[0]!.message);
      return take.value.key;
    };
    expect(key('Eb | Ab | Eb')).toEqual(parseKey('Eb'));
    expect(key('I | IV | I')).toEqual(key());
    expect(key()).not.toEqual(parseKey('Eb'));
  });

  it('reads swung beats as even eighths, and a triplet among them as a triplet', () => {
    const beat = 60 / 110;
    const loose = [0.006, -0.009, 0.003, 0.011, -0.004, 0.008, -0.011, 0.002, -0.006, 0.009];
    const places = [0, 2 / 3, 1, 5 / 3, 2, 7 / 3, 8 / 3, 3, 11 / 3, 4];
    const notes = places.map((x, i) => {
      const at = 1 + x * beat + loose[i]!;
      return note(at, at + 0.25 * beat, 60 + i);
    });
    const take = takeOf({ notes, dead: [], seconds: 6 }, { bpm: 110, start: 1 });
    if (!take.ok) throw new Error(take.problems[0]!.message);
    expect(take.value.feel).toMatchObject({ kind: 'swing', unit: 'eighth' });
    const onsets = take.value.lines[0]!.map((e) => e.onset / 10_080);
    expect(onsets).toEqual([0, 0.5, 1, 1.5, 2, 2 + 1 / 3, 2 + 2 / 3, 3, 3.5, 4]);
  });

  it('cuts at rests, begins with a pickup where it begins late, and lays the lane round', () => {
    const at = [3.5, 4, 5, 6, 12, 12.5, 13];
    const beat = 0.5;
    const notes = at.map((b, i) =>
      note(b * beat, (b + 0.5) * beat, [60, 64, 67, 72, 60, 62, 64][i]!),
    );
    const take = takeOf(
      { notes, dead: [], seconds: 8 },
      { bpm: 120, start: 0, lane: 'C7 | F7', key: parseKey('C')! },
    );
    if (!take.ok) throw new Error(take.problems[0]!.message);
    const made = phrasesOf(take.value, {
      newId: () => 'x',
      now: '2026-11-27T00:00:00Z',
      title: 'T',
    });
    if (!made.ok) throw new Error(made.problems[0]!.message);
    const [first, second] = made.value.map((c) => c.phrase);
    const called = 'T, 1: single notes over IV7 in C';
    expect([first!.pickup, first!.bars.length, first!.meta.title]).toEqual([5040, 1, called]);
    // Bar 2 of what was played has the second chord of the lane, and so has bar 4.
    expect(first!.chords).toEqual([{ onset: 0, symbol: 'F7' }]);
    expect([second!.pickup, second!.chords]).toEqual([0, [{ onset: 0, symbol: 'F7' }]]);
    expect(second!.voices[0].events.map((e) => e.onset)).toEqual([0, 5040, 10_080]);
    const none = takeOf({ notes: [], dead: [], seconds: 1 }, {});
    expect(none.ok ? '' : none.problems[0]!.message).toBe('no note was heard');
  });

  it('a note that is heard unsurely in a chord moves no sure one, and is written where a hand has it', () => {
    let told: readonly string[] = [];
    const placesOf = (notes: readonly HeardNote[]) => {
      const take = takeOf({ notes, dead: [], seconds: 8 }, { bpm: 120, start: 0 });
      if (!take.ok) throw new Error(take.problems[0]!.message);
      const names = { newId: () => 'x', now: '2026-11-27T00:00:00Z', title: 'T' };
      const made = phrasesOf(take.value, names, 'whole');
      if (!made.ok) throw new Error(made.problems[0]!.message);
      const [{ phrase, heard, notes: said }] = made.value as [(typeof made.value)[0]];
      told = said.map((n) => n.message);
      return new Map(
        notesOf(phrase).map(({ note: n }) => [heard.get(n.id)!.pitch, `${n.string}/${n.fret}`]),
      );
    };
    const chord = [46, 51, 56].map((midi) => note(0, 0.4, midi));
    const line = [53, 52, 57, 58, 62, 65, 70, 67].map((midi, i) =>
      note(0.5 * (i + 1), 0.5 * (i + 1) + 0.4, midi),
    );
    const sure = placesOf([...chord, ...line]);
    expect(sure.get(46)).toBe('6/6');
    // The sixth string alone has it, and that is taken: what no hand can play was not played.
    const low = note(0, 0.06, 44, { confidence: 0.64 });
    expect(placesOf([low, ...chord, ...line])).toEqual(sure);
    expect(told).toContainEqual(expect.stringMatching(/^(Ab|G#)2 was heard unsurely/u));
    // On a free string it is written, and the others stay where they are.
    const high = placesOf([...chord, note(0, 0.06, 60, { confidence: 0.64 }), ...line]);
    expect(high.get(60)).toBe('3/5');
    for (const [pitch, place] of sure) expect(high.get(pitch)).toBe(place);
  });

  it('a pickup that begins inside a triplet begins with its beat', () => {
    const beats = [3 + 2 / 3, 4, 5, 6, 7, 8 + 1 / 3, 8 + 2 / 3, 9, 10];
    const notes = beats.map((b, i) => note(b * 0.6, (b + 0.3) * 0.6, 60 + i));
    const take = takeOf({ notes, dead: [], seconds: 8 }, { bpm: 100, start: 0 });
    if (!take.ok) throw new Error(take.problems[0]!.message);
    const names = { newId: () => 'x', now: '2026-11-27T00:00:00Z', title: 'T' };
    const made = phrasesOf(take.value, names);
    if (!made.ok) throw new Error(made.problems[0]!.message);
    const { phrase } = made.value[0]!;
    expect([phrase.pickup, phrase.voices[0].events[0]!.onset]).toEqual([10_080, 6720]);
    expect(made.value[0]!.begin).toBeCloseTo(3 * 0.6, 6);
  });

  it('proposes the chord whose tones sound', () => {
    const notes = [57, 61, 64, 67, 57].map((midi) => ({ midi, seconds: 0.5 }));
    expect(proposeChords(notes, parseKey('A blues')!)[0]).toEqual({ symbol: 'A7', share: 1 });
  });

  it('keeps a slid note that sounds on in the line of what it slides from', () => {
    // A low string rings on while another is slid down from 63, and its 62 sounds under what comes next.
    const melody = [70, 72, 70, 68, 67, 65, 67, 65, 63].map((midi, i) =>
      note(0.25 * i, 0.25 * i + 0.24, midi),
    );
    const held = note(1.75, 2.24, 55);
    const slid = note(2.25, 3.4, 62, { attack: 'slide' });
    const after = [60, 58, 58, 57].map((midi, i) => note(2.5 + 0.25 * i, 2.74 + 0.25 * i, midi));
    const take = takeOf(
      {
        notes: [...melody, held, slid, ...after].sort((a, b) => a.onset - b.onset),
        dead: [],
        seconds: 4,
      },
      { bpm: 120, start: 0 },
    );
    if (!take.ok) throw new Error(take.problems[0]!.message);
    const lineOf = (n: HeardNote) =>
      take.value.lines.find((l) => l.some((e) => e.notes.includes(n)));
    expect(lineOf(slid)).toBe(lineOf(melody.at(-1)!));
  });

  it('leaves out of a moment what no strings can sound at once, and says so', () => {
    const line = [60, 62, 64, 65].map((midi, i) => note(0.5 * i, 0.5 * i + 0.45, midi));
    // Seven at once on six strings: those that are heard least surely were not played.
    const crowd = [40, 45, 50, 55, 59, 64, 67].map((midi, i) =>
      note(2, 2.9, midi, { confidence: 0.9 - 0.05 * i }),
    );
    const take = takeOf(
      { notes: [...line, ...crowd], dead: [], seconds: 3 },
      { bpm: 120, start: 0 },
    );
    if (!take.ok) throw new Error(take.problems[0]!.message);
    const made = phrasesOf(take.value, {
      newId: () => 'x',
      now: '2026-11-28T00:00:00Z',
      title: 'X',
    });
    if (!made.ok) throw new Error(made.problems[0]!.message);
    const { phrase, heard, notes } = made.value[0]!;
    expect(notesOf(phrase).map(({ note: n }) => heard.get(n.id)!.pitch)).not.toContain(67);
    expect(notesOf(phrase)).toHaveLength(10);
    expect(notes.map((n) => n.message)).toContainEqual(
      expect.stringContaining('no string is free'),
    );
  });
});

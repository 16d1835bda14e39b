import { describe, expect, it } from 'vitest';
import { notesOf } from '../../../../src/core/phrase/walk';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { moved, placesAfter, quick, toChord, toKey, toLane } from '../../../support/moves';
import { readSamples } from '../../../support/samples';

describe('by area (M12) a note that keeps its pitch', () => {
  it('keeps its place, where only the chord beside it changes', () => {
    const p = quick('[G] {G7} q 3:5b7 4:5 3:4 2:3 | {C7} q 3:5 2:5 h r');
    const m = moved(p, toLane(p, 'G7 | Cm7'), { hand: 'area' });
    expect(placesAfter(m)).toEqual(['3:5 C4', '4:5 G3', '3:4 B3', '2:3 D4', '3:5 C4', '2:4 Eb4']);
  });

  it('leaves a drone on its open string, wherever the hand goes', () => {
    const p = quick('[A] {A7} e 1:5 2:8 2:5 3:7 q 3:6 4:7 2nd: w 5:0');
    const places = placesAfter(moved(p, toChord(p, 'D7'), { hand: 'area' }));
    expect(places.join(' ')).toContain('5:0 A2');
    const drone = readSamples().find((s) => s.phrase.meta.title === 'Harbour Wall Drone')!.phrase;
    const { phrase } = moved(drone, toChord(drone, 'IV7'), { hand: 'area' });
    const low = notesOf(phrase).filter(({ note }) => note.string >= 4);
    expect(low.map(({ note }) => `${note.string}/${note.fret}`)).toEqual(['4/0', '4/0']);
  });

  it('leaves a drone there on neighbouring strings too', () => {
    const p = quick('[A] {A7} q 3:2 3:4 3:2 3:4 2nd: w 5:0');
    const m = moved(p, toChord(p, 'D7'), { hand: 'strings' });
    expect(placesAfter(m)).toEqual(['2:3 D4 + 5:0 A2', '2:5 E4', '2:3 D4', '2:5 E4']);
  });

  it('gives way where a note that moved needs its string', () => {
    // E♭4 is not on string 1 of a standard tuning, and C4 has the only string near enough for it.
    const p = quick('[C] {C} q 1:0+2:1 r h r');
    const m = moved(p, toLane(p, 'Cm'), { hand: 'area' });
    expect(placesAfter(m)).toEqual(['2:4 Eb4 + 3:5 C4']);
    expect(m.report.unplayable).toEqual([]);
  });
});

describe('a key whose chords cannot be written by letter (P5)', () => {
  it('says of a chord that stays what it was that it keeps its name', () => {
    const p = quick('[Gb] {E#7} q 4:3 r h r');
    const { report, phrase } = moved(p, toKey('F#'));
    expect(phrase.chords.map((c) => c.symbol)).toEqual(['E#7']);
    expect(report.general.flatMap((a) => (a.rule === 'P5' ? [a.text] : []))).toEqual([
      'E♯7 keeps its name: by the letter it would need more than a double accidental',
    ]);
  });

  it('finds root and bass a name each where none serves both, and moves the notes along', () => {
    const p = quick('[C# blues] {Em9/Gb} h 3:10;F 2:8;G');
    const { report, phrase } = moved(p, toKey('Ab blues'));
    expect(phrase.chords.map((c) => c.symbol)).toEqual(['Cbm9/Db']);
    const places = report.notes.map((n) => `${formatPitch(n.after.pitch)} ${n.after.fret}`);
    expect(places).toEqual(['Dbb4 5', 'Ebb4 3']);
  });
});

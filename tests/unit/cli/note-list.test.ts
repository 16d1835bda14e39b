import { describe, expect, it } from 'vitest';
import { listNotes } from '../../../src/cli/note-list';
import type { Phrase } from '../../../src/core/phrase/types';
import { notesOf } from '../../../src/core/phrase/walk';
import { midiOf, parsePitch } from '../../../src/core/theory/pitch';
import { seededPhrase } from '../../support/arbitrary';
import { build } from '../../support/build';

function techniques(p: Phrase): readonly (readonly string[])[] {
  return listNotes(p).map((n) => n.techniques);
}

describe('the fields of a note', () => {
  it('counts bars, beats and ticks from the pickup (T2)', () => {
    const p = build('e 3/5 | q. 3/7 e 3/8 h -', { chords: 'G7', pickup: 5_040, bars: 1 });
    expect(listNotes(p).map((n) => [n.bar, n.beat, n.onset, n.duration])).toEqual([
      [0, 4.5, 0, 5_040],
      [1, 1, 5_040, 15_120],
      [1, 2.5, 20_160, 5_040],
    ]);
  });

  it('has exactly these fields for a plain note', () => {
    // Over G7 in C, string 1 fret 2 is F♯4, 7 of G (common practice) and ♯4 of C.
    const [note] = listNotes(build('w 1/2', { chords: 'G7', key: 'C' }));
    expect(note).toEqual({
      bar: 1,
      beat: 1,
      onset: 0,
      duration: 40_320,
      string: 1,
      fret: 2,
      pitch: 'F#4',
      midi: 66,
      chordDegree: '7',
      keyDegree: '#4',
      ownerChord: 'G7',
      role: 'outside',
      anchor: 'chord',
      techniques: [],
    });
  });

  it('has null where there is nothing to say', () => {
    const [open, dead] = listNotes(build('h 1/3=G 2/x5', { chords: 'NC', key: 'C' }));
    expect(open).toMatchObject({ chordDegree: null, keyDegree: '5', ownerChord: null, role: null });
    expect(dead).toMatchObject({
      string: 2,
      fret: 5,
      pitch: null,
      midi: null,
      chordDegree: null,
      keyDegree: null,
      ownerChord: null,
      role: null,
      anchor: null,
      techniques: ['dead-note'],
    });
    expect(dead).not.toHaveProperty('bendSemitones');
  });

  it('lists double stops by string and voices by onset', () => {
    const p = build('h 1/3+2/3 q 1/5 -', { second: 'w 6/3' });
    expect(listNotes(p).map((n) => n.string)).toEqual([1, 2, 6, 1]);
  });
});

describe('bends and slides', () => {
  it('shows start and target of a bend (D5; worked example 2)', () => {
    const [note] = listNotes(build('w 2/13(bend:D5)', { chords: 'D7', key: 'G' }));
    expect(note).toMatchObject({
      pitch: 'C5',
      chordDegree: 'b7',
      keyDegree: '4',
      techniques: ['bend'],
      bendSemitones: 2,
      targetPitch: 'D5',
      targetChordDegree: 'R',
      targetKeyDegree: '5',
    });
  });

  it('knows no name for what a curl or a slide off leads to', () => {
    const [curl, off] = listNotes(build('h 3/8(curl) 3/8(out:down)', { chords: 'C7' }));
    expect(curl).toMatchObject({ bendSemitones: 0.5, targetPitch: null, targetChordDegree: null });
    expect(off).toMatchObject({ bendSemitones: null, targetPitch: null, targetKeyDegree: null });
  });

  it('makes a slide-in a technique of its target', () => {
    const notes = listNotes(build('w 3/10(in:-1)+2/10(in:-1)', { chords: 'F', key: 'F' }));
    // Worked example 4: E4→F4 is R, G♯4→A4 is 3.
    expect(notes.map((n) => [n.pitch, n.chordDegree, n.techniques, n.targetPitch])).toEqual([
      ['A4', '3', ['slide-in'], 'A4'],
      ['F4', 'R', ['slide-in'], 'F4'],
    ]);
    expect(notes[0]).toMatchObject({ bendSemitones: 0, targetChordDegree: '3' });
  });

  it('leads from a note to the one it slides to', () => {
    const [from, to] = listNotes(build('h 3/5 3/9(s)', { chords: 'C' }));
    expect(from).toMatchObject({
      techniques: ['slide-to-next'],
      bendSemitones: 4,
      targetPitch: 'E4',
      targetChordDegree: '3',
    });
    expect(to).toMatchObject({ techniques: ['slide'], bendSemitones: 0, targetPitch: 'E4' });
  });

  it('is consistent in any phrase: pitch and width give the target', () => {
    let seen = 0;
    for (let seed = 0; seed < 60; seed++) {
      for (const n of listNotes(seededPhrase(seed))) {
        if (n.targetPitch === undefined || n.targetPitch === null) continue;
        const target = parsePitch(n.targetPitch);
        if (!target.ok) throw new Error(n.targetPitch);
        expect(n.midi! + n.bendSemitones!).toBe(midiOf(target.value));
        seen++;
      }
    }
    expect(seen).toBeGreaterThan(50);
  });
});

describe('techniques', () => {
  it('has a name for each', () => {
    expect(techniques(build('q 3/5 3/7(h) 3/5(p) 3/7(S)'))).toEqual([
      [],
      ['hammer-on'],
      ['pull-off', 'slide-to-next'],
      ['slide-plucked'],
    ]);
    expect(techniques(build('q 3/5(rel:D4) 3/5(pre:D4) 3/5(prerel:D4) 3/5(tap)'))).toEqual([
      ['bend', 'release'],
      ['pre-bend'],
      ['pre-bend', 'release'],
      ['tap'],
    ]);
    expect(techniques(build('q 3/5(vib) 3/5(vib:wide) 3/5(tr:D4) 3/5(dip:2)'))).toEqual([
      ['vibrato'],
      ['wide-vibrato'],
      ['trill'],
      ['bar-dip'],
    ]);
    expect(techniques(build('q 1/12(nat:12) 1/5(art:12) 1/5(pinch:12) 1/5(ghost,ring)'))).toEqual([
      ['natural-harmonic'],
      ['artificial-harmonic'],
      ['pinch-harmonic'],
      ['ghost-note', 'let-ring'],
    ]);
    expect(techniques(build('q 3/5@pm,stac,down 3/5@acc,up 3/5@ten,trem2 3/5+2/5@sup'))).toEqual([
      ['palm-mute', 'staccato', 'down-stroke'],
      ['accent', 'up-stroke'],
      ['tenuto', 'tremolo-picking'],
      ['strum-up'],
      ['strum-up'],
    ]);
    expect(techniques(build('q 3/5@rake:6.5 3/7+2/8@g:3/5 3/7@g:1/5 -'))).toEqual([
      ['rake'],
      [],
      ['grace-note'],
      ['grace-note'],
    ]);
  });

  it('has an entry for every note of any phrase', () => {
    for (let seed = 100; seed < 130; seed++) {
      const p = seededPhrase(seed);
      expect(listNotes(p)).toHaveLength(notesOf(p).length);
    }
  });
});

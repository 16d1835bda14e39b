import { describe, expect, it } from 'vitest';
import { movePhraseOn } from '../../../../src/core/move/move';
import { waysOut, withWayOut } from '../../../../src/core/move/ways-out';
import { readInstrument } from '../../../../src/core/phrase/instruments';
import { moved, placesAfter, quick, toChord, toKey, toLane } from '../../../support/moves';

const said = (m: ReturnType<typeof moved>) =>
  [...m.report.general, ...m.report.notes.flatMap((n) => n.adaptations)].map(
    (a) => `${a.rule}: ${a.text}`,
  );

describe('why not (M7, M12)', () => {
  // An F7 in first position with vibrato on its root, a semitone down to E7: the root would be open.
  const p = quick('[F] {F7} q 6:1~ 4:1 3:2 r');

  it('names the note, the technique and the rule', () => {
    const m = moved(p, toKey('E'));
    expect(m.report.obstacles).toMatchObject([{ rule: 'open-string', technique: 'vibrato' }]);
    expect(m.report.obstacles[0]!.text).toBe(
      'E with its vibrato (bar 1, beat 1) would lie on string 6, fret 0: an open string cannot be given vibrato',
    );
    expect(said(m).join('\n')).toContain('an octave higher than asked, since E with its vibrato');
  });

  it('without that one sign it is played where it was asked for', () => {
    const { ids, technique } = moved(p, toKey('E')).report.obstacles[0]!;
    const m = moved(p, toKey('E'), { without: [{ id: ids[0]!, technique: technique! }] });
    expect(placesAfter(m)).toEqual(['6:0 E2', '4:0 D3', '3:1 G#3']);
    expect(said(m)).toEqual(['M12: played without the vibrato, as was asked']);
  });

  it('a bend that is left out leaves what was heard', () => {
    const b = quick('[A] {A7} h 3:7b9 r');
    const id = b.voices[0].events[0]!.notes[0].id;
    const m = moved(b, toChord(b, 'D7'), { without: [{ id, technique: 'bend' }] });
    expect(placesAfter(m)).toEqual(['3:14 A4']);
  });
});

describe('fingers (M12)', () => {
  it('that no longer fit are one wish, said once', () => {
    const p = quick('[C] {C7} q 3:5;1 2:5;1 3:7;3 r');
    const { report } = moved(p, toChord(p, 'F7'), { hand: 'area' });
    expect(report.general.filter((a) => a.fallback).map((a) => a.text)).toEqual([
      'the fingers of 3 notes were taken off: the shape is another one',
    ]);
    expect(report.notes.flatMap((n) => n.adaptations)).toEqual([]);
  });
});

describe('pins (M12)', () => {
  it('one that needs another octave moves its own segment only', () => {
    const p = quick('[C] {C7} q 2:5 2:8 3:5 2:5 | {G7} q 3:2;pin 4:5 4:3 r');
    const m = moved(p, toLane(p, 'C7 | D7'), { hand: 'area' });
    const places = placesAfter(m);
    expect(places.slice(0, 4)).toEqual(['2:5 E4', '2:8 G4', '3:5 C4', '2:5 E4']);
    expect(places[4]).toBe('3:9 E4');
    expect(places.slice(5).map((x) => x.split(' ')[1])).toEqual(['D4', 'C4']);
    expect(said(m).join('\n')).toMatch(
      /M7: G7 to D7 an octave higher than asked, since E \(bar 2, beat 1\) lies below the open string 3/u,
    );
  });

  it('an impossible one is released alone, with its true reason', () => {
    const p = quick('[E] {E7} q 1:0;pin 6:12;pin 6:14 r');
    const m = moved(p, toKey('Eb'));
    const places = placesAfter(m);
    expect(places.map((x) => x.split(' ')[1])).toEqual(['Eb4', 'Eb3', 'F3']);
    expect(places[1]).toBe('6:11 Eb3');
    const pinned = m.phrase.voices[0].events.map((e) => e.notes[0].pinned === true);
    expect(pinned).toEqual([false, true, false]);
    expect(said(m).filter((x) => x.includes('pin'))).toEqual([
      'M12: the pin to string 1 was released: E♭ lies below the open string 1',
    ]);
  });
});

describe('bends by area (M10)', () => {
  it('one on low strings is narrowed before the octave is changed', () => {
    const p = quick('[E] {E7} h 5:9b11 r');
    const m = moved(p, toChord(p, 'B7alt'), { hand: 'area' });
    const [n] = m.report.notes;
    expect([n!.after.pitch, n!.after.target!.pitch]).toMatchObject([
      { letter: 'C', alter: 1, octave: 3 },
      { letter: 'D', alter: 1, octave: 3 },
    ]);
    expect(n!.after.string).toBeGreaterThan(4);
    // Which string it is is not known before the width is.
    expect(said(m)).toEqual([
      'M10: bend of a whole tone: a tone and a half, from C to D♯, is too wide for the low strings, so it starts on C♯',
    ]);
  });

  it('the report says where one starts that is too wide, and no more', () => {
    const p = quick('[C] {C7#11} h 3:7b11:F# r');
    expect(said(moved(p, toChord(p, 'C7alt')))).toEqual([
      'M10: bend of two tones: 5 semitones, from D♭ to F♯, is too wide for string 3, so it starts on D',
    ]);
  });
});

describe('harmonics (M11)', () => {
  it('the report says why a node is not used, and what sounds', () => {
    const p = quick('[A] {A7} h 2:<12>+1:<12> r');
    expect(said(moved(p, toKey('D')))).toEqual([
      'M11: an artificial harmonic over A4, which sounds A5: no string has a node that sounds it',
      'M11: an artificial harmonic over E4, which sounds E5: its node is on string 1, where another note lies',
    ]);
  });
});

describe('power chords (M4)', () => {
  it('a major third counts as its third and moves to that of the target', () => {
    const p = quick('[A] {A5} q 4:6 3:6 4:7 r');
    const m = moved(p, toChord(p, 'Dm7'));
    expect(placesAfter(m).map((x) => x.split(' ')[1])).toEqual(['C4', 'F4', 'D4']);
  });

  it('a ♭3 that leads to that third follows it (M3, step 3), one that does not stays blue', () => {
    const led = quick('[A] {A5} q 3:5h6 2:5 r');
    expect(placesAfter(moved(led, toChord(led, 'Dm7'))).map((x) => x.split(' ')[1])).toEqual([
      'E4',
      'F4',
      'A4',
    ]);
    // A 4 is no chromatic note there: it stays what it is beside the third.
    const four = quick('[A] {A5} q 3:7 6 2:5 r');
    expect(placesAfter(moved(four, toChord(four, 'Dm7'))).map((x) => x.split(' ')[1])).toEqual([
      'G4',
      'F4',
      'A4',
    ]);
    const free = quick('[A] {A5} q 3:5 2:5 r r');
    expect(placesAfter(moved(free, toChord(free, 'D'))).map((x) => x.split(' ')[1])).toEqual([
      'F4',
      'A4',
    ]);
  });
});

describe('ways out (M7)', () => {
  it('E7 in open position: without the vibrato on an open string, or by other strings', () => {
    const p = quick('[F] {F7} q 6:1~ 4:1 3:2 r');
    const requests = [{ to: toKey('E') }];
    const outs = waysOut(p, requests, moved(p, toKey('E')).report.obstacles);
    expect(outs[0]).toMatchObject({ kind: 'without', sign: { technique: 'vibrato' } });
    for (const out of outs) {
      const r = movePhraseOn(p, withWayOut(requests, out));
      expect(r.ok && r.value.report.obstacles).toEqual([]);
    }
    // It came out an octave higher already.
    expect(outs.map((o) => o.kind)).not.toContain('octave');
  });

  it('what is there already is not offered', () => {
    const p = quick('[C] {C7} q 3:5b7 2:5 r r');
    const wish = readInstrument('bass5');
    if (!wish.ok) throw new Error('no instrument');
    const to = { kind: 'instrument', wish: wish.value } as const;
    const m = moved(p, to);
    expect(m.report.hand).toBe('area');
    expect(waysOut(p, [{ to }], m.report.obstacles)).toMatchObject([
      { kind: 'hand', hand: 'strings' },
    ]);
  });

  it('of two signs in the way neither alone is offered', () => {
    const p = quick('[F] {F7} q 6:1~ 1:1~ 3:2 r');
    const outs = waysOut(p, [{ to: toKey('E') }], moved(p, toKey('E')).report.obstacles);
    expect(outs.filter((o) => o.kind === 'without')).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { applyFingering, playElsewhere } from '../../../../src/core/neck/apply';
import { DEFAULT_LIMITS } from '../../../../src/core/neck/limits';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { indexFingerFret } from '../../../../src/core/neck/positions';
import type { FingeringProblem } from '../../../../src/core/neck/problem';
import { type ProblemOptions, problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { FingeringStyle } from '../../../../src/core/neck/weights';
import { openMidi, STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { mapNotes, notesOf } from '../../../../src/core/phrase/walk';
import { parsePitch, pitchOfMidi } from '../../../../src/core/theory/pitch';
import { build } from '../../../support/build';
import { voicing } from '../../../support/voicing';

/** Places as `string/fret` by time, then string. */
function placesOf(p: Phrase): string {
  return notesOf(p)
    .map(({ note }) => `${note.string}/${note.fret}`)
    .join(' ');
}

/** The places of the cheapest fingering; null where there is none. */
function solved(p: Phrase, options: ProblemOptions = {}, style?: FingeringStyle) {
  const [best] = findFingerings(problemOf(p, options), style === undefined ? {} : { style });
  if (best === undefined) return null;
  const placed = applyFingering(p, best);
  expect(checkPlayable(placed)).toEqual([]);
  return placesOf(placed);
}

/** The phrase with new pitches by id, targets of bends after an arrow, at the old places. */
function repitched(p: Phrase, pitches: Record<string, string>): Phrase {
  const read = (text: string) => {
    const r = parsePitch(text);
    if (!r.ok) throw new Error(text);
    return r.value;
  };
  return mapNotes(p, ({ note }) => {
    const change = pitches[note.id];
    if (change === undefined || note.kind === 'dead') return note;
    const [start, target] = change.split('>');
    const { bend } = note;
    return {
      ...note,
      pitch: read(start!),
      ...(bend === undefined || target === undefined || bend.shape === 'curl'
        ? {}
        : { bend: { ...bend, target: read(target) } }),
    };
  });
}

describe('[N4] what a guitarist would expect (common practice)', () => {
  it('brings a line scattered over the neck into one position', () => {
    // A minor pentatonic downwards; its common box lies at frets 5 to 8.
    const scattered = build('e 2/13 3/14 3/12 4/14 4/12 5/15 5/12 6/15 6/12 6/10 6/8 6/5');
    expect(solved(scattered)).toBe('1/8 1/5 2/8 2/5 3/7 3/5 4/7 4/5 5/7 5/5 6/8 6/5');
  });

  it('finds the usual open and barre chords from their pitches', () => {
    expect(solved(voicing('8 7 5 5 5 x'), {}, 'chordal')).toBe('1/0 2/1 3/0 4/2 5/3');
    expect(solved(voicing('6 8 8 7 6 x'), {}, 'chordal')).toBe('1/1 2/3 3/3 4/3 5/1');
    expect(solved(voicing('5 7 7 5 5 x'), {}, 'chordal')).toBe('1/0 2/1 3/2 4/2 5/0');
  });

  it('plays a bend where the string can be bent, not open', () => {
    expect(solved(build('q 1/0'), { fretRange: [0, 4] })).toBe('1/0');
    expect(
      solved(repitched(build('q 1/1(bend:F#4)'), { n1: 'E4>F#4' }), { fretRange: [0, 5] }),
    ).toBe('2/5');
  });
});

describe('[M12] area, on the worked examples of MUSIC.md section 7', () => {
  /** All frets in [p − 1, p + 4] around the old phrase's median index-finger fret. */
  function inArea(old: Phrase, pitches: Record<string, string>): string | null {
    const p = indexFingerFret(old);
    return solved(repitched(old, pitches), { fretRange: [p - 1, p + 4] });
  }

  it('1: the double-stop bend of G7 over D7 goes to strings 4 and 3', () => {
    const old = build('q 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7' });
    expect(inArea(old, { n1: 'G3>A3', n2: 'B3>C4' })).toBe('3/4 4/5');
  });

  it('2: the bend of D7 on string 2 over G7 and Gmaj7 goes to string 1', () => {
    const old = build('q 2/13=C5(bend:D5)', { chords: 'D7' });
    expect(inArea(old, { n1: 'F5>G5' })).toBe('1/13');
    expect(inArea(old, { n1: 'F#5>G5' })).toBe('1/14');
  });

  it('2: the bend of E♭7 on string 3 over A♭m7 goes to string 2', () => {
    const old = build('q 3/10=F4(bend:G4)', { chords: 'Eb7' });
    expect(inArea(old, { n1: 'Bb4>Cb5' })).toBe('2/11');
  });

  it('4: double stop slid in and unison bend go to strings 2 and 1', () => {
    const slid = build('q 3/10(in:-1)+2/10(in:-1)', { chords: 'F' });
    expect(inArea(slid, { n1: 'Bb4', n2: 'D5' })).toBe('1/10 2/11');
    const unison = build('q 2/13+3/15(bend:C5)', { chords: 'C' });
    expect(inArea(unison, { n1: 'F5', n2: 'Eb5>F5' })).toBe('1/13 2/16');
  });
});

describe('[M12] the index finger of a phrase as it stands', () => {
  it.each([
    ['q 3/10', 10],
    ['e 3/8 3/10 2/8 2/11', 8],
    ['e 2/8 2/5 3/7 3/5', 5],
    ['q 3/0 4/0', 1],
    ['e 3/0 2/3 3/0 2/3 3/0', 3],
    ['e 1/5 1/8 1/5 1/8 h 1/15 1/17', 5],
    ['e 1/2+6/14', 2],
  ])('%s → %i', (line, fret) => {
    expect(indexFingerFret(build(line))).toBe(fret);
  });
});

describe('[N3] what has no fingering', () => {
  it.each([
    ['a pitch below the lowest string', build('q 6/0'), { n1: 'D2' }],
    ['a pitch past the last fret', build('q 1/22'), { n1: 'Eb6' }],
    ['two notes that only string 6 has', build('q 6/1+5/0'), { n2: 'F#2' }],
    ['a hammer-on downwards', build('e 3/5 3/7(h)'), { n2: 'B3' }],
    ['a bend of five semitones', build('q 3/5(bend:D4)'), { n1: 'A3' }],
  ])('%s', (_, phrase, pitches) => {
    expect(solved(repitched(phrase, pitches))).toBeNull();
  });

  it('a hammer-on with nothing before it', () => {
    expect(solved(build('e - 3/7(h)'))).toBeNull();
  });

  it('does not wonder at an empty phrase', () => {
    const empty: Phrase = { ...build('q 3/5'), voices: [{ events: [], tuplets: [] }] };
    const [f, ...more] = findFingerings(problemOf(empty), { style: 'lead', count: 3 });
    expect(f).toEqual({ cost: 0, places: new Map(), handPositions: [] });
    expect(more).toEqual([]);
  });
});

describe('[N2][P4] instruments', () => {
  it('re-entrant: a line over a ukulele uses the high fourth string', () => {
    // g C E A from string 4 to 1; a run G4 A4 B4 C5 has its first notes on string 4 as well.
    const tuning = [69, 64, 60, 67].map((m) => pitchOfMidi(m, 'flat'));
    const ukulele = { ...STANDARD_GUITAR, tuning, frets: 12, scaleLength: 349 };
    const phrase = { ...build('q 4/0 4/2'), instrument: ukulele };
    const pitched = repitched(phrase, { n1: 'G4', n2: 'A4' });
    expect(solved(pitched)).toBe('4/0 1/0');
    expect(openMidi(ukulele, 4)).toBeGreaterThan(openMidi(ukulele, 3));
  });

  it('capo: places count from it and the neck ends sooner', () => {
    const instrument = { capo: 4 };
    expect(solved(build('q 1/18', { instrument }))).toBe('1/18');
    expect(solved(repitched(build('q 1/18', { instrument }), { n1: 'Eb6' }))).toBeNull();
    expect(solved(repitched(build('q 1/3', { instrument }), { n1: 'Ab4' }), {}, 'chordal')).toBe(
      '1/0',
    );
  });
});

describe('wishes and pins', () => {
  const line = build('e 3/5 3/7 2/5 2/8(pin) 2/5');

  it('a pinned note keeps its string, others are free', () => {
    const moved = repitched(line, { n4: 'A4' });
    expect(solved(moved, { fretRange: [8, 13] })).toBe('4/10 4/12 3/9 2/10 3/9');
  });

  it('keeps strings, or places, where asked', () => {
    const up = repitched(line, { n1: 'D4', n2: 'E4', n3: 'F4', n4: 'Ab4', n5: 'F4' });
    expect(solved(up, { keepStrings: true })).toBe('3/7 3/9 2/6 2/9 2/6');
    expect(solved(line, { keepPlaces: true })).toBe('3/5 3/7 2/5 2/8 2/5');
  });

  it('takes a wish for one note', () => {
    const wishes = (id: string) => (id === 'n3' ? { onlyString: 4 } : undefined);
    expect(solved(build('e 3/5 3/7 2/5'), { wishes })?.split(' ')[2]).toBe('4/14');
  });

  it('an area leaves out the open string unless it reaches down to it', () => {
    expect(solved(build('q 2/0'), { fretRange: [1, 6] })).toBe('3/4');
    expect(solved(build('q 2/0'), { fretRange: [0, 3] })).toBe('2/0');
  });
});

describe('notes that hang together', () => {
  it('a run of hammer-ons and slides stays on one string wherever it goes', () => {
    const p = build('s 3/2 3/4(h) 3/5(h) 3/9(s) 3/7(p)');
    for (const f of findFingerings(problemOf(p), { style: 'lead', count: 6 })) {
      expect(new Set([...f.places.values()].map((x) => x.string)).size).toBe(1);
    }
  });

  it('a drone keeps its string under the whole line', () => {
    // E4 as a drone and a line around it: whichever string takes it, the line leaves that alone.
    const p = build('e 2/8 2/6 2/8 2/6', { second: 'h 1/0' });
    const drone = solved(p)!.split(' ')[0]!;
    const [first] = findFingerings(problemOf(p), { style: 'lead' });
    const string = first!.places.get('n5')!.string;
    for (const id of ['n1', 'n2', 'n3', 'n4'])
      expect(first!.places.get(id)!.string).not.toBe(string);
    expect(drone).toMatch(/^\d/);
  });

  it('graces come along on the string of the note they lead to', () => {
    const p = build('q 3/7(h)@g:3/4;3/5~h 2/8@g:2/6');
    const [f] = findFingerings(problemOf(p, { fretRange: [9, 14] }), { style: 'lead' });
    const placed = applyFingering(p, f!);
    expect(placed.voices[0].events[0]!.graces!.map((g) => g.notes[0])).toMatchObject([
      { string: 4, fret: 9 },
      { string: 4, fret: 10 },
    ]);
    expect(placesOf(placed)).toBe('4/12 3/12');
    expect(placed.voices[0].events[1]!.graces![0].notes[0]).toMatchObject({ string: 3, fret: 10 });
  });

  it('dead notes keep their strings and take the fret the hand is at', () => {
    const p = build('e 3/14 4/x1+5/x1 3/12 3/14');
    const [f] = findFingerings(problemOf(p), { style: 'lead' });
    expect(f!.places.get('n2')).toEqual({ string: 4, fret: f!.handPositions[1] });
    expect(f!.places.get('n3')).toEqual({ string: 5, fret: f!.handPositions[1] });
  });

  it('a natural harmonic takes the interval of its node', () => {
    // A4 rings at fret 7 of string 4 (D3 + 19) and at fret 5 of string 5 (A2 + 24).
    const p = build('q 4/7=A4(nat:19)');
    const wishes = () => ({ onlyString: 5 });
    const [f] = findFingerings(problemOf(p, { wishes }), { style: 'lead' });
    const placed = applyFingering(p, f!);
    expect(placed.voices[0].events[0]!.notes[0]).toMatchObject({
      string: 5,
      fret: 5,
      harmonic: { kind: 'natural', above: 24 },
    });
  });

  it('strings that mean nothing yet do not break a pull-off out of a double stop', () => {
    const p = build('e 1/5+2/5 2/3(p)');
    const stringless = mapNotes(p, ({ note }) => ({
      ...note,
      string: note.id === 'n3' ? 1 : note.string,
    }));
    const placed = problemOf(stringless).notes.find((n) => n.id === 'n3');
    const free = problemOf(stringless, { placed: false }).notes.find((n) => n.id === 'n3');
    expect(placed?.link?.source).toBe('n1');
    expect(free?.link?.source).toBe('n2');
  });
});

describe('applyFingering', () => {
  it('keeps everything but places, and events in which nothing moves', () => {
    const p = build('e 3/5(vib,f:3) 2/8(bend:A4)@acc,down 2/5', { second: 'w 6/0' });
    const places = new Map([['n2', { string: 3, fret: 12 }]]);
    const q = applyFingering(p, { places });
    expect(q.voices[0].events[0]).toBe(p.voices[0].events[0]);
    expect(q.voices[1]).toBe(p.voices[1]);
    expect(q.voices[0].events[1]).toEqual({
      ...p.voices[0].events[1],
      notes: [{ ...p.voices[0].events[1]!.notes[0], string: 3, fret: 12 }],
    });
    expect(applyFingering(p, { places: new Map() })).toBe(p);
  });

  it('leaves behind a finger that was named for another place', () => {
    const p = build('e 3/5(f:1) 2/8(f:4)');
    const places = new Map([['n2', { string: 3, fret: 12 }]]);
    const q = playElsewhere(p, { places });
    expect(q.voices[0].events[0]!.notes[0]).toMatchObject({ finger: 1 });
    // Another hand over the whole phrase puts no first finger at fret 5 either.
    const both = new Map([...places, ['n1', { string: 3, fret: 5 }]]);
    const all = playElsewhere(p, { places: both });
    expect(all.voices[0].events[0]!.notes[0]).not.toHaveProperty('finger');
    expect(applyFingering(p, { places }).voices[0].events[1]!.notes[0]).toMatchObject({
      finger: 4,
    });
    expect(q.voices[0].events[1]!.notes[0]).not.toHaveProperty('finger');
  });

  it('sorts the notes of an event by string and still finds its graces', () => {
    const p = build('q 2/5+3/5@g:3/4');
    const places = new Map([
      ['n1', { string: 4, fret: 14 }],
      ['n2', { string: 3, fret: 5 }],
      ['n1:g0:0', { string: 4, fret: 9 }],
    ]);
    const once = applyFingering(p, { places });
    expect(once.voices[0].events[0]!.notes.map((n) => n.id)).toEqual(['n2', 'n1']);
    expect(applyFingering(once, { places })).toBe(once);
  });
});

describe('a problem made by hand', () => {
  const note = (id: string, midi: number) => ({ id, kind: 'stopped', midi }) as const;
  const moment = (struck: number[], held: number[] = []) => ({
    onset: 0,
    seconds: 0.5,
    struck,
    held,
    ringing: [],
  });

  it('refuses a held or linked note that does not sound before', () => {
    const base = { instrument: STANDARD_GUITAR, limits: DEFAULT_LIMITS, style: 'lead' } as const;
    const notes = [note('a', 60), note('b', 62), note('c', 64)];
    const held: FingeringProblem = { ...base, notes, moments: [moment([0]), moment([2], [1])] };
    expect(() => findFingerings(held, { style: 'lead' })).toThrow('b does not sound before');
    const linked: FingeringProblem = {
      ...base,
      notes: [
        note('a', 60),
        note('b', 62),
        { ...note('c', 64), attack: 'hammer-on', link: { source: 'a', kind: 'hammer-on' } },
      ],
      moments: [moment([0]), moment([1]), moment([2])],
    };
    expect(() => findFingerings(linked, { style: 'lead' })).toThrow('a does not sound before c');
  });
});

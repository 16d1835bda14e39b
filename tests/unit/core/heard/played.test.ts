import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AsPlayed, curveOf, playedSound } from '../../../../src/core/heard/played';
import { playedCourse } from '../../../../src/core/heard/played-course';
import type { HeardNote } from '../../../../src/core/heard/types';
import { openMidi } from '../../../../src/core/phrase/instrument';
import { lineAt } from '../../../../src/core/sound/curve';
import { build } from '../../../support/build';
import { playedOf } from '../../../support/played';

/** A curve as it is heard: a point every 11.6 ms, drifting, bent and shaken. */
const heard = fc
  .record({
    onset: fc.double({ min: 0, max: 100, noNaN: true }),
    points: fc.integer({ min: 1, max: 200 }),
    base: fc.integer({ min: 40, max: 88 }),
    bend: fc.double({ min: -3, max: 3, noNaN: true }),
    shake: fc.double({ min: 0, max: 1, noNaN: true }),
  })
  .map(({ onset, points, base, bend, shake }): HeardNote => {
    const curve = Array.from({ length: points }, (_, i) => ({
      at: onset + 0.0116 * i,
      midi: base + (bend * i) / points + shake * Math.sin(0.4 * i),
    }));
    const end = onset + 0.0116 * points;
    const pitch = base;
    return {
      onset,
      end,
      pitch,
      start: pitch,
      curve,
      attack: 'pluck',
      muted: false,
      confidence: 0.9,
    };
  });

describe('what is kept of a note that was played', () => {
  it('is nowhere more than 2.2 cents from what was heard, with times to a tenth of a millisecond', () => {
    fc.assert(
      fc.property(heard, fc.double({ min: 0, max: 5, noNaN: true }), (n, back) => {
        const from = n.onset - back;
        const kept = playedSound('n1', n, from);
        expect(Math.abs(kept.onset - (n.onset - from))).toBeLessThan(1e-4);
        expect(Math.abs(kept.end - (n.end - from))).toBeLessThan(1e-4);
        const line = kept.pitches.map(([at, midi]) => ({ at, cents: 100 * midi }));
        for (const { at, midi } of n.curve) {
          // A corner is at a whole millisecond, in which the steepest of these moves 36 cents a tenth of a second.
          const near = [-5e-4, 0, 5e-4].map((d) => lineAt(line, at - n.onset + d) - 100 * midi);
          expect(Math.min(...near.map(Math.abs))).toBeLessThan(4.5);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('is small: a held note has two corners, and a bend few', () => {
    const flat = Array.from({ length: 200 }, (_, i) => ({ at: 0.0116 * i, midi: 60.01 }));
    const bent = flat.map(({ at }, i) => ({ at, midi: 60 + Math.min(2, i / 20) }));
    const note = { onset: 0, end: 2.3, pitch: 60, start: 60, muted: false, confidence: 1 } as const;
    const corners = (curve: HeardNote['curve']) =>
      playedSound('n1', { ...note, attack: 'pluck', curve }, 0).pitches.length;
    expect([corners(flat), corners(bent)]).toEqual([2, 3]);
  });
});

const PHRASE = build('q 2/1 q 2/3 h -');

describe('a phrase as it was played, for the player', () => {
  const take = { goal: null, changes: [], phrase: PHRASE };
  const played = (part: Partial<AsPlayed> = {}) => {
    const own = playedOf('a');
    const ids = PHRASE.voices[0].events.flatMap((e) => e.notes.map((n) => n.id));
    const sounds = own.sounds.map((s, i) => ({ ...s, note: ids[i] ?? s.note }));
    return { ...own, sounds, ...part };
  };

  it('has the times and pitches of the player, and slower the same pitches', () => {
    for (const speed of [100, 50]) {
      const { first } = playedCourse(take, played(), { speed, again: false });
      const slow = 100 / speed;
      expect(first.sounds.map((s) => s.onset)).toEqual([0.3 * slow, 0.82 * slow]);
      expect(first.sounds.map((s) => s.begin)).toEqual(['plucked', 'hammered']);
      expect(first.length).toBeCloseTo(1.8 * slow, 9);
      for (const [i, sound] of first.sounds.entries()) {
        for (const { at, midi } of curveOf(played().sounds[i]!)) {
          const inSound = at * slow - sound.onset;
          expect(sound.midi + lineAt(sound.curve, inSound) / 100).toBeCloseTo(midi, 6);
        }
        // On a string that has the pitch, at the fret of that pitch.
        const place = openMidi(PHRASE.instrument, sound.string) + sound.fret;
        expect(place).toBe(Math.round(curveOf(played().sounds[i]!)[0]!.midi));
      }
    }
  });

  it('goes round without end, or ends', () => {
    const once = playedCourse(take, played(), { speed: 100, again: false });
    expect(once.after(once.first, false)).toBeNull();
    const round = playedCourse(take, played(), { speed: 75, again: true });
    expect(round.after(round.first, false)).toMatchObject({ round: 1, speed: 75, take });
  });

  it('lasts as long as its notes, and some time, whatever a file says', () => {
    const lengthOf = (part: Partial<AsPlayed>) =>
      playedCourse(take, played(part), { speed: 100, again: true }).first.length;
    expect(lengthOf({ seconds: 0.5 })).toBe(1.3);
    // The player goes round until something begins late enough: of rounds of no length it would never end.
    expect(lengthOf({ seconds: 0, sounds: [] })).toBeGreaterThanOrEqual(0.1);
  });

  it('is heard where its notes are gone, or written elsewhere: each on a free string that has it', () => {
    const two = played().sounds.map((s, i) => ({
      ...{ note: `gone ${i}`, onset: 0.3, end: 1, pitch: 64 + i, confidence: 1 },
      pitches: s.pitches.slice(0, 0),
    }));
    const { first } = playedCourse(take, played({ sounds: two }), { speed: 100, again: false });
    expect(first.sounds.map((s) => s.midi)).toEqual([64, 65]);
    expect(new Set(first.sounds.map((s) => s.string)).size).toBe(2);
  });
});

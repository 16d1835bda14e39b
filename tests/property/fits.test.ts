import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { JOIN_WEIGHTS } from '../../src/core/joins/weights';
import { parseLane } from '../../src/core/move/lane';
import { movePhraseOn } from '../../src/core/move/move';
import type { MoveRequest } from '../../src/core/move/request';
import { firstStage, nextStage } from '../../src/core/move/stage';
import { openMidi } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { bestFirst, type Offer } from '../../src/core/solo/best-first';
import { alike, familiesOfBars, familiesOfPhrase } from '../../src/core/solo/families';
import { type FitPlace, fitsHere } from '../../src/core/solo/fits';
import { handIn } from '../../src/core/solo/hand';
import { lineOf } from '../../src/core/solo/line';
import { type Key, parseKey } from '../../src/core/theory/key';
import { build } from '../support/build';
import { runs } from '../support/thorough';

interface Tree {
  readonly loss: number;
  readonly inside: readonly Tree[] | null;
}

const tree = fc.letrec<{ tree: Tree }>((tie) => ({
  tree: fc.record({
    loss: fc.nat(3),
    inside: fc.option(fc.array(tie('tree'), { maxLength: 3 }), { depthSize: 'small' }),
  }),
})).tree;

/** Every value of an offer with its worth. */
function leaves({ loss, inside }: Tree, most: number): readonly number[] {
  return inside === null ? [most - loss] : inside.flatMap((t) => leaves(t, most - loss));
}

describe('the best first', () => {
  it('is what opening everything gives, and opens no more than it must', () => {
    let spared = 0;
    fc.assert(
      fc.property(fc.array(tree, { maxLength: 8 }), fc.integer({ min: 1, max: 9 }), (all, n) => {
        let opened = 0;
        const offer = (t: Tree, index: number, above: number): Offer<[number, number]> => {
          const most = above - t.loss;
          if (t.inside === null) return { index, most, value: [index, most] };
          const { inside } = t;
          const open = () => {
            opened++;
            return inside.map((x) => offer(x, index, most));
          };
          return { index, most, open };
        };
        const found = bestFirst(
          all.map((t, i) => offer(t, i, 0)),
          n,
        );
        const every = all
          .map((t, i): [number, number] => [i, Math.max(-Infinity, ...leaves(t, 0))])
          .filter(([, worth]) => worth > -Infinity)
          .sort((a, b) => b[1] - a[1] || a[0] - b[0]);
        expect(found.values).toEqual(every.slice(0, n));
        if (every.length > n) expect(found.more).toBe(true);
        // Behind the last that was wanted nothing was opened.
        const last = found.values.length === n ? found.values.at(-1)![1] : -Infinity;
        const within = (t: Tree, above: number): number =>
          t.inside === null || above - t.loss < last
            ? 0
            : 1 + t.inside.reduce((sum, x) => sum + within(x, above - t.loss), 0);
        expect(opened).toBeLessThanOrEqual(all.reduce((sum, t) => sum + within(t, 0), 0));
        if (found.more) spared++;
      }),
      { seed: 20_261_128, numRuns: runs(150, 5_000) },
    );
    expect(spared).toBeGreaterThan(10);
  });
});

const PHRASES: readonly Phrase[] = [
  build('e 3/5 3/7 2/5 2/8', { id: 'a', key: 'C', chords: 'C7' }),
  build('q 2/3 2/5 3/5 4/3', { id: 'b', key: 'F', chords: 'Fmaj7' }),
  build('q 5/3 4/2 4/5 3/2', { id: 'c', key: 'C', chords: 'C7' }),
  build('q 2/3 2/5 3/5 3/7 | h 2/8 1/5', { id: 'd', key: 'G', chords: 'G7 | C7' }),
  build('q 1/8 1/10 1/12 1/15', { id: 'e', key: 'A minor', chords: 'Am7' }),
];

const key = (text: string | null): Key | null => (text === null ? null : parseKey(text)!);

/** By definition: every phrase in every octave is moved, fingered and weighed. */
function byDefinition(place: FitPlace): readonly { index: number; worth: number }[] {
  const all = PHRASES.flatMap((p, index) => {
    const inKey = place.key ?? p.key;
    const read = parseLane(place.lane, inKey);
    if (!read.ok) return [];
    const whole = read.value.length === 1 && read.value[0]!.length === 1;
    const empty = whole ? 0 : read.value.length - p.bars.length;
    if (empty < 0) return [];
    const bars = whole ? p.bars.map(() => read.value[0]!) : read.value.slice(0, p.bars.length);
    const suits = alike(familiesOfPhrase(p), familiesOfBars(bars, p.bars[0]!.meter));
    const to: MoveRequest[] = [
      { to: { kind: 'key', key: { tonic: inKey.tonic, mode: p.key.mode } } },
      { to: { kind: 'lane', bars }, way: 'chord' },
    ];
    // The octave that a move chooses is that of its pitches, before they have places.
    const inKeyStage = nextStage(firstStage(p), to[0]!);
    const planned = inKeyStage.ok ? nextStage(inKeyStage.value, to[1]!) : inKeyStage;
    if (!planned.ok) return [];
    const [first] = lineOf(planned.value.now);
    const worths = [0, 1, -1].flatMap((octaves) => {
      const more: MoveRequest[] = octaves === 0 ? [] : [{ to: { kind: 'octaves', octaves } }];
      const moved = movePhraseOn(p, [...to, ...more], 'kept');
      if (!moved.ok || moved.value.report.unplayable.length > 0) return [];
      const midi = lineOf(moved.value.phrase).map((n) => n.midi);
      if (midi[0] !== first!.midi + 12 * octaves) return [];
      if (octaves > 0 && Math.max(...midi) > openMidi(p.instrument, 1) + 17) return [];
      const tempo = place.tempo ?? p.tempo;
      if (handIn(moved.value.phrase, tempo).hurries > handIn(p, tempo).hurries) return [];
      const { general, notes } = moved.value.report;
      const otherwise = [...general, ...notes.flatMap((n) => n.adaptations)].filter(
        (a) => a.fallback,
      ).length;
      const mean = (m: readonly number[]) => m.reduce((a, b) => a + b, 0) / m.length;
      const join = (note: FitPlace['before'], end: number, head: readonly number[]) => {
        if (note === null) return 0;
        const at =
          note.kind === 'pitch' ? note.midi : openMidi(p.instrument, note.string) + note.fret;
        const far = Math.abs(end - at);
        const leap = Math.max(0, far - 4) / 12;
        const step = far === 1 || far === 2 ? JOIN_WEIGHTS.near : 0;
        return (
          step + JOIN_WEIGHTS.leap * leap + (JOIN_WEIGHTS.register * Math.abs(mean(head) - at)) / 12
        );
      };
      const joins =
        join(place.before, midi[0]!, midi.slice(0, 8)) +
        join(place.after, midi.at(-1)!, midi.slice(-8));
      const worth = 2 * suits - 3 * empty - Math.abs(octaves) + joins - 0.5 * otherwise;
      return [worth];
    });
    return worths.length === 0 ? [] : [{ index, worth: Math.max(...worths) }];
  });
  return all.sort((a, b) => b.worth - a.worth || a.index - b.index);
}

describe('what fits a place', () => {
  it('is ranked as weighing everything by definition ranks it', () => {
    const note = fc.oneof(
      fc.constant(null),
      fc.record({ kind: fc.constant('pitch' as const), midi: fc.integer({ min: 45, max: 80 }) }),
      fc.record({
        kind: fc.constant('place' as const),
        string: fc.integer({ min: 1, max: 6 }),
        fret: fc.nat(12),
      }),
    );
    const anyPlace: fc.Arbitrary<FitPlace> = fc.record({
      lane: fc.constantFrom('IV7', 'I7 | IV7', 'ii7 V7 |', 'Am7', 'I7 | I7 | V7', 'Imaj7'),
      key: fc.constantFrom(null, 'C', 'Eb', 'F# minor').map(key),
      tempo: fc.constantFrom(null, { bpm: 240, unit: 'quarter' as const }),
      before: note,
      after: note,
    });
    const met = { joined: 0, several: 0, short: 0 };
    fc.assert(
      fc.property(anyPlace, fc.integer({ min: 1, max: 5 }), (place, count) => {
        const all = byDefinition(place);
        const found = fitsHere(PHRASES, place, count);
        if (!found.ok) throw new Error(found.problems[0]?.message);
        const ranked = found.value.fits.map(({ index }) => index);
        expect(ranked).toEqual(all.slice(0, count).map(({ index }) => index));
        for (const [i, fit] of found.value.fits.entries()) {
          expect(fit.worth).toBeCloseTo(all[i]!.worth, 9);
          expect(fit.why.length).toBeGreaterThan(1);
        }
        if (all.length > 1) met.several++;
        if (place.before !== null && all.length > 0) met.joined++;
        if (all.length > count) met.short++;
      }),
      { seed: 20_261_128, numRuns: runs(10, 400) },
    );
    expect(Math.min(...Object.values(met)), JSON.stringify(met)).toBeGreaterThan(1);
  });

  it('says how a phrase is moved, where it lies and how it joins', () => {
    const place = { lane: 'F7', key: null, tempo: null } as const;
    const before = { kind: 'pitch', midi: 60 } as const;
    const found = fitsHere(PHRASES.slice(0, 1), { ...place, before, after: null });
    expect(found.ok && found.value.fits[0]!.why).toEqual([
      'all of it goes 5 semitones up',
      'frets 10 to 13',
      'its own chords are like these',
      'begins 5 semitones above the note before',
    ]);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ticksOfValue } from '../../src/core/phrase/note-value';
import { writeRhythm } from '../../src/core/phrase/rhythm';
import { beatTicks, fullLength, isCompound, meterTicks } from '../../src/core/phrase/time';
import { shortestIn } from '../../src/core/phrase/tuplet';
import type { TupletRatio } from '../../src/core/phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../src/core/phrase/tuplet-ratios';
import type { Bar, Meter, PhraseEvent, Tuplet, Voice } from '../../src/core/phrase/types';
import type { WrittenBar, WrittenItem } from '../../src/core/phrase/written';

/*
 * Rhythms of every kind that T1 allows: binary durations down to the 128th anywhere, tuplets of every
 * ratio with their units tied together at random, changes of meter, pickups, partial last bars.
 */

const GRID = 315;
const METERS: readonly Meter[] = [
  { beats: 4, beatType: 4 },
  { beats: 3, beatType: 4 },
  { beats: 2, beatType: 4 },
  { beats: 2, beatType: 2 },
  { beats: 5, beatType: 4 },
  { beats: 6, beatType: 8 },
  { beats: 9, beatType: 8 },
  { beats: 12, beatType: 8 },
  { beats: 7, beatType: 8 },
  { beats: 3, beatType: 8 },
  { beats: 12, beatType: 16 },
];

interface Rhythm {
  readonly pickup: number;
  readonly bars: readonly Bar[];
  readonly length: number;
  readonly voices: readonly [Voice];
}

/** Random cuts of one stretch: each number is a length in steps, negative for a rest. */
const lengths = fc.array(
  fc.oneof(
    { weight: 6, arbitrary: fc.constantFrom(8, 16, 24, 32, 48, -8, -16, -32) },
    { weight: 1, arbitrary: fc.integer({ min: -70, max: 140 }).filter((n) => n !== 0) },
  ),
  { minLength: 1, maxLength: 24 },
);

const tupletAt = fc.record({
  bar: fc.nat(2),
  beat: fc.nat(5),
  ratio: fc.constantFrom(...TUPLET_RATIOS),
  unit: fc.constantFrom(1_260, 2_520, 5_040, 10_080),
});

const rhythm: fc.Arbitrary<Rhythm> = fc
  .record({
    meters: fc.array(fc.constantFrom(...METERS), { minLength: 1, maxLength: 3 }),
    pickupSteps: fc.nat(127),
    cutSteps: fc.nat(127),
    lengths,
    tuplets: fc.array(tupletAt, { maxLength: 3 }),
    joins: fc.infiniteStream(fc.nat(5)),
  })
  .map((r) => {
    const bars = r.meters.map((meter) => ({ meter }));
    const pickup = (r.pickupSteps * GRID) % meterTicks(bars[0]!.meter);
    const full = fullLength({ pickup, bars });
    const length = full - ((r.cutSteps * GRID) % meterTicks(bars.at(-1)!.meter));
    const tuplets = placeTuplets(pickup, bars, length, r.tuplets);
    const cuts = cutPoints(r.lengths, tuplets, length, r.joins);
    const events: PhraseEvent[] = [];
    cuts.forEach(({ from, to, sounding }) => {
      const note = { kind: 'dead', id: `n${from}`, string: 2, fret: 3 } as const;
      if (sounding) events.push({ onset: from, duration: to - from, notes: [note] });
    });
    return { pickup, bars, length, voices: [{ events, tuplets }] };
  });

function placeTuplets(
  pickup: number,
  bars: readonly Bar[],
  length: number,
  wanted: readonly { bar: number; beat: number; ratio: TupletRatio; unit: number }[],
): Tuplet[] {
  const out: Tuplet[] = [];
  for (const w of wanted) {
    const index = w.bar % bars.length;
    const start = fullLength({ pickup, bars: bars.slice(0, index) });
    const meter = bars[index]!.meter;
    const onset = start + (w.beat % meter.beats) * (40_320 / meter.beatType);
    const duration = Math.max(w.unit, shortestIn(w.ratio)) * w.ratio.normal;
    const end = onset + duration;
    const free = out.every((t) => t.onset + t.duration <= onset || end <= t.onset);
    if (free && end <= Math.min(length, start + meterTicks(meter))) {
      out.push({ onset, duration, ...w.ratio });
    }
  }
  return out.sort((a, b) => a.onset - b.onset);
}

function cutPoints(
  steps: readonly number[],
  tuplets: readonly Tuplet[],
  length: number,
  joins: Iterable<number>,
) {
  const random = joins[Symbol.iterator]();
  const marks = new Map<number, boolean>();
  let at = 0;
  for (const n of steps) {
    marks.set(at, n > 0);
    at += Math.abs(n) * GRID;
  }
  marks.set(at, false);
  for (const t of tuplets) {
    for (const m of [...marks.keys()]) {
      if (m > t.onset && m < t.onset + t.duration) marks.delete(m);
    }
    for (let i = 0; i <= t.actual; i++) {
      const choice = random.next().value as number;
      const where = t.onset + (i * t.duration) / t.actual;
      if (choice > 2) marks.set(where, choice > 3);
      // A mark that already lies at the end of the tuplet stays where it is.
    }
  }
  const sorted = [...marks.keys()].filter((m) => m < length).sort((a, b) => a - b);
  return sorted.map((from, i) => ({
    from,
    to: sorted[i + 1] ?? length,
    sounding: marks.get(from)!,
  }));
}

const items = (bars: readonly WrittenBar[]) => bars.flatMap((b) => b.voices[0]!);
const sum = (list: readonly WrittenItem[]) => list.reduce((n, i) => n + i.duration, 0);

function check(property: (r: Rhythm, bars: readonly WrittenBar[]) => void) {
  fc.assert(
    fc.property(rhythm, (r) => property(r, writeRhythm(r))),
    { seed: 20261125, numRuns: 400 },
  );
}

describe('written rhythm', () => {
  it('is tried on what it should be tried on', () => {
    const some = fc.sample(rhythm, { seed: 20261125, numRuns: 400 });
    const inTuplets = some.flatMap((r) =>
      r.voices[0].tuplets.flatMap((t) =>
        r.voices[0].events.filter((e) => e.onset > t.onset && e.onset < t.onset + t.duration),
      ),
    );
    expect(inTuplets.length).toBeGreaterThan(200);
    expect(some.filter((r) => r.pickup > 0).length).toBeGreaterThan(100);
    const ties = some.flatMap((r) => items(writeRhythm(r))).filter((i) => i.tieStop && i.tuplet);
    expect(ties.length).toBeGreaterThan(50);
  });

  it('fills every bar exactly, without holes', () => {
    check((r, bars) => {
      for (const b of bars) {
        let at = b.span.start;
        for (const i of b.voices[0]!) {
          expect(i.onset).toBe(at);
          at += i.duration;
        }
        expect(at).toBe(b.span.end);
      }
      expect(sum(items(bars))).toBe(r.length);
    });
  });

  it('gives the events back when tied items are joined', () => {
    check((r, bars) => {
      const joined: { onset: number; duration: number; event: number }[] = [];
      for (const i of items(bars)) {
        if (i.event === null) {
          expect([i.tieStart, i.tieStop]).toEqual([false, false]);
          continue;
        }
        const last = joined.at(-1);
        if (i.tieStop) {
          expect(last?.event).toBe(i.event);
          last!.duration += i.duration;
        } else joined.push({ onset: i.onset, duration: i.duration, event: i.event });
        expect(i.tieStop).toBe(i.part > 1);
      }
      expect(joined).toEqual(
        r.voices[0].events.map(({ onset, duration }, event) => ({ onset, duration, event })),
      );
      // A tie that starts is stopped by the very next item.
      items(bars).forEach((i, k, all) => {
        expect(all[k + 1]?.tieStop ?? false).toBe(i.tieStart);
      });
    });
  });

  it('uses legal values only, in tuplets too (T1)', () => {
    check((_, bars) => {
      for (const i of items(bars)) {
        if (i.wholeBar) continue;
        const ratio = i.tuplet === null ? 1 : i.tuplet.normal / i.tuplet.actual;
        expect(ticksOfValue(i) * ratio).toBe(i.duration);
        expect(i.value === '128th' && i.dots === 1).toBe(false);
      }
    });
  });

  it('starts and stops every tuplet once, and fills it', () => {
    check((r, bars) => {
      r.voices[0].tuplets.forEach((t, index) => {
        const inside = items(bars).filter((i) => i.tuplet?.index === index);
        expect(sum(inside)).toBe(t.duration);
        expect(inside.map((i) => i.tuplet!.start).lastIndexOf(true)).toBe(0);
        expect(inside.map((i) => i.tuplet!.stop).indexOf(true)).toBe(inside.length - 1);
      });
    });
  });

  it('shows the middle of four beats and every dotted beat; rests show every beat', () => {
    check((_, bars) => {
      for (const b of bars) {
        const meter = b.span.bar.meter;
        const zero = b.span.number === 0 ? b.span.end - meterTicks(meter) : b.span.start;
        const beat = beatTicks(meter);
        for (const i of b.voices[0]!) {
          if (i.tuplet !== null || i.wholeBar) continue;
          const from = i.onset - zero;
          const to = from + i.duration;
          const crossesBeat = Math.floor(from / beat) !== Math.ceil(to / beat) - 1;
          if (meter.beats === 4 && from > 0) {
            expect(from < 2 * beat && to > 2 * beat, 'middle of four').toBe(false);
          }
          if (crossesBeat && (isCompound(meter) || i.event === null)) {
            expect([from % beat, to % beat], 'beats').toEqual([0, 0]);
          }
        }
      }
    });
  });

  it('opens and closes every beam inside its bar', () => {
    check((_, bars) => {
      for (const b of bars) {
        const open = new Set<number>();
        for (const i of b.voices[0]!) {
          if (i.event === null) expect(i.beams).toEqual([]);
          i.beams.forEach((part, level) => {
            if (part === 'begin') {
              expect(open.has(level)).toBe(false);
              open.add(level);
            } else if (part === 'continue') expect(open.has(level)).toBe(true);
            else if (part === 'end') expect(open.delete(level)).toBe(true);
          });
          // A beam that goes on is not left out by the next item.
          expect([...open].every((level) => i.beams.length > level)).toBe(true);
        }
        expect(open.size).toBe(0);
      }
    });
  });
});

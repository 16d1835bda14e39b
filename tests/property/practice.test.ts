import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type BarSpan, barSpans, beatTicks, meterTicks } from '../../src/core/phrase/time';
import { endOf, notesOf } from '../../src/core/phrase/walk';
import { courseOf } from '../../src/core/practice/course';
import { CLICK_BEATS, type Practice, type Step } from '../../src/core/practice/types';
import { unfold } from '../../src/core/sound/unfold';
import { arbPhrase } from '../support/arbitrary';

const arbPractice: fc.Arbitrary<Practice> = fc.record({
  stretch: fc.constant(null),
  endless: fc.boolean(),
  speed: fc.integer({ min: 25, max: 200 }),
  stepUp: fc.option(
    fc.record({
      by: fc.integer({ min: 1, max: 20 }),
      to: fc.integer({ min: 25, max: 200 }),
      after: fc.constantFrom('every round' as const, 'a good round' as const),
    }),
  ),
  countIn: fc.constantFrom(0 as const, 1 as const, 2 as const),
  click: fc.option(
    fc.record({
      beats: fc.constantFrom(...CLICK_BEATS),
      accent: fc.boolean(),
      parts: fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const),
    }),
  ),
  swing: fc.option(fc.integer({ min: 50, max: 75 })),
  cycle: fc.constantFrom(
    { kind: 'same' as const },
    { kind: 'fourths' as const },
    { kind: 'semitones' as const },
  ),
  answer: fc.boolean(),
  phrase: fc.boolean(),
});

const isWhole = ({ start, end, bar }: BarSpan) => end - start === meterTicks(bar.meter);

const stretched = fc
  .tuple(arbPhrase(), arbPractice, fc.integer(), fc.integer(), fc.boolean())
  .map(([p, practice, a, b, cuts]) => {
    const at = (n: number) => Math.abs(n) % p.length;
    const from = Math.min(at(a), at(b));
    const to = Math.max(at(a), at(b)) + 1;
    return {
      p,
      practice: cuts ? { ...practice, stretch: { from, to, fills: 'beat' as const } } : practice,
    };
  });

function first(
  p: Parameters<typeof courseOf>[0],
  practice: Practice,
  good: boolean,
  count: number,
) {
  const course = courseOf(p, practice);
  if (!course.ok) throw new Error('a cycle of keys has no mistakes');
  const list: Step[] = [];
  let now: Step | null = course.value.first;
  while (now !== null && list.length < count) {
    list.push(now);
    now = course.value.after(now, good);
  }
  return list;
}

const EPSILON = 1e-9;

describe('a course of practice', () => {
  it('has everything inside its step, in order, and lasts what its ticks last', () => {
    fc.assert(
      fc.property(stretched, fc.boolean(), ({ p, practice }, good) => {
        for (const s of first(p, practice, good, 3)) {
          expect(s.length).toBeGreaterThan(0);
          for (const list of [s.sounds, s.clicks]) {
            const at = list.map((x) => x.onset);
            expect(at.every((x, i) => i === 0 || x >= at[i - 1]!)).toBe(true);
            expect(at.every((x) => x >= 0 && x <= s.length + EPSILON)).toBe(true);
          }
          // Where the music changes, nothing rings on into it.
          if (practice.cycle.kind === 'same' && practice.stretch === null) continue;
          expect(s.sounds.every((x) => x.onset + x.length <= s.length + EPSILON)).toBe(true);
        }
      }),
      { numRuns: 20 },
    );
  });

  it('keeps the beat: a round that comes again lasts whole beats, whole bars where it is all of it', () => {
    fc.assert(
      fc.property(stretched, ({ p, practice }) => {
        fc.pre(
          p.bars.every(
            (b) =>
              b.meter.beats === p.bars[0]!.meter.beats &&
              b.meter.beatType === p.bars[0]!.meter.beatType,
          ),
        );
        // A repeat that goes back out of the middle of a bar is played as it is written, off the beat.
        fc.pre(
          unfold(p)
            .slice(0, -1)
            .every(({ end }) => barSpans(p).some((b) => b.end === end && isWhole(b))),
        );
        const [step] = first(p, { ...practice, endless: true, countIn: 0 }, false, 1);
        const { meter } = p.bars[0]!;
        const unit = practice.stretch === null ? meterTicks(meter) : beatTicks(meter);
        const count = step!.length / step!.secondsPerTick / unit;
        expect(Math.abs(count - Math.round(count))).toBeLessThan(1e-6);
      }),
      { numRuns: 25 },
    );
  });

  it('is as long and as fast as its speed says, and its pitches stay', () => {
    fc.assert(
      fc.property(stretched, ({ p, practice }) => {
        const plain = { ...practice, countIn: 0 as const, stepUp: null };
        const [a] = first(p, { ...plain, speed: 100 }, false, 1);
        const [b] = first(p, { ...plain, speed: 50 }, false, 1);
        expect(b!.length).toBeCloseTo(2 * a!.length, 6);
        expect(b!.clicks.length).toBe(a!.clicks.length);
        // Graces and strums take seconds and no ticks: behind them a note that the end cuts may not begin at full speed.
        const to = practice.stretch?.to ?? p.length;
        const cut = notesOf(p).filter(({ event }) => event.onset < to && endOf(event) > to);
        const left = new Set<string | null>([null, ...cut.map(({ note }) => note.id)]);
        // A trill has more notes in a longer time.
        const pitches = (s: Step | undefined) =>
          new Set(s!.sounds.filter((x) => !left.has(x.noteId)).map((x) => `${x.noteId} ${x.midi}`));
        expect(pitches(b)).toEqual(pitches(a));
      }),
      { numRuns: 20 },
    );
  });

  it('never slows down, and rises only as far as it may', () => {
    fc.assert(
      fc.property(arbPhrase({}), arbPractice, fc.boolean(), (p, practice, good) => {
        const all = first(p, { ...practice, cycle: { kind: 'same' }, endless: true }, good, 5);
        const most = Math.max(practice.speed, practice.stepUp?.to ?? 0);
        for (const [i, s] of all.entries()) {
          expect(s.speed).toBeLessThanOrEqual(most);
          if (i > 0) expect(s.speed).toBeGreaterThanOrEqual(all[i - 1]!.speed);
          if (practice.stepUp === null) expect(s.speed).toBe(practice.speed);
        }
      }),
      { numRuns: 20 },
    );
  });
});

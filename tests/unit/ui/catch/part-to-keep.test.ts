import { describe, expect, it } from 'vitest';
import type { Heard, HeardNote } from '../../../../src/core/heard/types';
import type { RunningClock } from '../../../../src/ui/catch/messages';
import { lastPhraseOf, lastRoundOf } from '../../../../src/ui/catch/part-to-keep';

const CLOCK: RunningClock = {
  ask: 1,
  bpm: 120,
  round: 2,
  form: 8,
  ago: 21,
  ran: 21,
  measured: true,
};

/** A player who is heard exactly: the newest seconds of notes at these onsets, half a second each. */
function player(seconds: number, onsets: readonly number[]) {
  const asked: number[] = [];
  const hear = (newest: number): Heard => {
    asked.push(newest);
    const by = seconds - newest;
    const notes = onsets
      .filter((at) => at >= by)
      .map((at): HeardNote => {
        const still = { pitch: 60, start: 60, curve: [], attack: 'pluck', muted: false } as const;
        return { ...still, onset: at - by, end: at - by + 0.5, confidence: 0.9 };
      });
    return { notes, dead: [], seconds: newest };
  };
  return { asked, hear };
}

describe('the last round', () => {
  it('is as long as the form, with what it was played to', () => {
    // Begun 21 s before 100 s: rounds at 79 and 87, the one at 95 is not whole.
    const part = lastRoundOf(100, CLOCK);
    if (!part.ok) throw new Error(part.problems[0]!.message);
    const { sound, playedTo, within } = part.value;
    expect(sound).toEqual({ from: 86.5, to: 95.5 });
    expect(playedTo).toMatchObject({ begin: 0.5, round: 8, bpm: 120 });
    const span = within([0.5], playedTo);
    expect(span.from).toBeCloseTo(0.4, 9);
    expect(span.to).toBeCloseTo(8.4, 9);
  });

  it('is the last one that was played to, where that was ended', () => {
    const part = lastRoundOf(100, { ...CLOCK, ran: 15 });
    expect(part).toMatchObject({ ok: true, value: { sound: { from: 78.5, to: 87.5 } } });
  });

  it('is refused where there is none, with what to do', () => {
    const message = (seconds: number, clock: RunningClock | null) => {
      const part = lastRoundOf(seconds, clock);
      return part.ok ? null : part.problems[0]!.message;
    };
    expect(message(100, null)).toMatch(/nothing with a round/u);
    expect(message(100, { ...CLOCK, form: null })).toMatch(/nothing with a round/u);
    expect(message(100, { ...CLOCK, ago: 7, ran: 7 })).toMatch(/whole yet/u);
    // What was kept with K is remembered no longer.
    expect(message(9, CLOCK)).toMatch(/whole yet/u);
  });
});

describe('the last phrase', () => {
  it('looks no further back than it must', () => {
    const { asked, hear } = player(300, [270, 290, 290.5, 291]);
    const part = lastPhraseOf(300, 1, CLOCK, hear);
    expect(asked).toEqual([20]);
    if (!part.ok) throw new Error(part.problems[0]!.message);
    const { sound, within, playedTo } = part.value;
    expect(sound).toEqual({ from: 289.5, to: 292 });
    expect(within([], null)).toEqual({ from: 0.4, to: 2 });
    // The click began at 279: before the part.
    expect(playedTo).toMatchObject({ begin: 279 - 289.5, round: 2 });
  });

  it('looks further where it began earlier, or nothing was played lately', () => {
    const long = player(300, [200, ...Array.from({ length: 60 }, (_, i) => 230 + i)]);
    expect(lastPhraseOf(300, 1, null, long.hear)).toMatchObject({
      ok: true,
      value: { sound: { from: 229.5, to: 290 }, playedTo: null },
    });
    expect(long.asked).toEqual([20, 40, 80]);
    const early = player(300, [20]);
    expect(lastPhraseOf(300, 1, null, early.hear)).toMatchObject({
      ok: true,
      value: { sound: { from: 19.5, to: 21 } },
    });
    expect(early.asked.at(-1)).toBe(300);
  });

  it('is refused where nothing was played', () => {
    const none = player(30, []);
    expect(lastPhraseOf(30, 1, null, none.hear)).toMatchObject({ ok: false });
    expect(lastPhraseOf(0, 1, null, none.hear)).toMatchObject({ ok: false });
  });
});

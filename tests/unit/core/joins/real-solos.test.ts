import { expect, it } from 'vitest';
import { join } from '../../../../src/core/joins/join';
import { sketchOf } from '../../../../src/core/joins/sketch';
import { TICKS_PER_QUARTER } from '../../../../src/core/phrase/types';
import { describeWithRef, readTsv } from '../../../support/refs';

// 205 real solos with phrases marked by hand: the Weimar Jazz Database (Pfleiderer and others, Inside
// the Jazzomat, Schott Campus 2017), as tables; never shipped. Here: does the phrase that really
// followed join better than one of another solo, moved to where it lay? The smallest interval beside it.
describeWithRef('joins of real solos', 'data/wjazzd/phrases.tsv', (text) => {
  it('are better than those with phrases of other solos', () => {
    const solos = new Map<string, ReturnType<typeof readNotes>[]>();
    for (const row of readTsv(text)) {
      const phrases = solos.get(row.solo!) ?? [];
      phrases.push(readNotes(Number(row.start), row.notes!));
      solos.set(row.solo!, phrases);
    }
    let right = 0;
    let nearest = 0;
    let tried = 0;
    const all = [...solos.values()].map((phrases) =>
      phrases.map((n) => (n.length < 3 ? null : sketchOf(n))),
    );
    all.forEach((sketches, solo) => {
      const others = all[(solo + 1) % all.length]!;
      for (let i = 1; i < Math.min(sketches.length, others.length); i += 3) {
        const [a, b, other] = [sketches[i - 1], sketches[i], others[i]];
        if (a == null || b == null || other == null) continue;
        const earlier = i > 1 ? (sketches[i - 2] ?? null) : null;
        const by = Math.round(mean(b.midi) - mean(other.midi));
        const leap = (s: typeof a, more = 0) => Math.abs(s.midi[0]! + more - a.midi.at(-1)!);
        tried++;
        right += verdict(join(a, b, 0, earlier) - join(a, other, by, earlier));
        nearest += verdict(leap(other, by) - leap(b));
      }
    });
    console.log(
      `joins: ${((100 * right) / tried).toFixed(1)}% of ${tried} pairs, ` +
        `smallest interval ${((100 * nearest) / tried).toFixed(1)}%`,
    );
    expect(tried).toBeGreaterThan(900);
    expect(right / tried).toBeGreaterThan(0.77);
    expect(right).toBeGreaterThan(nearest);
  });
});

const mean = (a: Int16Array) => a.reduce((x, y) => x + y, 0) / a.length;

const verdict = (x: number) => (x > 0 ? 1 : x === 0 ? 0.5 : 0);

/** `time since the last onset,length,MIDI`, in 1/48 of a quarter. */
function readNotes(start: number, text: string) {
  let at = start;
  return text.split(' ').map((n) => {
    const [since = 0, length = 0, midi = 0] = n.split(',').map(Number);
    at += since;
    return {
      onset: (at * TICKS_PER_QUARTER) / 48,
      duration: (length * TICKS_PER_QUARTER) / 48,
      midi,
    };
  });
}

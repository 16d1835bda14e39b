import { describe, expect, it } from 'vitest';
import type { HeardNote } from '../../../../src/core/heard/types';
import { perform } from '../../../../src/core/sound/perform';
import { type LinesContext, linesOfHeard } from '../../../../src/io/heard/lines';
import { askedFor } from '../../../../src/io/heard/other-rhythm';
import { type CaughtPhrase, phrasesOf } from '../../../../src/io/heard/phrases';
import { reportOf } from '../../../../src/io/heard/report';
import { takeOf, type WriteHeardOptions } from '../../../../src/io/heard/take';
import { heardBack } from '../../../support/caught';
import { writtenAgain } from '../../../support/caught-written';
import { Dice } from '../../../support/generate/dice';
import { playedPhrase } from '../../../support/played-phrase';
import { Tally } from '../../../support/tally';

function note(onset: number, end: number, midi: number): HeardNote {
  const curve = Array.from({ length: 8 }, (_, k) => ({
    at: onset + (k * (end - onset)) / 8,
    midi,
  }));
  const rest = { attack: 'pluck', muted: false, confidence: 0.9 } as const;
  return { onset, end, pitch: midi, start: midi, curve, ...rest };
}

function caught(notes: readonly HeardNote[], o: WriteHeardOptions) {
  const heard = { notes, dead: [], seconds: notes.at(-1)!.end + 1 };
  const take = takeOf(heard, o);
  const names = { newId: () => 'caught', now: '2026-11-28T00:00:00Z', title: 'Caught' };
  const made = take.ok ? phrasesOf(take.value, names, 'whole') : take;
  if (!take.ok || !made.ok) throw new Error('not written');
  return { one: made.value[0]!, report: reportOf(take.value, made.value, heard) };
}

/** Onsets and durations in quarters, `?` where they are guessed. */
const rhythm = ({ phrase }: CaughtPhrase) =>
  phrase.voices[0].events.map(
    (e) => `${e.onset / 10_080} ${e.duration / 10_080}${e.guessed ? '?' : ''}`,
  );

/** When notes sound of which something is unsure, in seconds. */
const heardAt = ({ doubts, heard }: CaughtPhrase) => doubts.map((d) => heard.get(d.note)!.onset);

/** Quarters at 60 a minute, exactly, with what is put between them. */
const beats = (...between: readonly (readonly [number, number])[]) =>
  [...[0, 1, 2, 4, 5, 6, 7].map((at) => [at, at + 1] as const), ...between]
    .sort((a, b) => a[0] - b[0])
    .map(([at, end], i, all) => note(at, Math.min(end, all[i + 1]?.[0] ?? 9), 60 + (i % 5)));

const AT_60 = { bpm: 60, start: 0 };

describe('a rhythm that is unsure', () => {
  it('has its second-best place beside it, and is written so where that is asked for', () => {
    // Between the 16th before the beat and the third part of a triplet.
    const notes = beats([3, 4], [3.708, 4]);
    const { one, report } = caught(notes, AT_60);
    const [doubt, ...more] = one.doubts;
    expect(more).toEqual([]);
    expect(doubt).toMatchObject({ of: 'place', taken: false });
    expect(heardAt(one)).toEqual([3.708]);
    const [sure, unsure] = ['3.', '3.7'].map((at) => rhythm(one).find((r) => r.startsWith(at)));
    expect(sure ?? unsure).toContain('?');
    const other = caught(notes, { ...AT_60, otherwise: [doubt!.key] }).one;
    const onset = (c: CaughtPhrase) => c.phrase.voices[0].events[4]!.onset;
    expect(onset(other)).toBe(onset(one) + doubt!.other);
    expect(rhythm(other).join()).not.toContain('?');
    // The way back is offered in its place.
    expect(other.doubts).toEqual([{ ...doubt, other: -doubt!.other, taken: true }]);
    const { note: id, other: laterBy } = doubt!;
    expect(report.phrases[0]!.unsureRhythm).toEqual([{ note: id, of: 'place', laterBy }]);
  });

  it('may be that of an end: held to the next note, or a rest before it', () => {
    const notes = beats([3, 3.72]);
    const { one } = caught(notes, AT_60);
    expect(one.doubts).toMatchObject([{ of: 'length', taken: false }]);
    expect(heardAt(one)).toEqual([3]);
    const other = caught(notes, { ...AT_60, otherwise: [one.doubts[0]!.key] }).one;
    const of = (c: CaughtPhrase) => rhythm(c).find((r) => r.startsWith('3 '));
    expect([of(one), of(other)].sort()).toEqual(['3 0.75', '3 1?']);
  });

  it('has an answer of its own: where it begins, how long it lasts, and what is held under it', () => {
    // A bass that is held under a line, both with a gap that is unsure, struck at one moment.
    const all = [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5];
    const high = all.map((at) => note(at, at + 0.5, 72));
    const notes = [note(0, 0.36, 71), ...high.slice(1), note(0, 1.4, 45), note(2, 3.5, 43)];
    const context = (...otherwise: readonly number[]): LinesContext => ({
      place: (s) => Math.round(10_080 * s),
      after: (at) => at + 2_520,
      heardAt: (s) => 10_080 * s,
      secondsPerTick: 1 / 10_080,
      otherwise: new Set(otherwise),
    });
    const moments = all.map((onset) => ({
      onset,
      at: Math.round(10_080 * onset),
      notes: notes.filter((n) => n.onset === onset),
      graces: [],
    }));
    const firsts = (...otherwise: readonly number[]) =>
      linesOfHeard(moments, context(...otherwise)).map((line) => line[0]!);
    const ends = (...otherwise: readonly number[]) => firsts(...otherwise).map((e) => e.end);
    const [line, bass] = firsts().map((e) => e.doubt!);
    expect([line, bass]).toMatchObject([{ of: 'length' }, { of: 'length' }]);
    const [before, under] = ends();
    expect(ends(line!.key)).toEqual([line!.other, under]);
    expect(ends(bass!.key)).toEqual([before, bass!.other]);
    // What was answered of where it begins says nothing of how long it lasts.
    const place = askedFor('place', moments[0]!.notes, new Set()).key;
    expect(ends(place)).toEqual([before, under]);
    // An answer stays with the strings that are left where one of them is taken out.
    const chord = [note(0, 1, 60), note(0, 1, 64)];
    const asked = new Set([askedFor('place', chord, new Set()).key]);
    expect(askedFor('place', [...chord].reverse(), asked).taken).toBe(true);
    // Answers of before this were seconds, and are kept.
    expect(ends(0)).toEqual([line!.other, bass!.other]);
  });

  it('is none where the other place is taken: the two could not be told apart again', () => {
    const played: readonly (readonly [number, number, number])[] = [
      [0, 0.3, 69],
      [0, 0.6, 67],
      [0.01, 0.35, 49],
      [0.3, 0.8, 53],
      [0.37, 0.65, 70],
      [0.55, 1.63, 50],
    ];
    const notes = played.map((n) => note(...n));
    const { one } = caught(notes, AT_60);
    expect(heardAt(one)).not.toContain(0.37);
    for (const { key } of one.doubts) {
      const other = caught(notes, { ...AT_60, otherwise: [key] }).one;
      expect(other.doubts.find((d) => d.key === key)?.taken).toBe(true);
    }
  });

  it('is none where a hand is exact, however fine the rhythm is', () => {
    const exact = beats([3, 3.5], [3.5, 3.75], [3.75, 4], [5 + 1 / 3, 5 + 2 / 3], [5 + 2 / 3, 6]);
    expect(caught(exact, AT_60).one.doubts).toEqual([]);
  });

  it('what is marked is wrong far oftener than what is not, and little is marked', () => {
    const tally = new Tally();
    for (let seed = 0; seed < 14; seed++) {
      const p = playedPhrase(9_000 + seed);
      const d = new Dice(seed, 31);
      let [last, late] = [-1, 0];
      // A hand that is off by up to 40 ms, strings struck together alike.
      const notes = perform(p).sounds.map((s) => {
        if (s.onset - last > 0.03) late = 0.027 * (d.next() + d.next() + d.next() - 1.5);
        last = s.onset;
        return note(Math.max(0, s.onset + late), s.onset + s.length, s.midi);
      });
      notes.sort((a, b) => a.onset - b.onset || a.pitch - b.pitch);
      const heard = { notes, dead: [], seconds: notes.at(-1)!.end + 1 };
      tally.join(writtenAgain(p, heard, heardBack(p, heard), {}).tally);
    }
    const [marked, unmarked] = ['marked', 'unmarked'].map((m) =>
      tally.of(`rhythm wrong, ${m}, tempo found`),
    );
    expect(marked!.there).toBeGreaterThan(8);
    expect(marked!.there).toBeLessThan(0.15 * unmarked!.there);
    expect(marked!.hit / marked!.there).toBeGreaterThan((4 * unmarked!.hit) / unmarked!.there);
  });
});

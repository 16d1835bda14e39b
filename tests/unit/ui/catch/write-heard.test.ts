import { describe, expect, it } from 'vitest';
import type { HeardNote } from '../../../../src/core/heard/types';
import { placeMidi } from '../../../../src/core/phrase/instrument';
import { keyOffers } from '../../../../src/ui/catch/key-offers';
import { fieldsOf, instrumentOf, PLAYED_ON, saidOf } from '../../../../src/ui/catch/said';
import { writeHeard } from '../../../../src/ui/catch/write-heard';

/** Plucked notes a beat apart, the pitches in turn. */
function line(from: number, beat: number, pitches: readonly number[]): readonly HeardNote[] {
  return pitches.map((pitch, i) => {
    const onset = from + i * beat;
    return {
      onset,
      end: onset + 0.9 * beat,
      pitch,
      start: pitch,
      curve: Array.from({ length: 10 }, (_, k) => ({ at: onset + 0.02 * k, midi: pitch })),
      attack: 'pluck',
      muted: false,
      confidence: 0.9,
    };
  });
}

const FREE = line(1, 60 / 80, [60, 62, 64, 65, 67, 65, 64, 62]);
const CLICKED = line(20, 60 / 132, [67, 69, 71, 72, 71, 69, 67, 65]);
const SAID = { lane: '', key: '' };

function write(notes: readonly HeardNote[], said: object = {}, without: readonly number[] = []) {
  const made = writeHeard(
    {
      heard: { notes, dead: [], seconds: 26 },
      playedTo: { bpm: 132, round: (4 * 60) / 132, begin: 20, measured: true },
      names: { newId: () => crypto.randomUUID(), now: '2026-11-27T00:00:00Z', title: 'T' },
      remarks: [],
    },
    { ...SAID, ...said },
    new Set(without),
  );
  if (!made.ok) throw new Error(made.problems[0]!.message);
  return made.value;
}

describe('the key', () => {
  it('has three candidates, the guessed one first, where none is said', () => {
    for (const said of [{}, { lane: 'Dm7 | G7' }, { bpm: 90 }]) {
      for (const without of [[], [0, 9]]) {
        const take = write([...FREE, ...CLICKED], said, without);
        const offers = keyOffers(take);
        expect(offers).toHaveLength(3);
        expect(offers[0]!.key).toBe(take.key);
        expect(write([...FREE, ...CLICKED], { ...said, key: offers[1]!.key }).key).toBe(
          offers[1]!.key,
        );
      }
    }
    expect(keyOffers(write(CLICKED, { key: 'C' }))).toEqual([]);
  });
});

describe('what it was played on', () => {
  it('has the strings that are said, and leaves out what they cannot play', () => {
    const low = line(20, 60 / 132, [28, 33, 40, 43]);
    const bass = write(low, { instrument: 'Bass' });
    expect(bass.phrases[0]!.phrase.instrument.tuning).toHaveLength(4);
    const pitches = bass.phrases.flatMap(({ phrase }) =>
      phrase.voices[0].events.flatMap((e) => e.notes.map((n) => placeMidi(phrase.instrument, n))),
    );
    expect(pitches).toEqual([28, 33, 40, 43]);
    expect(
      write(low).phrases.flatMap((c) => c.phrase.voices[0].events.flatMap((e) => e.notes)),
    ).toHaveLength(2);
  });

  it('is said by name, and each name is understood', () => {
    for (const [words, instrument] of Object.entries(PLAYED_ON)) {
      const fields = {
        instrument: words,
        tempo: '',
        meter: '4/4',
        lane: '',
        key: '',
        otherwise: [],
      };
      expect(fieldsOf(saidOf(fields))).toEqual(fields);
      expect(instrumentOf(saidOf(fields))).toEqual(instrument);
    }
  });
});

describe('what was played freely and then to a click', () => {
  // The page says the tempo of the click as soon as that begins.
  it.each([{}, { bpm: 132 }])('has two tempos, each of its own part: said %j', (said) => {
    const take = write([...FREE, ...CLICKED], said);
    expect(take).toMatchObject({ bpm: 132, toClock: true, bpmBefore: 80 });
    expect(
      take.phrases.map((p) => [p.phrase.meta.title.split(':')[0], p.phrase.tempo.bpm]),
    ).toEqual([
      ['T, 1', 80],
      ['T, 2', 132],
    ]);
    for (const { phrase } of take.phrases) {
      expect(phrase.voices[0].events.every((e) => e.onset % 10_080 === 0)).toBe(true);
    }
    expect(take.bars.filter((b) => b < 18).every((b, i) => Math.abs(b - 1 - 3 * i) < 0.02)).toBe(
      true,
    );
    expect(take.bars).toContainEqual(expect.closeTo(20, 6));
    expect(take.bars).toEqual([...take.bars].sort((a, b) => a - b));
  });

  it('has one where there is but one part, or where one is said', () => {
    expect(write(CLICKED)).toMatchObject({ bpm: 132, toClock: true, bpmBefore: null });
    expect(write(FREE)).toMatchObject({ bpm: 80, toClock: false, bpmBefore: null });
    const said = write([...FREE, ...CLICKED], { bpm: 100 });
    expect(said).toMatchObject({ bpm: 100, toClock: false, bpmBefore: null });
    // So that the fields can say it again when somebody goes back to what was written.
    expect(said.said).toEqual({ lane: '', key: '', bpm: 100 });
    const numbers = CLICKED.map((_, i) => FREE.length + i);
    expect(write([...FREE, ...CLICKED], {}, numbers)).toMatchObject({ bpm: 80, bpmBefore: null });
  });
});

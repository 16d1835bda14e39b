import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPlayable } from '../../src/core/neck/playable';
import type { Phrase } from '../../src/core/phrase/types';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { arbPhrase, FEATURES, INSTRUMENTS, seededPhrase } from '../support/arbitrary';

describe('generated phrases', () => {
  it('are valid, wherever on the neck', () => {
    for (let seed = 0; seed < 800; seed++) {
      expect(checkPhrase(seededPhrase(seed, { playable: seed % 2 === 0 })), `seed ${seed}`).toEqual(
        [],
      );
    }
  }, 20_000);

  it('are playable unless asked otherwise (N3)', () => {
    let wild = 0;
    for (let seed = 0; seed < 200; seed++) {
      expect(checkPlayable(seededPhrase(seed)), `seed ${seed}`).toEqual([]);
      if (checkPlayable(seededPhrase(seed, { playable: false })).length > 0) wild++;
    }
    expect(wild).toBeGreaterThan(60);
  }, 20_000);

  it('depend on the seed and nothing else', () => {
    expect(seededPhrase(77)).toEqual(seededPhrase(77));
    expect(new Set([1, 2, 3, 4, 5].map((s) => JSON.stringify(seededPhrase(s)))).size).toBe(5);
  });

  it.each(FEATURES)('can leave out: %s', (feature) => {
    for (let seed = 0; seed < 40; seed++) {
      const p = seededPhrase(seed, { without: [feature], playable: false });
      expect(checkPhrase(p), `seed ${seed}`).toEqual([]);
      expect(SHOWS[feature](p), `seed ${seed}`).toBe(false);
    }
  });

  it('hold every feature often', () => {
    const counts = new Map(FEATURES.map((f) => [f, 0]));
    for (let seed = 0; seed < 600; seed++) {
      const p = seededPhrase(seed);
      for (const f of FEATURES) if (SHOWS[f](p)) counts.set(f, counts.get(f)! + 1);
    }
    for (const [feature, count] of counts) expect(count, feature).toBeGreaterThan(30);
  });

  it('use every instrument and every chord kind they know', () => {
    const names = new Set<string>();
    const suffixes = new Set<string>();
    for (let seed = 0; seed < 1_500; seed++) {
      const p = seededPhrase(seed, { maxEvents: 0 });
      names.add(p.instrument.name);
      for (const c of p.chords)
        if (c.symbol !== null)
          suffixes.add(c.symbol.replace(/^[A-G][b#]*/, '').replace(/\/[A-G].*/, ''));
    }
    expect([...names].sort()).toEqual(INSTRUMENTS.map((i) => i.name).sort());
    expect(suffixes.size).toBeGreaterThanOrEqual(40);
  });
});

describe('arbPhrase', () => {
  it('makes a failing phrase small', () => {
    const holdsBend = (p: Phrase) =>
      p.voices.some((v) =>
        v.events.some((e) => e.notes.some((n) => n.kind === 'pitched' && n.bend !== undefined)),
      );
    const result = fc.check(
      fc.property(arbPhrase(), (p) => !holdsBend(p)),
      { seed: 11, numRuns: 200 },
    );
    expect(result.failed).toBe(true);
    const [smallest] = result.counterexample!;
    expect(holdsBend(smallest)).toBe(true);
    expect(smallest.voices).toHaveLength(1);
    expect(smallest.bars).toHaveLength(1);
    const events = smallest.voices[0].events;
    expect(events.slice(0, -1).every((e) => e.notes.every((n) => !('bend' in n)))).toBe(true);
    expect(smallest.marks).toEqual([]);
    expect(smallest.chords).toEqual([]);
  });

  it('keeps to its options', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2, without: ['second voice', 'bends'] }), (p) => {
        expect(p.bars.length).toBeLessThanOrEqual(2);
        expect(p.voices).toHaveLength(1);
        expect(checkPhrase(p)).toEqual([]);
      }),
      { seed: 12, numRuns: 200 },
    );
  });
});

type Look = (p: Phrase) => boolean;

const notes = (p: Phrase) => p.voices.flatMap((v) => v.events.flatMap((e) => e.notes));
const events = (p: Phrase) => p.voices.flatMap((v) => v.events);
const anyNote =
  (field: string): Look =>
  (p) =>
    notes(p).some((n) => field in n);
const anyEvent =
  (...fields: readonly string[]): Look =>
  (p) =>
    events(p).some((e) => fields.some((f) => f in e));

/** Whether a phrase shows the feature. */
const SHOWS: Readonly<Record<(typeof FEATURES)[number], Look>> = {
  tunings: (p) => p.instrument.name !== 'Guitar',
  capo: (p) => p.instrument.capo > 0,
  meters: (p) => p.bars[0]!.meter.beats !== 4 || p.bars[0]!.meter.beatType !== 4,
  'meter changes': (p) =>
    new Set(p.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`)).size > 1,
  pickup: (p) => p.pickup > 0,
  'partial bar': (p) => {
    const full = p.bars.reduce(
      (sum, b) => sum + (b.meter.beats * 40_320) / b.meter.beatType,
      p.pickup,
    );
    return p.length < full;
  },
  repeats: (p) => p.bars.some((b) => b.repeatEnd !== undefined),
  swing: (p) => p.feel.kind === 'swing',
  lane: (p) => p.chords.length > 0,
  'second voice': (p) => p.voices.length === 2,
  tuplets: (p) => p.voices.some((v) => v.tuplets.length > 0),
  'fine rhythm': (p) =>
    p.voices.some((v) =>
      v.events.some(
        (e) =>
          e.onset % 1_260 !== 0 &&
          !v.tuplets.some((t) => t.onset <= e.onset && e.onset < t.onset + t.duration),
      ),
    ),
  'double stops': (p) => events(p).some((e) => e.notes.length === 2),
  chords: (p) => events(p).some((e) => e.notes.length > 2),
  'dead notes': (p) => notes(p).some((n) => n.kind === 'dead'),
  legato: anyNote('attack'),
  bends: anyNote('bend'),
  'slide-ins': anyNote('slideIn'),
  'slide-outs': anyNote('slideOut'),
  vibrato: anyNote('vibrato'),
  trills: anyNote('trill'),
  harmonics: anyNote('harmonic'),
  'bar dips': anyNote('barDip'),
  'ghost notes': anyNote('ghost'),
  'let ring': anyNote('letRing'),
  graces: anyEvent('graces'),
  rakes: anyEvent('rake'),
  strokes: anyEvent('stroke', 'strum', 'tremolo'),
  articulations: anyEvent('staccato', 'accent', 'tenuto', 'palmMute'),
  fingers: (p) => notes(p).some((n) => 'finger' in n || 'pluck' in n),
  anchors: anyNote('anchor'),
  roles: (p) => notes(p).some((n) => 'role' in n || 'anticipation' in n),
  pins: anyNote('pinned'),
  marks: (p) => p.marks.length > 0,
};

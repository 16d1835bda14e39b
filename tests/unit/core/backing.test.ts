import { describe, expect, it } from 'vitest';
import { accompany, whereItRests } from '../../../src/core/backing/accompany';
import { makeBacking } from '../../../src/core/backing/backing';
import { bassSlots } from '../../../src/core/backing/bass-slots';
import { formOfPhrase } from '../../../src/core/backing/form';
import { performBacking } from '../../../src/core/backing/perform-backing';
import { isRhythm } from '../../../src/core/backing/rhythm';
import { BACKING_FEELS } from '../../../src/core/backing/types';
import { perform } from '../../../src/core/sound/perform';
import { chordTones } from '../../../src/core/theory/chord';
import { degreeSemitones } from '../../../src/core/theory/degree';
import { chromaOf } from '../../../src/core/theory/pitch';
import { backingFaults } from '../../support/backing-faults';
import { build } from '../../support/build';
import { FORMS, formNamed, QUALITIES } from '../../support/forms';
import { seededLane } from '../../support/generate-lane';
import { readSamples } from '../../support/samples';

const samples = readSamples();

describe('the band', () => {
  it('plays what it may over every form, in every feel', () => {
    // Two feels a form, so that each meets several metres; the script takes all.
    for (const [i, { name }] of FORMS.entries()) {
      for (const k of [i, i + 3]) {
        const feel = BACKING_FEELS[k % BACKING_FEELS.length]!;
        expect(backingFaults(makeBacking(formNamed(name), { feel })), `${name}, ${feel}`).toEqual(
          [],
        );
      }
    }
  });

  it('plays what it may over the lanes of the samples and over any chords', () => {
    samples.forEach(({ name, phrase }, i) => {
      const feel = BACKING_FEELS[i % BACKING_FEELS.length]!;
      expect(backingFaults(makeBacking(formOfPhrase(phrase), { feel })), name).toEqual([]);
    });
    for (let seed = 1; seed <= 20; seed++) {
      const { form, feel } = seededLane(seed);
      expect(backingFaults(makeBacking(form, { feel, seed })), `lane ${seed}`).toEqual([]);
    }
  });

  it('leads to what the bass begins on where the form is played again, and not to a pickup', () => {
    const form = formNamed('twelve-bar blues');
    const bars = form.bars.map((b) => ({ ...b, number: b.number - 1 }));
    const slots = bassSlots({ ...form, bars }, 'swing', 1, true);
    expect(slots[0]!.at).toBe(form.bars[1]!.start);
    expect(slots.at(-1)!.next).toEqual(slots[0]!.chord);
  });

  it('is the same for the same seed, and another for another', () => {
    const form = formNamed('twelve-bar blues');
    const one = makeBacking(form, { feel: 'swing', seed: 5 });
    expect(makeBacking(form, { feel: 'swing', seed: 5 })).toEqual(one);
    expect(makeBacking(form, { feel: 'swing', seed: 6 }).bass).not.toEqual(one.bass);
  });

  it('sounds what makes a chord what it is, in every quality (KIND_TONES: W3C MusicXML 4.0)', () => {
    for (const q of QUALITIES) {
      const form = formNamed(q);
      const { chord } = form.chords[0]!;
      const { comping, bass } = makeBacking(form, { feel: 'ballad' });
      const heard = new Set([...comping[0]!.voices, bass[0]!].map((n) => n.midi % 12));
      const root = form.chords[0]!.chord!.root;
      expect(root.letter).toBe('C');
      // Of four tones or fewer none is missing; of more only a perfect fifth, an eleventh's third, or colours.
      const missing = chordTones(chord!).filter((d) => !heard.has((degreeSemitones(d) + 12) % 12));
      const all = chordTones(chord!).length;
      expect(missing.length, `${q} lacks ${JSON.stringify(missing)}`).toBeLessThanOrEqual(
        Math.max(0, all - 4),
      );
    }
  });

  it('keeps the clock of the phrase, swing and repeats included', () => {
    for (const { name, phrase } of samples) {
      const played = perform(phrase);
      const form = formOfPhrase(phrase);
      expect(form.length * played.secondsPerTick, name).toBeCloseTo(played.length, 9);
      const parts = performBacking(makeBacking(form, { feel: 'shuffle' }), played);
      const all = [...(parts.bass?.sounds ?? []), ...(parts.comping?.sounds ?? []), ...parts.drums];
      for (const s of all) expect(s.onset).toBeLessThan(played.length);
      const strings = new Map<string, number>();
      for (const [part, list] of Object.entries({ bass: parts.bass, comping: parts.comping })) {
        for (const s of list?.sounds ?? []) {
          const key = `${part} ${s.string}`;
          expect(s.onset, `${name}: one sound a string at a time`).toBeGreaterThanOrEqual(
            (strings.get(key) ?? 0) - 1e-9,
          );
          expect(s.length).toBeGreaterThan(0);
          strings.set(key, s.onset + s.length);
        }
      }
    }
  });

  it('plays a rhythm of one’s own over every chord, each note in its role (M2)', () => {
    // ♭7, 3 and 5 of G7 on two and four.
    const rhythm = build('q - 4/3+3/4+2/3 - 4/3+3/4+2/3', { key: 'G blues', chords: 'G7 |' });
    const form = formNamed('twelve-bar blues');
    const perTick = 1 / 10_080;
    const parts = performBacking(makeBacking(form, { feel: 'shuffle', rhythm }), {
      secondsPerTick: perTick,
    });
    const own = parts.comping!.sounds;
    expect(own).toHaveLength(12 * 2 * 3);
    for (const s of own) {
      const { chord } = form.chords.find((c) => c.start <= s.tick && s.tick < c.end)!;
      const over = (s.midi - chromaOf(chord!.root) + 120) % 12;
      expect([10, 4, 7]).toContain(over);
      expect(Math.round(s.onset) % 4 === 1 || Math.round(s.onset) % 4 === 3).toBe(true);
    }
  });

  it('leads a rhythm of one’s own: the octave of each chord is the one that moves it least', () => {
    // A triad of C in the middle of the neck; F lies above it, G nearer below it, and nearer still to F above.
    const rhythm = build('q - 3/5+2/5+1/3 - 3/5+2/5+1/3', { key: 'C', chords: 'C |' });
    const phrase = build('w 3/5 3/5 3/5 3/5', { key: 'C', chords: 'C | F | G | F |' });
    const { comping } = accompany(phrase, { feel: 'straight', rhythm });
    const strokes = new Map<number, number>();
    for (const s of comping!.sounds) {
      strokes.set(s.tick, Math.max(s.midi, strokes.get(s.tick) ?? 0));
    }
    expect([...strokes.values()]).toEqual([67, 67, 72, 72, 74, 74, 72, 72]);
    expect(whereItRests(phrase, { feel: 'straight', rhythm })).toEqual({ over: [], all: false });
    const waltz = build('q - 3/5+2/5 -', { key: 'C', chords: 'C |', meter: '3/4' });
    expect(whereItRests(phrase, { feel: 'straight', rhythm: waltz }).all).toBe(true);
    expect([isRhythm(rhythm), isRhythm(phrase)]).toEqual([true, false]);
  });

  it('swings with the phrase: second eighths lie where those of the phrase lie (T3)', () => {
    const phrase = samples.find(
      ({ phrase: p }) => p.feel.kind === 'swing' && p.chords.length > 0,
    )!.phrase;
    if (phrase.feel.kind !== 'swing') throw new Error('a phrase that swings');
    const { first, second } = phrase.feel;
    const form = formOfPhrase(phrase);
    const { drums } = performBacking(makeBacking(form, { feel: 'swing' }), { secondsPerTick: 1 });
    const bar = form.bars.find((b) => b.number > 0)!;
    const rides = drums.filter((d) => d.drum === 'ride').map((d) => (d.onset - bar.start) / 10_080);
    const off = rides.filter((r) => Math.abs(r - Math.round(r)) > 1e-6).map((r) => r % 1);
    expect(off.length).toBeGreaterThan(0);
    for (const r of off) expect(r).toBeCloseTo(first / (first + second), 4);
  });
});

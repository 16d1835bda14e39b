import { describe, expect, it } from 'vitest';
import { accompany, whereItRests } from '../../src/core/backing/accompany';
import { compPart } from '../../src/core/backing/comp-part';
import { leadVoices, MOST_MOTION } from '../../src/core/backing/comping';
import { formOfPhrase } from '../../src/core/backing/form';
import { isRhythm } from '../../src/core/backing/rhythm';
import type { Voicing } from '../../src/core/backing/voicings';
import { layForm } from '../../src/core/form/lay';
import { STANDARD_FORMS } from '../../src/core/form/standard';
import { laneOf, layLane, storeLane } from '../../src/core/move/lane';
import { checkPlayable } from '../../src/core/neck/playable';
import { barSpans, meterTicks } from '../../src/core/phrase/time';
import type { Phrase } from '../../src/core/phrase/types';
import { perform } from '../../src/core/sound/perform';
import type { Sound } from '../../src/core/sound/types';
import { tonesOf } from '../../src/core/theory/chord-model';
import { type DegreeNumber, degreeSemitones } from '../../src/core/theory/degree';
import { parseKey } from '../../src/core/theory/key';
import { chromaOf, midiOf, mod } from '../../src/core/theory/pitch';
import { build } from '../support/build';
import { readSamples } from '../support/samples';
import { THOROUGH } from '../support/thorough';

const rhythms = readSamples()
  .map((s) => s.phrase)
  .filter((p) => isRhythm(p));
const birth = { id: 'comping', now: '2026-01-01T00:00:00Z', title: 'Comping' };

/** A phrase without notes over a form. */
function over(id: string, key: string, tonic: Phrase): Phrase | null {
  const form = layForm(STANDARD_FORMS.find((f) => f.id === id)!, parseKey(key)!.tonic);
  if (!form.ok) return null;
  const { meter, feel } = form.value.form;
  const bars = form.value.bars.map(() => ({ meter }));
  const length = meterTicks(meter) * bars.length;
  const laid = layLane({ pickup: 0, bars, length }, form.value.bars);
  if (!laid.ok) return null;
  return {
    ...{ ...tonic, id: 'solo', key: form.value.key, feel, pickup: 0, bars, length },
    chords: storeLane(laid.value),
    voices: [{ events: [], tuplets: [] }],
    marks: [],
  };
}

describe('comping from a rhythm of the library', () => {
  it('strikes tones of its chords at the strokes of the rhythm, and leads the voices', () => {
    let made = 0;
    let far = 0;
    let moves = 0;
    for (const { id } of STANDARD_FORMS) {
      for (const key of THOROUGH ? ['A', 'Eb', 'F#'] : ['Eb']) {
        for (const rhythm of rhythms) {
          const under = over(id, key, rhythm);
          if (under === null) continue;
          const part = compPart(under, rhythm, birth);
          if (!part.ok) {
            expect(part.problems[0]!.message).toMatch(/ is in \d+\/\d+ and |metre changes/u);
            continue;
          }
          made++;
          const { phrase } = part.value;
          expect(checkPlayable(phrase)).toEqual([]);
          expect([phrase.bars, phrase.length, phrase.chords]).toEqual([
            under.bars,
            under.length,
            under.chords,
          ]);
          const lane = laneOf(under);
          const chordAt = (at: number) => lane.filter((c) => c.onset <= at).at(-1)!;
          const nextAt = (at: number) => lane.find((c) => c.onset > at);
          // Each stroke of the rhythm, bar after bar of it, and nothing else.
          const own = barSpans(rhythm).filter((s) => s.number > 0);
          const wanted = barSpans(under).flatMap((bar) => {
            const from = own[(bar.number - 1) % own.length]!;
            return rhythm.voices[0].events
              .filter((e) => e.onset >= from.start && e.onset < from.end)
              .map((e) => ({ ...e, onset: e.onset - from.start + bar.start }))
              .filter((e) => e.onset < bar.end);
          });
          const events = phrase.voices[0].events;
          expect(events.map((e) => e.onset)).toEqual(wanted.map((e) => e.onset));
          expect(events.map((e) => [e.stroke, e.strum, e.palmMute, e.accent])).toEqual(
            wanted.map((e) => [e.stroke, e.strum, e.palmMute, e.accent]),
          );
          let before: { readonly chord: unknown; readonly midis: readonly number[] } | null = null;
          for (const [i, e] of events.entries()) {
            const w = wanted[i]!;
            const change = nextAt(e.onset);
            const pushed =
              change !== undefined &&
              change.onset - e.onset <= 5_040 &&
              w.onset + w.duration > change.onset &&
              e.onset + e.duration > change.onset;
            const { chord } = pushed ? change : chordAt(e.onset);
            // Its length is the rhythm's, or ends with its chord or at the next stroke.
            if (e.duration !== w.duration) {
              const ends = [events[i + 1]?.onset, ...lane.map((c) => c.onset), under.length];
              expect(e.duration).toBeLessThan(w.duration);
              expect(ends).toContain(e.onset + e.duration);
            }
            const tones = new Set(
              tonesOf(chord!).map((t) =>
                mod(
                  chromaOf(chord!.root) +
                    degreeSemitones({
                      number: (t.value > 7 ? t.value - 7 : t.value) as DegreeNumber,
                      alter: t.alter,
                    }),
                  12,
                ),
              ),
            );
            const midis = e.notes.flatMap((n) => (n.kind === 'pitched' ? [midiOf(n.pitch)] : []));
            for (const m of midis) expect(tones).toContain(mod(m, 12));
            const sorted = [...midis].sort((a, b) => a - b);
            if (
              before !== null &&
              before.midis.length === sorted.length &&
              before.chord !== chord
            ) {
              for (const [v, m] of sorted.entries()) {
                moves++;
                if (Math.abs(m - before.midis[v]!) > MOST_MOTION) far++;
              }
            }
            if (sorted.length > 0) before = { chord, midis: sorted };
          }
        }
      }
    }
    expect(made).toBeGreaterThan(10);
    expect(moves).toBeGreaterThan(200);
    expect(far).toBe(0);
  });

  it('keeps the hand within four frets of where it was, over every form (common practice: least motion)', () => {
    const hand = (v: Voicing) => Math.min(...v.voices.map((x) => x.fret));
    let changes = 0;
    for (const { id } of STANDARD_FORMS) {
      for (const key of ['A', 'Eb', 'F#']) {
        const under = over(id, key, rhythms[0]!);
        if (under === null) continue;
        const grips = leadVoices(formOfPhrase(under).chords, 1);
        for (const [i, grip] of grips.entries()) {
          const before = grips[i - 1];
          if (before == null || grip === null) continue;
          changes++;
          expect(Math.abs(hand(grip) - hand(before))).toBeLessThanOrEqual(4);
        }
      }
    }
    expect(changes).toBeGreaterThan(300);
  });

  it('strikes the third and the seventh of a chord with two notes (common practice: guide tones)', () => {
    const rhythm = build('q 2/5+3/5 2/5+3/5 2/5+3/5 2/5+3/5', { chords: 'A7' });
    const chords = 'Dm7 G7 | Cmaj7 C6 | A7sus4 A7 | Bm7b5 E5';
    const under = build('w 3/5 | w 3/5 | w 3/5 | w 3/5', { chords });
    const part = compPart(under, rhythm, birth);
    if (!part.ok) throw new Error(part.problems[0]!.message);
    const lane = laneOf(under);
    const struck = part.value.phrase.voices[0].events.map((e) => {
      const { root } = lane.filter((c) => c.onset <= e.onset).at(-1)!.chord!;
      const over = e.notes.map((n) =>
        n.kind === 'pitched' ? mod(midiOf(n.pitch) - chromaOf(root), 12) : -1,
      );
      return over.sort((a, b) => a - b).join(' ');
    });
    const each = ['3 10', '4 10', '4 11', '4 9', '5 10', '4 10', '3 10'];
    expect(struck.filter((_, i) => i % 2 === 0).slice(0, 7)).toEqual(each);
    // A power chord has neither.
    expect(struck.at(-1)).toBe('0 7');
  });

  it('does not go under a metre that counts otherwise, though it lasts as long', () => {
    const rhythm = build('e 3/5+2/5 3/5+2/5 3/5+2/5 q. 3/5+2/5', { meter: '6/8', chords: 'A7' });
    const under = build('q 3/5 3/5 3/5', { meter: '3/4', chords: 'A7' });
    const part = compPart(under, rhythm, birth);
    expect(part.ok ? '' : part.problems[0]!.message).toMatch(/in 6\/8 and .* in 3\/4/u);
    expect(compPart(under, under, birth).ok).toBe(true);
  });

  it('is played by the band as it is written, moment for moment', () => {
    const rhythm = rhythms.find((p) => p.bars[0]!.meter.beats === 4)!;
    const under = over('blues', 'A', rhythm)!;
    const part = compPart(under, rhythm, birth);
    if (!part.ok) throw new Error(part.problems[0]!.message);
    const { phrase } = part.value;
    const band = accompany(under, { feel: 'straight', rhythm: phrase });
    const alone = perform({ ...phrase, feel: { kind: 'straight' } });
    const heard = (all: readonly Sound[]) => all.map((s) => [s.tick, s.midi, s.onset.toFixed(6)]);
    expect(heard(band.comping?.sounds ?? [])).toEqual(heard(alone.sounds));
    expect(whereItRests(under, { feel: 'straight', rhythm: phrase }).over).toEqual([]);
  });

  it('says why it cannot be: another metre, or no stroke', () => {
    const rhythm = rhythms.find((p) => p.bars[0]!.meter.beats === 4)!;
    const in44 = over('blues', 'A', rhythm)!;
    const why = (under: Phrase, r: Phrase) => {
      const part = compPart(under, r, birth);
      return part.ok ? null : part.problems[0]!.message;
    };
    const title = `“${rhythm.meta.title}”`;
    expect(why(over('slow-blues', 'A', rhythm)!, rhythm)).toBe(
      `${title} is in 4/4 and the phrase above it in 12/8`,
    );
    // A rest has no event; what only the second voice strikes is left out.
    const [first] = rhythm.voices;
    const silent = { events: [], tuplets: [] };
    expect(why(in44, { ...rhythm, voices: [silent] })).toMatch(/strikes nothing there/u);
    expect(why(in44, { ...rhythm, voices: [silent, first] })).toMatch(/strikes nothing there/u);
  });
});

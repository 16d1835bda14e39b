import { type MidiEvent, parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { type Phrase, TICKS_PER_QUARTER } from '../../src/core/phrase/types';
import { centsAt } from '../../src/core/sound/curve';
import { velocityOf } from '../../src/core/sound/loudness';
import { perform } from '../../src/core/sound/perform';
import type { Sound } from '../../src/core/sound/types';
import { channelOf, writeMidi } from '../../src/io/midi-out/write';
import { seededPhrase } from '../support/arbitrary';
import { build } from '../support/build';
import { readSamples } from '../support/samples';

/**
 * What a synthesizer would do with a file, by midi-file 1.2.4 (an independent reader) and the rules of
 * MIDI 1.0: bend range from RPN 0, pitch bend of 14 bits about 8192.
 */
interface Played {
  readonly on: number;
  readonly off: number;
  readonly note: number;
  readonly velocity: number;
  /** Ascending; the first at the note's beginning or before. */
  readonly bends: readonly { readonly at: number; readonly cents: number }[];
}

function play(track: readonly MidiEvent[]): { readonly channel: number; readonly notes: Played[] } {
  let at = 0;
  let channel = -1;
  const rpn = { msb: 127, lsb: 127, range: 2 };
  let bend = { at: 0, cents: 0 };
  let open: {
    on: number;
    note: number;
    velocity: number;
    bends: { at: number; cents: number }[];
  } | null = null;
  const notes: Played[] = [];
  for (const e of track) {
    at += e.deltaTime;
    if (e.channel !== undefined && e.meta !== true) channel = e.channel;
    if (e.type === 'controller') {
      if (e.controllerType === 101) rpn.msb = e.value!;
      if (e.controllerType === 100) rpn.lsb = e.value!;
      if (e.controllerType === 6 && rpn.msb === 0 && rpn.lsb === 0) rpn.range = e.value!;
    } else if (e.type === 'pitchBend') {
      // The reader has taken 8192 off.
      bend = { at, cents: (e.value! / 8192) * rpn.range * 100 };
      open?.bends.push(bend);
    } else if (e.type === 'noteOn') {
      expect(open).toBeNull();
      open = { on: at, note: e.noteNumber!, velocity: e.velocity!, bends: [{ ...bend, at }] };
    } else if (e.type === 'noteOff') {
      expect(open?.note).toBe(e.noteNumber);
      notes.push({ ...open!, off: at });
      open = null;
    }
  }
  expect(open).toBeNull();
  return { channel, notes };
}

function checkFile(p: Phrase): number {
  const performance = perform(p);
  const file = parseMidi(writeMidi(p));
  expect(file.header).toMatchObject({ format: 1, ticksPerBeat: TICKS_PER_QUARTER });
  expect(file.tracks.length).toBe(1 + p.instrument.tuning.length);
  const seconds = (ticks: number) => ticks * performance.secondsPerTick;
  let worst = 0;
  p.instrument.tuning.forEach((_, i) => {
    const { channel, notes } = play(file.tracks[i + 1]!);
    expect(channel).toBe(channelOf(i + 1));
    const sounds = performance.sounds.filter((s) => s.string === i + 1);
    expect(notes.length).toBe(sounds.length);
    notes.forEach((n, k) => {
      const s = sounds[k]!;
      expect(n.note).toBe(s.midi);
      expect(n.velocity).toBe(velocityOf(s.level));
      // A tick is less than a tenth of a millisecond.
      expect(Math.abs(seconds(n.on) - s.onset)).toBeLessThan(0.001);
      expect(Math.abs(seconds(n.off) - s.onset - s.length)).toBeLessThan(0.001);
      worst = Math.max(worst, worstCents(n, s, seconds));
    });
  });
  return worst;
}

/** How far the bends are from the curve at a hundred moments of the note. */
function worstCents(n: Played, s: Sound, seconds: (ticks: number) => number): number {
  let worst = 0;
  let i = 0;
  // Between two looks, or two ticks, the curve goes on: the nearest of what it is around the moment counts.
  const around = Math.max(0.000_3, seconds(1.5));
  for (let k = 0; k < 100; k++) {
    const t = ((k + 0.5) / 100) * s.length;
    while (i + 1 < n.bends.length && seconds(n.bends[i + 1]!.at) <= s.onset + t) i++;
    const { cents } = n.bends[i]!;
    const wanted = [t - around, t, t + around].map((x) => centsAt(s, Math.max(0, x)));
    worst = Math.max(worst, cents - Math.max(...wanted), Math.min(...wanted) - cents);
  }
  return worst;
}

describe('MIDI out, read back by midi-file', () => {
  it('every sample: pitches, onsets, lengths, velocities, and bends within a cent', () => {
    for (const { phrase } of readSamples()) expect(checkFile(phrase)).toBeLessThan(1);
  });

  it('generated phrases with every technique', () => {
    for (let seed = 0; seed < 150; seed++) expect(checkFile(seededPhrase(seed))).toBeLessThan(1.2);
  });

  it('declares tempo, meter, key, chords and degrees', () => {
    const p = build('e 3/5(bend:D4) 3/5 q 2/5 h 1/5 | w 1/8', {
      key: 'G minor',
      chords: 'C7 | F7',
      meter: '4/4',
      tempo: { bpm: 90, unit: 'quarter' },
    });
    const track = parseMidi(writeMidi(p)).tracks[0]!;
    const find = (type: string) => track.filter((e) => e.type === type);
    expect(find('setTempo')[0]?.microsecondsPerBeat).toBe(666_667);
    expect(find('keySignature')[0]).toMatchObject({ key: -2, scale: 1 });
    expect(find('timeSignature')[0]).toMatchObject({ numerator: 4, denominator: 4 });
    expect(find('marker').map((e) => e.text)).toEqual(['C7', 'F7']);
    expect(find('lyrics').map((e) => e.text)).toEqual(['R-2', 'R', '3', '6', '5']);
  });

  it('plays repeats and leaves the tenth channel to the drums', () => {
    expect([1, 9, 10].map(channelOf)).toEqual([0, 8, 10]);
    const p = build('w 3/5');
    const twice = { ...p, bars: [{ ...p.bars[0]!, repeatEnd: 2 }] };
    expect(play(parseMidi(writeMidi(twice)).tracks[3]!).notes.map((n) => n.on)).toEqual([
      0, 40_320,
    ]);
  });
});

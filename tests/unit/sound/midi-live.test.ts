import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { accompany } from '../../../src/core/backing/accompany';
import { type Parts, USUAL_MIX } from '../../../src/core/sound/parts';
import { perform } from '../../../src/core/sound/perform';
import { toneOf } from '../../../src/core/sound/tone';
import { writeMidi } from '../../../src/io/midi-out/write';
import { midiSink } from '../../../src/sound/midi-live/midi-sink';
import { MidiSender } from '../../../src/sound/midi-live/port';
import { scheduleMidi } from '../../../src/sound/midi-live/schedule';
import { readSamples } from '../../support/samples';

const phrase = readSamples().find((s) => s.name.startsWith('04'))!.phrase;
const played = perform(phrase);
const parts: Parts = {
  phrase: { instrument: phrase.instrument, tone: toneOf(phrase), sounds: played.sounds },
  backing: accompany(phrase, { feel: 'twelve-eight' }),
  click: [],
  length: played.length,
};

describe('MIDI to an instrument that is connected', () => {
  it('is the notes of the file, channel by channel, at their seconds', () => {
    const live = scheduleMidi({ ...parts, backing: null });
    const file = parseMidi(writeMidi(phrase));
    const written = file.tracks.flatMap((t) => {
      let at = 0;
      return t.flatMap((e) => {
        at += e.deltaTime;
        return e.type === 'noteOn'
          ? [`${e.channel} ${e.noteNumber} ${(at * played.secondsPerTick).toFixed(3)}`]
          : [];
      });
    });
    const sent = live
      .filter((m) => m.bytes[0]! >> 4 === 9)
      .map((m) => `${m.bytes[0]! & 15} ${m.bytes[1]} ${m.at.toFixed(3)}`);
    expect(sent.sort()).toEqual(written.sort());
    expect(live.map((m) => m.at)).toEqual([...live.map((m) => m.at)].sort((a, b) => a - b));
  });

  it('ends every note that it begins, and never strikes a key that sounds', () => {
    const open = new Set<number>();
    for (const { bytes } of scheduleMidi(parts)) {
      const [status = 0, key = 0] = bytes;
      const name = (status & 15) * 128 + key;
      if (status >> 4 === 9) {
        if ((status & 15) !== 9) expect(open.has(name)).toBe(false);
        open.add(name);
      } else if (status >> 4 === 8) open.delete(name);
    }
    expect([...open]).toEqual([]);
  });

  const recorder = (more: { clear?: () => void } = {}) => {
    const sent: { data: number[]; time: number | undefined }[] = [];
    const send = (data: number[], time?: number) => void sent.push({ data, time });
    return { sent, out: { send, ...more } };
  };

  it('is sent a quarter of a second ahead, and stops at once', () => {
    let cleared = 0;
    const { sent, out } = recorder({ clear: () => cleared++ });
    const sender = new MidiSender(out);
    sender.add(scheduleMidi(parts), 1000);
    expect(sender.send(1000)).toBe(true);
    expect(Math.max(...sent.map((s) => s.time!))).toBeLessThanOrEqual(1250);
    const before = sent.length;
    expect(sender.stop(1000)).toBe(1000);
    expect(cleared).toBe(1);
    expect(sent.slice(before).filter((s) => s.data[1] === 123)).toHaveLength(16);
    expect(sender.send(9_000)).toBe(false);
  });

  it('ends what was sent ahead as it begins, where nothing can be taken back', () => {
    const { sent, out } = recorder();
    const sender = new MidiSender(out);
    const waiting = scheduleMidi(parts).filter((m) => m.loud !== undefined && m.at > 0);
    sender.add(waiting, 1000);
    const first = waiting[0]!;
    const now = 1000 + 1000 * first.at - 200;
    sender.send(now);
    const begun = sent.filter((s) => s.data[0]! >> 4 === 9);
    expect(begun.length).toBeGreaterThan(0);
    const silent = sender.stop(now);
    for (const { data, time } of begun) {
      const off = [0x80 | (data[0]! & 15), data[1], 64];
      expect(sent.filter((s) => s.time === time).map((s) => s.data)).toContainEqual(off);
      expect(silent).toBeGreaterThanOrEqual(time!);
    }
  });

  it('is as loud as the mixer says, and beats the metronome on wood', () => {
    const { sent, out } = recorder();
    const click = [
      { beat: 'first', onset: 0, level: 0 },
      { beat: 'part', onset: 0.1, level: 0 },
    ] as const;
    const sender = new MidiSender(out);
    sender.add(scheduleMidi({ ...parts, backing: null, click }), 0);
    sender.send(100_000, {
      ...USUAL_MIX,
      phrase: Number.NEGATIVE_INFINITY,
      click: USUAL_MIX.click + 3,
    });
    const notes = sent.filter((s) => s.data[0]! >> 4 === 9).map((s) => s.data);
    expect(notes).toEqual([
      [0x99, 76, 92],
      [0x99, 77, 72],
    ]);
  });

  it('tells a program once, takes bends back at the end, and begins again after what is taken back', () => {
    const { sent, out } = recorder();
    let clock = 1000;
    let tick: (() => void) | null = null;
    const sink = midiSink(
      out,
      () => clock,
      (t) => {
        tick = t;
        return () => {
          tick = null;
        };
      },
    );
    const length = parts.length;
    sink.play({ ...parts, backing: null }, sink.soonest());
    const start = 1.04;
    sink.play({ ...parts, backing: null }, start + length);
    for (; tick !== null && clock < 60_000; clock += 100) (tick as () => void)();
    expect(tick).toBeNull();
    const strings = phrase.instrument.tuning.length;
    expect(sent.filter((s) => s.data[0]! >> 4 === 12)).toHaveLength(strings);
    const notes = sent.filter((s) => s.data[0]! >> 4 === 9);
    expect(notes).toHaveLength(2 * played.sounds.length);
    const before = sent.length;
    sink.rest();
    expect(sent.slice(before)).toHaveLength(32);
    sink.rest();
    expect(sent.slice(before)).toHaveLength(32);
    sink.play({ ...parts, backing: null }, sink.soonest());
    const ahead = Math.max(...sent.filter((s) => s.data[0]! >> 4 === 9).map((s) => s.time!));
    sink.stop();
    expect(sink.soonest()).toBeGreaterThanOrEqual(ahead / 1000);
  });
});

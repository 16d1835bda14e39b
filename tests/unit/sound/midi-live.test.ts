import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { accompany } from '../../../src/core/backing/accompany';
import type { Parts } from '../../../src/core/sound/parts';
import { perform } from '../../../src/core/sound/perform';
import { toneOf } from '../../../src/core/sound/tone';
import { writeMidi } from '../../../src/io/midi-out/write';
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

  it('is sent a quarter of a second ahead, and stops at once', () => {
    const sent: { data: number[]; time: number | undefined }[] = [];
    const out = { send: (data: number[], time?: number) => void sent.push({ data, time }) };
    const sender = new MidiSender(out, scheduleMidi(parts), 1000);
    expect(sender.send(1000)).toBe(true);
    expect(Math.max(...sent.map((s) => s.time!))).toBeLessThanOrEqual(1250);
    const before = sent.length;
    sender.stop();
    expect(sent.slice(before).filter((s) => s.data[1] === 123)).toHaveLength(16);
    expect(sender.send(9_000)).toBe(false);
  });
});

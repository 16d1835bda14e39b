import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';

const SAMPLE = readSamples()[0]!.text;

async function convert(name: string, ...more: string[]) {
  const io = memoryIo({ files: { 'a.json': SAMPLE } });
  const code = await run(['convert', 'a.json', '-o', name, ...more], io);
  return { code, bytes: io.disk.get(name), said: io.stderr() };
}

describe('MIDI and sound from the command line', () => {
  it('writes a Standard MIDI File, slower where asked', async () => {
    const tempo = async (...more: string[]) => {
      const { code, bytes } = await convert('a.mid', ...more);
      expect(code).toBe(0);
      const events = parseMidi(bytes!).tracks[0]!;
      return events.find((e) => e.type === 'setTempo')!.microsecondsPerBeat!;
    };
    expect((await tempo('--speed', '50')) / (await tempo())).toBeCloseTo(2, 4);
  });

  it('writes PCM of 16 bits at 44,100 Hz that is as long as the phrase, and sounds (RIFF WAVE)', async () => {
    const { code, bytes } = await convert('a.wav', '--tone', 'steel');
    expect(code).toBe(0);
    const view = new DataView(bytes!.buffer, bytes!.byteOffset);
    expect(new TextDecoder().decode(bytes!.subarray(0, 4))).toBe('RIFF');
    expect(view.getUint32(4, true)).toBe(bytes!.length - 8);
    expect([view.getUint16(20, true), view.getUint16(22, true)]).toEqual([1, 1]);
    expect([view.getUint32(24, true), view.getUint16(34, true)]).toEqual([44_100, 16]);
    const samples = view.getUint32(40, true) / 2;
    // Two bars of four quarters at 104, and 1.5 s to ring on.
    expect(samples / 44_100).toBeCloseTo((8 * 60) / 104 + 1.5, 3);
    let most = 0;
    for (let i = 0; i < samples; i++)
      most = Math.max(most, Math.abs(view.getInt16(44 + 2 * i, true)));
    expect(most).toBeGreaterThan(1000);
    expect(most).toBeLessThan(32_000);
  });

  it('says what is wrong with a speed or a tone', async () => {
    for (const more of [
      ['--speed', '10'],
      ['--tone', 'kazoo'],
      ['--swing', 'maybe'],
    ]) {
      const { code, bytes, said } = await convert('a.wav', ...more);
      expect(code).toBe(2);
      expect(bytes).toBeUndefined();
      expect(said).toContain(more[0]);
    }
  });
});

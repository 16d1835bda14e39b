import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { encodePhrase } from '../../../src/io/json';
import { readWav } from '../../../src/io/wav/read';
import { build } from '../../support/build';
import { memoryIo } from '../../support/memory-io';

const LINE = encodePhrase(build('q 3/5 3/7 2/5 2/8', { chords: 'C7', key: 'C', title: 'Slip' }));
const RHYTHM = encodePhrase(build('q - 3/5+2/5+1/3 - 3/5+2/5+1/3', { chords: 'C', key: 'C' }));

async function convert(...args: string[]) {
  const io = memoryIo({ files: { 'a.json': LINE, 'rhythm.json': RHYTHM } });
  const code = await run(['convert', 'a.json', ...args], io);
  return { code, out: io.stdout(), err: io.stderr(), disk: io.disk };
}

/** MIDI numbers of the notes begun, ascending, by midi-file 1.2.4, an independent reader. */
function pitchesOf(bytes: Uint8Array): readonly number[] {
  return parseMidi(bytes)
    .tracks.flat()
    .flatMap((e) => (e.type === 'noteOn' ? [e.noteNumber!] : []))
    .sort((x, y) => x - y);
}

describe('convert --apart', () => {
  it('writes a file for each key of a cycle, each moved by its interval', async () => {
    const { code, disk } = await convert('-o', 'x.mid', '--rounds', 'C,F,Bb', '--apart');
    expect(code).toBe(0);
    const names = [...disk.keys()].filter((n) => n.endsWith('.mid'));
    expect(names).toEqual(['x-1-C.mid', 'x-2-F.mid', 'x-3-Bb.mid']);
    const [c, f, b] = names.map((n) => pitchesOf(disk.get(n)!));
    expect(c).toEqual([60, 62, 64, 67]);
    // A fourth is 5 semitones up or 7 down, a minor seventh 10 up or 2 down.
    const mod = (list: readonly number[]) => list.map((m, i) => (((m - c![i]!) % 12) + 12) % 12);
    expect(mod(f!)).toEqual([5, 5, 5, 5]);
    expect(mod(b!)).toEqual([10, 10, 10, 10]);
  });

  it('says what a chord of another kind makes of a note', async () => {
    const { err } = await convert('-o', 'x.mid', '--rounds', 'C7,Fm7', '--apart');
    expect(err).toContain('Fm7: 3 becomes ♭3: that is how Fm7 has it (bar 1, beat 3)');
    expect(err).not.toContain('C7: ');
  });

  it('goes with rounds only, and bits with sound only', async () => {
    const lone = await convert('-o', 'x.mid', '--apart');
    expect([lone.code, lone.disk.has('x.mid')]).toEqual([2, false]);
    expect(lone.err).toContain('--apart goes with --rounds only');
    const idle = await convert('-o', 'x.mid', '--bits', '24');
    expect(idle.err).toContain('--bits means nothing in a .mid file');
  });
});

describe('convert --comping', () => {
  const band = ['-o', 'x.mid', '--backing', 'straight'] as const;
  it('has the band comp with a rhythm of a file, and says what is wrong with it', async () => {
    const own = await convert(...band, '--comping', 'rhythm.json');
    expect(own.code).toBe(0);
    const tracks = parseMidi(own.disk.get('x.mid')!).tracks;
    const comping = tracks.find((t) =>
      t.some((e) => e.type === 'trackName' && e.text === 'Comping'),
    );
    // A triad of C on two and four, moved to C7: its root, third and fifth.
    const keys = comping!.flatMap((e) => (e.type === 'noteOn' ? [e.noteNumber!] : []));
    expect(keys.sort((a, b) => a - b)).toEqual([60, 60, 64, 64, 67, 67]);
    const lone = await convert('-o', 'x.mid', '--comping', 'rhythm.json');
    expect([lone.code, lone.disk.has('x.mid')]).toEqual([2, false]);
    expect(lone.err).toContain('--comping goes with --backing only');
    const gone = await convert(...band, '--comping', 'nowhere.json');
    expect([gone.code, gone.disk.has('x.mid')]).toEqual([2, false]);
    expect(gone.err).toContain("the rhythm 'nowhere.json'");
    expect(gone.err).not.toContain('..');
  });
});

describe('convert --beneath', () => {
  it('writes a rhythm out beneath the phrase, and says where it cannot', async () => {
    const both = await convert('-o', 'x.musicxml', '--beneath', 'rhythm.json');
    expect(both.code, both.err).toBe(0);
    const xml = new TextDecoder().decode(both.disk.get('x.musicxml'));
    expect(xml.match(/<part id=/gu)).toHaveLength(2);
    expect(both.err).not.toContain('nothing went beneath');
    const text = await convert('-o', 'x.quick', '--beneath', 'rhythm.json');
    expect([text.code, text.disk.has('x.quick')]).toEqual([2, false]);
    expect(text.err).toContain('--beneath means nothing in a .quick file');
    const waltz = encodePhrase(build('q 3/5+2/5 - -', { meter: '3/4', chords: 'C', key: 'C' }));
    const io = memoryIo({ files: { 'a.json': LINE, 'waltz.json': waltz } });
    const code = await run(
      ['convert', 'a.json', '-o', 'x.musicxml', '--beneath', 'waltz.json'],
      io,
    );
    expect(code).toBe(0);
    expect(io.stderr()).toContain('nothing went beneath “Slip”');
    const untitled = encodePhrase(build('q 3/5 3/7 2/5', { meter: '3/4', title: '' }));
    const other = memoryIo({ files: { 'b.json': untitled, 'waltz.json': waltz } });
    await run(['convert', 'b.json', '-o', 'x.musicxml', '--beneath', 'waltz.json'], other);
    expect(other.stderr()).toContain('nothing went beneath “Untitled”');
  });
});

describe('convert --bits 24', () => {
  it('writes the same sound in finer steps (RIFF: bits a sample at byte 34)', async () => {
    const coarse = (await convert('-o', 'x.wav')).disk.get('x.wav')!;
    const fine = (await convert('-o', 'x.wav', '--bits', '24')).disk.get('x.wav')!;
    expect([coarse[34], fine[34]]).toEqual([16, 24]);
    expect(fine.length - 44).toBeCloseTo(((coarse.length - 44) * 3) / 2, -1);
    const [a, b] = [readWav(coarse), readWav(fine)];
    if (!a.ok || !b.ok) throw new Error('both are WAV files');
    let off = 0;
    a.value.samples.forEach((x, i) => {
      off = Math.max(off, Math.abs(x - b.value.samples[i]!));
    });
    // Half a step of 16 bits, and never nothing.
    expect(off).toBeLessThan(1 / 2 ** 15);
    expect(off).toBeGreaterThan(0);
  });
});

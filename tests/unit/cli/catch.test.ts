import { describe, expect, it } from 'vitest';
import { otherTempo } from '../../../src/cli/commands/catch';
import { run } from '../../../src/cli/run';
import { notesOf } from '../../../src/core/phrase/walk';
import { apartOf, PLAYED } from '../../../src/io/kinds/file-kinds';
import { readyFor } from '../../../src/io/kinds/kind';
import { decodeLibrary, othersOf } from '../../../src/io/library/decode';
import { writeWav } from '../../../src/io/wav/write';
import { renderPhrase } from '../../../src/sound/render';
import { build } from '../../support/build';
import { memoryIo } from '../../support/memory-io';

const PHRASE = build('q 3/5 e 2/5 e 1/5 q 2/8 q -', {
  tempo: { bpm: 120, unit: 'quarter' },
});
const WAV = writeWav(renderPhrase(PHRASE, { rate: 22_050, tail: 0.3 }), 22_050);

async function degreewise(
  args: readonly string[],
  files: Record<string, Uint8Array | string>,
  folders: readonly string[] = [],
) {
  const io = memoryIo({ files, folders });
  const code = await run(args, io);
  return { code, out: io.stdout(), err: io.stderr(), disk: io.disk };
}

describe('degreewise catch', () => {
  it('lists what was played beside what is written, and writes it', async () => {
    const told = await degreewise(
      ['catch', 'take.wav', '--tempo', '120', '--key', 'C', '--chords', 'I', '--json'],
      { 'take.wav': WAV },
    );
    expect(told.code).toBe(0);
    const { phrases, tempo, key } = JSON.parse(told.out) as {
      phrases: { notes: { written: { pitch: string; onset: number }; played: object }[] }[];
      tempo: object;
      key: object;
    };
    expect(tempo).toMatchObject({ bpm: 120, found: false });
    expect(key).toEqual({ name: 'C', found: false });
    const [first] = phrases;
    expect(first!.notes.map((n) => [n.written.onset, n.written.pitch])).toEqual([
      [0, 'C4'],
      [10_080, 'E4'],
      [15_120, 'A4'],
      [20_160, 'G4'],
    ]);
    expect(first!.notes[3]!.played).toMatchObject({ attack: 'pluck' });
  });

  it('names in JSON the keys that it may be in, and none where one was said', async () => {
    const heard = async (...more: string[]) => {
      const { out } = await degreewise(['catch', 'take.wav', '--tempo', '120', '--json', ...more], {
        'take.wav': WAV,
      });
      return JSON.parse(out) as { key: { name: string }; keys: { key: string; inScale: number }[] };
    };
    const { key, keys } = await heard();
    expect(keys).toHaveLength(3);
    expect(keys[0]!.key).toBe(key.name);
    expect(keys.every((k) => k.inScale > 0.5 && k.inScale <= 1)).toBe(true);
    expect((await heard('--key', 'C')).keys).toEqual([]);
  });

  it('hears a bass where it is told that it is one', async () => {
    // Twice as slow is an octave lower: the low strings of a guitar, played as a bass.
    const tempo = { bpm: 120, unit: 'quarter' } as const;
    const sound = renderPhrase(build('q 6/0 e 6/3 e 5/0 q 5/2 q -', { tempo }), {
      rate: 22_050,
      tail: 0.3,
    });
    const heard = async (...more: string[]) => {
      const { code, out, err } = await degreewise(
        ['catch', 'low.wav', '--tempo', '60', '--key', 'C', '--json', ...more],
        { 'low.wav': writeWav(sound, 11_025) },
      );
      if (code !== 0) return err;
      const { phrases } = JSON.parse(out) as {
        phrases: { notes: { written: { pitch: string } }[] }[];
      };
      return phrases.flatMap((p) => p.notes.map((n) => n.written.pitch));
    };
    expect(await heard('--instrument', 'bass4')).toEqual(['E1', 'G1', 'A1', 'B1']);
    expect(await heard('--instrument', 'lute9')).toMatch(
      /there is no instrument or tuning 'lute9'/u,
    );
  });

  it('writes a library with how each phrase was played, and says what it found', async () => {
    const { code, out, err, disk } = await degreewise(
      ['catch', 'takes/one more.wav', '-o', 'one.json'],
      { 'takes/one more.wav': WAV },
    );
    expect({ code, out }).toEqual({ code: 0, out: 'wrote one.json\n' });
    expect(err).toMatch(/the tempo is found: 120 beats a minute/u);
    expect(err).toMatch(/the key is guessed: /u);
    expect(err).toMatch(/it may also be --key \S+ or --key \S+/u);
    const text = new TextDecoder().decode(disk.get('one.json'));
    await readyFor([PLAYED]);
    const read = decodeLibrary(text);
    if (!read.ok) throw new Error(read.problems[0]!.message);
    const { phrases } = read.value;
    expect(phrases).toMatchObject([
      { meta: { title: expect.stringMatching(/^one more: /u) }, tempo: { bpm: 120 } },
    ]);
    // The player's own times beside the written ones: as they were rendered, at 120 a minute.
    const [played, ...more] = apartOf(othersOf(read.value)).played;
    expect([played?.id, more]).toEqual([phrases[0]!.id, []]);
    const at = played!.sounds.map((s) => s.onset - played!.begin);
    for (const [i, t] of [0, 0.5, 0.75, 1].entries())
      expect(Math.abs(at[i]! - t)).toBeLessThan(0.02);
    const written = notesOf(phrases[0]!).map(({ note }) => note.id);
    expect(played!.sounds.map((s) => s.note)).toEqual(written);
  });

  it('names what it writes into a folder by the recording, without the ending of a sound', async () => {
    const said = ['--tempo', '120', '--key', 'C'];
    const ways = [
      [['--format', 'json'], ['out/take one.json']],
      [['--format', 'quick', '--whole'], ['out/take one.quick']],
    ] as const;
    for (const [how, names] of ways) {
      const { code, disk } = await degreewise(
        ['catch', 'takes/take one.WAV', ...said, ...how, '-o', 'out/'],
        { 'takes/take one.WAV': WAV },
      );
      expect(code).toBe(0);
      expect([...disk.keys()].filter((f) => f.startsWith('out/'))).toEqual(names);
    }
  });

  it('says another reading as it is asked for, with a metre only where the one there is does not go with it', () => {
    const said = (beats: number, beatType: 4 | 8, threes: boolean) =>
      otherTempo({ meter: { beats, beatType }, readings: [{ bpm: 58, threes }] });
    expect(said(4, 4, false)).toBe('--tempo 58');
    expect(said(4, 4, true)).toBe('--tempo 58 --meter 12/8');
    expect(said(6, 8, true)).toBe('--tempo 58');
    expect(said(6, 8, false)).toBe('--tempo 58 --meter 4/4');
    expect(otherTempo({ meter: { beats: 4, beatType: 4 }, readings: [] })).toBeNull();
  });

  it('says what is wrong and what to do', async () => {
    const silent = writeWav(new Float32Array(22_050), 22_050);
    const files = { 'a.wav': silent, 'b.mp3': 'ID3' };
    const cases: readonly (readonly [readonly string[], number, RegExp])[] = [
      [['catch'], 2, /the recording is missing\. Name one WAV file/u],
      [['catch', ''], 2, /the recording is named by nothing\. Name one WAV file; '' is left/u],
      [['catch', 'a.wav', 'b.wav'], 2, /one recording is heard at a time/u],
      [['catch', 'a.wav', '--tempo', '7'], 2, /from 10 to 500/u],
      [['catch', 'a.wav', '--tempo', '0'], 2, /'0' is no value of --tempo/u],
      [['catch', 'a.wav', '--meter', '4/3'], 2, /for example 4\/4 or 12\/8/u],
      [['catch', 'a.wav', '--key', 'H'], 2, /'H' is no key/u],
      [['catch', 'a.wav', '--chords', 'I7 | what'], 2, /in --chords 'I7 \| what', bar 2/u],
      [['catch', 'none.wav'], 1, /there is no such file/u],
      [
        ['catch', 'b.mp3'],
        1,
        /this is MP3, and only WAV is heard here\. Save the sound as a WAV file/u,
      ],
      [['catch', 'a.wav'], 1, /the recording is silent[\s\S]*no note was heard/u],
    ];
    for (const [args, code, says] of cases) {
      const done = await degreewise(args, files);
      expect([args.join(' '), done.code]).toEqual([args.join(' '), code]);
      expect(done.err).toMatch(says);
    }
    const folder = await degreewise(['catch', 'takes'], files, ['takes']);
    expect([folder.code, folder.err]).toEqual([
      1,
      expect.stringContaining('Name one recording in it'),
    ]);
  });
});

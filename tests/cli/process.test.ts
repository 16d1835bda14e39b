import { type SpawnSyncReturns, spawn, spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build as bundle } from 'vite';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { decodePhrase, encodePhrase } from '../../src/io/json';
import { build } from '../support/build';
import { musicalFields } from '../support/musical-fields';
import { readSamples } from '../support/samples';

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), '../..');

/** The program as it is built for users, once for all tests, and a folder to work in. */
let program = '';
let scratch = '';
let work = '';

beforeAll(async () => {
  mkdirSync(join(ROOT, 'dist'), { recursive: true });
  scratch = mkdtempSync(join(ROOT, 'dist', 'cli-test-'));
  await bundle({
    root: ROOT,
    mode: 'cli',
    logLevel: 'silent',
    build: { outDir: join(scratch, 'bin'), emptyOutDir: true },
  });
  program = join(scratch, 'bin', 'degreewise.js');
}, 60_000);

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

beforeEach(() => {
  work = mkdtempSync(join(scratch, 'work-'));
  writeFileSync(join(work, 'a.json'), A);
});

const A = encodePhrase(
  build('q 2/13(bend:D5) e 2/10 2/8 q 3/9 -', { chords: 'D7', key: 'G', title: 'Mooring line' }),
);

function degreewise(args: readonly string[], input?: string): SpawnSyncReturns<string> {
  return spawnSync(process.execPath, [program, ...args], {
    cwd: work,
    encoding: 'utf8',
    timeout: 30_000,
    maxBuffer: 64 * 1024 * 1024,
    env: { PATH: process.env.PATH, LANG: 'en_US.UTF-8' },
    ...(input === undefined ? {} : { input }),
  });
}

function expectNoTrace(r: SpawnSyncReturns<string>): void {
  expect(r.signal).toBeNull();
  expect(r.stdout + r.stderr).not.toMatch(/^ +at |node:internal|\.js:\d+/mu);
}

describe('the built program', () => {
  it('tells its version', () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
    const r = degreewise(['--version']);
    expect([r.status, r.stdout]).toEqual([0, `degreewise ${version}\n`]);
  });

  it('begins as a program of Node', () => {
    expect(readFileSync(program, 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/u);
  });

  it('moves a phrase and writes it whole, once', () => {
    const args = ['move', 'a.json', '--steps', '-2', '-o', 'out/b.mxl'];
    expect(degreewise(args).status).toBe(0);
    expect(readFileSync(join(work, 'out/b.mxl')).subarray(0, 2).toString()).toBe('PK');
    const again = degreewise(args);
    expect(again.status).toBe(2);
    expect(again.stderr).toContain('--force');
    expect(degreewise([...args, '--force']).status).toBe(0);
    // No draft is left beside it.
    expect(readdirSync(join(work, 'out'))).toEqual(['b.mxl']);
  });

  it('reads the standard input and prints JSON', () => {
    const r = degreewise(['show', '--json', '-'], A);
    expect([r.status, r.stderr]).toEqual([0, '']);
    expect(JSON.parse(r.stdout).notes).toHaveLength(4);
  });

  it('converts many files into a folder and leaves out those that are wrong', () => {
    const names = Array.from({ length: 12 }, (_, i) => `p${i}.json`);
    for (const n of names) writeFileSync(join(work, n), A);
    writeFileSync(join(work, 'p5.json'), A.slice(0, 300));
    const r = degreewise(['convert', ...names, '-o', 'out', '--format', 'musicxml']);
    expect(r.status).toBe(1);
    expect(r.stderr).toMatch(/^p5\.json: line \d+:\d+: the text ends too early/u);
    expect(readdirSync(join(work, 'out'))).toHaveLength(11);
  });

  it('keeps musical fields from JSON to MusicXML and back', () => {
    expect(degreewise(['convert', 'a.json', '-o', 'a.musicxml']).status).toBe(0);
    expect(degreewise(['convert', 'a.musicxml', '-o', 'b.json']).status).toBe(0);
    const [one, two] = [A, readFileSync(join(work, 'b.json'), 'utf8')].map((t) => {
      const read = decodePhrase(t);
      return read.ok ? { ...read.value, meta: null } : read;
    });
    expect(two).toEqual(one);
  });

  it('stops quietly when its reader has seen enough', () => {
    const r = spawnSync(
      '/bin/sh',
      ['-c', `"$0" "$1" show ${'a.json '.repeat(300)} | head -n 1`, process.execPath, program],
      {
        cwd: work,
        encoding: 'utf8',
        timeout: 30_000,
      },
    );
    expect([r.stdout, r.stderr]).toEqual(['Mooring line\n', '']);
  });

  it('says where its output finds no room', ({ skip }) => {
    skip(!existsSync('/dev/full'), 'there is no device that is always full');
    const command = `"$0" "$1" show a.json > /dev/full`;
    const r = spawnSync('/bin/sh', ['-c', command, process.execPath, program], {
      cwd: work,
      encoding: 'utf8',
      timeout: 30_000,
    });
    expect(r.status).toBe(1);
    expect(r.stderr).toContain('could not be written: there is no room left where it goes.');
    expectNoTrace(r);
  });
});

describe('what is wrong', () => {
  it('in the command line ends with 2', () => {
    const r = degreewise(['show', 'a.json', '--colour']);
    expect([r.status, r.stdout]).toEqual([2, '']);
    expect(r.stderr).toContain('there is no option --colour');
    expectNoTrace(r);
  });

  it('with a folder or a missing file ends with 1', () => {
    const r = degreewise(['check', '.', 'missing.json']);
    expect(r.status).toBe(1);
    expect(r.stderr).toMatch(/^\.: this is a folder/mu);
    expect(r.stderr).toMatch(/^missing\.json: there is no such file/mu);
    expectNoTrace(r);
  });

  it('with a place that cannot be written to ends with 1', () => {
    const r = degreewise(['convert', 'a.json', '-o', 'a.json/b.json']);
    expect(r.status).toBe(1);
    expect(r.stderr).toContain('no folder');
    expectNoTrace(r);
  });

  it('with an endless file is found out before memory is', () => {
    const r = degreewise(['convert', '/dev/zero', '-o', 'x.json']);
    expect(r.status).toBe(1);
    expect(r.stderr).toContain('larger than 128 MiB');
    expect(existsSync(join(work, 'x.json'))).toBe(false);
    expectNoTrace(r);
  });

  it('with an enormous phrase is told in bounded time', () => {
    const bars = `{"meter":{"beats":4,"beatType":4}},`.repeat(200_000);
    const text = A.replace('"bars": [', `"bars": [${bars}`);
    expect(text.length).toBeGreaterThan(5_000_000);
    writeFileSync(join(work, 'big.json'), text);
    const r = degreewise(['convert', 'big.json', '-o', 'x.json']);
    expect(r.status).toBe(1);
    expect(r.stderr).toMatch(/\/bars: the list has 200001 entries/u);
    expect(existsSync(join(work, 'x.json'))).toBe(false);
    expectNoTrace(r);
  });

  it('lets only one of several write at once, and that one whole', async () => {
    const args = [program, 'convert', 'a.json', '-o', 'taken.json'];
    const runs = Array.from(
      { length: 3 },
      () =>
        new Promise<number | null>((done) => {
          spawn(process.execPath, args, { cwd: work, stdio: 'ignore' }).on('close', done);
        }),
    );
    expect((await Promise.all(runs)).sort()).toEqual([0, 2, 2]);
    expect(readFileSync(join(work, 'taken.json'), 'utf8')).toBe(A);
    expect(readdirSync(work).sort()).toEqual(['a.json', 'taken.json']);
  });
});

describe('quick text', () => {
  it('is read from a file, from the standard input, and before it is moved', () => {
    writeFileSync(join(work, 'x.txt'), '[G, 4/4] {D7} q 2:13b15 e 10 8 q 3:9 r\n');
    expect(degreewise(['convert', 'x.txt', '-o', 'y.json']).status).toBe(0);
    const read = decodePhrase(readFileSync(join(work, 'y.json'), 'utf8'));
    if (!read.ok) throw new Error(read.problems[0]?.message);
    const same = build('q 2/13(bend:D5) e 2/10 2/8 q 3/9 -', { chords: 'D7', key: 'G' });
    const { id, meta, ...music } = read.value;
    expect(music).toEqual({ ...same, id: undefined, meta: undefined });
    // A chord in braces begins the text, as an object in JSON would.
    const shown = degreewise(['show', '-'], '{A7} e 3:5 7 2:5 8b10');
    expect([shown.status, shown.stderr]).toEqual([0, '']);
    expect(shown.stdout).toContain('A7');
    const moved = degreewise(['move', 'x.txt', '--chord', 'G7', '-o', 'moved.quick']);
    expect([moved.status, moved.stderr]).toEqual([0, '']);
    expect(readFileSync(join(work, 'moved.quick'), 'utf8')).toMatch(/^\[.*\] \{G7\} .*\n$/u);
  });

  it('gives all samples back, and names what it does not keep', () => {
    const samples = readSamples();
    for (const s of samples) writeFileSync(join(work, `${s.name}.json`), s.text);
    const files = (ending: string) => samples.map((s) => `${s.name}.${ending}`);
    const out = degreewise(['convert', ...files('json'), '-o', 'quick', '--format', 'quick']);
    expect(out.status).toBe(0);
    const tagged = samples.filter((s) => s.phrase.meta.tags.length > 0);
    expect(tagged.length).toBeGreaterThan(0);
    for (const { name } of tagged) {
      expect(out.stderr).toMatch(new RegExp(`^quick/${name}\\.quick: not kept: .*the tags`, 'mu'));
    }
    const inside = files('quick').map((f) => `quick/${f}`);
    const back = degreewise(['convert', ...inside, '-o', 'back', '--format', 'json']);
    expect([back.status, back.stderr]).toEqual([0, '']);
    for (const { name, phrase } of samples) {
      const read = decodePhrase(readFileSync(join(work, `back/${name}.json`), 'utf8'));
      if (!read.ok) throw new Error(read.problems[0]?.message);
      const meta = { ...read.value.meta, title: phrase.meta.title };
      expect(read.value.meta.title).toBe(phrase.meta.title);
      expect(musicalFields({ ...read.value, meta }), name).toEqual(
        musicalFields({ ...phrase, meta }),
      );
    }
  });

  it('reads tablature in a .txt file and says that its lengths are guessed', () => {
    writeFileSync(
      join(work, 'tab.txt'),
      'e|-----|\nB|-----|\nG|-5-7-|\nD|-----|\nA|-----|\nE|-----|\n',
    );
    const r = degreewise(['show', '--json', 'tab.txt']);
    expect([r.status, r.stderr]).toEqual([
      0,
      'tab.txt: the lengths are guessed from the spacing\n',
    ]);
    expect(JSON.parse(r.stdout).notes).toHaveLength(2);
  });

  it('that is wrong is shown with a sign under the character', () => {
    writeFileSync(join(work, 'x.quick'), '{A7} e 3:5 7\n  {Hm} q 2:5 9:9\n');
    const r = degreewise(['convert', 'x.quick', '-o', 'y.json']);
    expect(r.status).toBe(1);
    const lines = r.stderr.split('\n');
    expect(lines[0]).toMatch(/^x\.quick: line 2:4: /u);
    expect(lines.slice(1, 3)).toEqual(['    {Hm} q 2:5 9:9', '     ^']);
    expect(lines[3]).toMatch(/^x\.quick: line 2:14: /u);
    expect(lines.slice(4, 6)).toEqual(['    {Hm} q 2:5 9:9', '               ^']);
    expect(existsSync(join(work, 'y.json'))).toBe(false);
    expectNoTrace(r);
  });

  it('points into a long line and past wide characters', () => {
    const words = 'e 3:5 7 '.repeat(40);
    writeFileSync(join(work, 'long.quick'), `[C, "音"] ${words}zz ${words}`);
    const r = degreewise(['check', 'long.quick']);
    const [problem, line, sign] = r.stderr.split('\n');
    expect(problem).toMatch(new RegExp(`line 1:${'[C, "音"] '.length + words.length + 1}: `, 'u'));
    expect(line!.length).toBeLessThan(90);
    expect(line!.slice(sign!.indexOf('^')).startsWith('zz ')).toBe(true);
    writeFileSync(join(work, 'wide.quick'), '[C, "音"] zz');
    const wide = degreewise(['check', 'wide.quick']).stderr.split('\n');
    // The sign takes two columns of a terminal.
    expect(wide[2]!.indexOf('^')).toBe(wide[1]!.indexOf('zz') + 1);
  });

  it('is not sought in files of other endings', () => {
    for (const name of ['diary', 'diary.md', 'diary.json']) {
      writeFileSync(join(work, name), 'e 3:5 7\n');
      const r = degreewise(['check', name]);
      expect(r.status).toBe(1);
      expect(r.stderr).toMatch(/neither a phrase nor a MusicXML score.*\.quick or \.txt/u);
    }
  });

  it.each([
    ['nothing', '', /^x\.quick: the file is empty/u],
    ['broken UTF-8', Buffer.from([0x65, 0xff]), /^x\.quick: the file is no text in UTF-8/u],
    ['a control character', 'e 3:5 \u001b[31m', /^x\.quick: line 1:7: /u],
    [
      'a diary',
      'Dear diary, today I played',
      /^x\.quick: line 1:1: 'Dear' is no word of quick text/u,
    ],
    ['JSON that is cut off', A.slice(0, 300), /^x\.quick: line \d+:\d+: the text ends too early/u],
  ])('%s is refused in words', (_, content, because) => {
    writeFileSync(join(work, 'x.quick'), content);
    const r = degreewise(['check', 'x.quick']);
    expect([r.status, r.stdout]).toEqual([1, '']);
    expect(r.stderr).toMatch(because);
    expect(r.stderr).not.toContain('\u001b');
    expectNoTrace(r);
  });
});

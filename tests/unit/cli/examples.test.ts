import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { helpText } from '../../../src/cli/help';
import { run } from '../../../src/cli/run';
import { readQuery } from '../../../src/core/search/query/read';
import { readQuick } from '../../../src/io/quick/read';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';

const ORIGIN = { id: 'new', now: '2026-11-25T12:00:00Z' };

/* What the documents show is run as it is written there. */

const ROOT = path.resolve(import.meta.dirname, '../../..');
const document = (name: string) => readFileSync(path.join(ROOT, name), 'utf8');
const README = document('README.md');

const SAMPLES = Object.fromEntries(readSamples().map((s) => [`samples/${s.name}.json`, s.text]));

/** The words of a command line as a shell divides them. */
function shellWords(line: string): readonly string[] {
  return [...line.matchAll(/"([^"]*)"|'([^']*)'|(\S+)/gu)].map(([, a, b, c]) => a ?? b ?? c ?? '');
}

/** What a command line gives: what it printed, and the files that it wrote. */
async function done(
  words: readonly string[],
  files: Readonly<Record<string, string | Uint8Array>>,
) {
  const io = memoryIo({ files, folders: ['samples'] });
  const code = await run(words, io);
  expect([code, code === 0 ? '' : io.stderr()]).toEqual([0, '']);
  return { out: io.stdout(), disk: io.disk };
}

const START = 'npm run --silent cli -- ';
const BLOCK = [...README.matchAll(/^ {4}(?:echo '(.*)' \| )?npm run --silent cli -- (.*)$/gmu)]
  .map(([, input, line]) => ({ input, line: line! }))
  .filter(({ line }) => !line.startsWith('COMMAND'));
const INLINE = [...README.matchAll(/`((?:find|forms|solo|move|vary|shapes) [^`]*)`/gu)]
  .map(([, line]) => line!.replaceAll(String.raw`\|`, '|'))
  .filter((line) => !/[A-Z]{3}|…/u.test(line));

describe('commands that the README shows', () => {
  it('are found there', () => {
    expect(README.split(START).length - 1).toBeGreaterThan(8);
    expect([BLOCK.length, INLINE.length]).toEqual([8, 3]);
  });

  it.each(BLOCK)('$line', async ({ input, line }) => {
    const words = shellWords(line);
    const files: Record<string, string | Uint8Array> = { ...SAMPLES };
    if (input !== undefined) files['-'] = input;
    if (words[0] === 'catch') {
      // A take of a bar, played by the program itself: hearing costs by its length.
      const played = { '-': '[A blues, 4/4] {A7} q 3:5 3:7 2:5 r' };
      const { disk } = await done(['convert', '-', '-o', 'take.wav'], played);
      files['take.wav'] = disk.get('take.wav')!;
    }
    const { out, disk } = await done(words, files);
    const at = words.indexOf('-o');
    if (at < 0) expect(out.length).toBeGreaterThan(100);
    else {
      const made = [...disk.keys()].filter((name) => !(name in files));
      expect(made.length).toBeGreaterThan(0);
      expect(made.filter((name) => !name.startsWith(words[at + 1]!))).toEqual([]);
    }
  });

  it.each(INLINE)('%s', async (line) => {
    const { out } = await done(shellWords(line), SAMPLES);
    expect(out).not.toBe('');
  });

  it('what the demo prints is what stands there', async () => {
    const { scripts } = JSON.parse(document('package.json')) as { scripts: { demo: string } };
    const [first] = scripts.demo.split(' && ');
    const io = memoryIo({ files: SAMPLES });
    await run(shellWords(first!.replace('tsx src/cli/bin.ts ', '')), io);
    const printed = io
      .stdout()
      .split('\n')
      .map((l) => l.trim());
    const [, shown] = /\(`npm run demo`\):\n\n((?: {4}.*\n)+)/u.exec(README) ?? [];
    for (const l of shown!.trim().split('\n')) expect(printed).toContain(l.trim());
  });

  it('the quick text can be read', () => {
    const [line] = /^ {4}\[A blues.*$/mu.exec(README) ?? [];
    expect(readQuick(line!.trim(), ORIGIN).ok).toBe(true);
  });
});

it('questions that the help of find shows can be asked', () => {
  const rows = helpText('find')
    .split('\n')
    .filter((l) => /^ {2}\S/u.test(l) && !l.startsWith('  -'));
  const asked = rows.flatMap((l) => /^ {2}(\S.*?)(?: {2,}|$)/u.exec(l)?.[1] ?? []);
  expect(asked.length).toBeGreaterThan(10);
  for (const q of asked) expect([q, readQuery(q).ok]).toEqual([q, true]);
});

describe('documents of the repository', () => {
  const names = ['README.md', 'DEVELOPERS.md', ...readmes('src')];

  it.each(names)('%s names scripts and files that are there', (name) => {
    const text = document(name);
    const { scripts } = JSON.parse(document('package.json')) as { scripts: object };
    const missing = [
      ...[...text.matchAll(/npm (?:run )?([a-z][a-z:]*)/gu)]
        .map(([, s]) => s!)
        .filter((s) => !['ci', 'run', 'link'].includes(s) && !(s in scripts)),
      ...[...text.matchAll(/`(?:npx tsx )?((?:src|tests|samples|schemas)\/[\w./-]+)/gu)]
        .map(([, f]) => f!.replace(/[.,]$/u, ''))
        .filter((f) => !existsSync(path.join(ROOT, f))),
    ];
    expect(missing).toEqual([]);
  });

  it('DEVELOPERS.md names files that are there, also without their folders', () => {
    const there = new Set(
      ['src', 'tests'].flatMap((f) =>
        readdirSync(path.join(ROOT, f), { recursive: true, encoding: 'utf8' }).map((p) =>
          path.basename(p),
        ),
      ),
    );
    const named = [...document('DEVELOPERS.md').matchAll(/`([a-z][a-z-]*\.tsx?)(?: [^`]*)?`/gu)];
    expect(named.length).toBeGreaterThan(20);
    expect(named.map(([, f]) => f!).filter((f) => !there.has(f))).toEqual([]);
  });
});

function readmes(folder: string): readonly string[] {
  return readdirSync(path.join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((f) => path.basename(f) === 'README.md')
    .map((f) => path.join(folder, f));
}

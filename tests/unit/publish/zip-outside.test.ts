import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, it, vi } from 'vitest';
import { uniqueNames } from '../../../src/publish/file-names';
import { type Look, USUAL_LOOK } from '../../../src/publish/format';
import { publish, TooManyFiles } from '../../../src/publish/publish';
import { readSamples } from '../../support/samples';

/* Archives are read by others than the one that packs them: Info-ZIP and the zipfile of Python. */

const folder = mkdtempSync(path.join(tmpdir(), 'zip-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const READ = `import json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
print(json.dumps({'bad': z.testzip(), 'files': {n: len(z.read(n)) for n in z.namelist()}}))`;
const PYTHON = has('python3', '--version');
const INFO_ZIP = has('unzip', '-v');

function has(program: string, word: string): boolean {
  try {
    execFileSync(program, [word], { stdio: 'ignore' });
    return true;
  } catch {
    console.log(`not run with ${program}: it is not here`);
    return false;
  }
}

const look: Look = { ...USUAL_LOOK, degrees: 'chord' };
const tools = { font: async () => '', paint: null };
const progress = { onPhrase: () => undefined, signal: new AbortController().signal };
const sample = readSamples()[0]!.phrase;
const titled = (title: string, i: number) => ({
  ...sample,
  id: `p${i}`,
  meta: { ...sample.meta, title },
});

it.skipIf(!PYTHON && !INFO_ZIP)(
  'packs what two readers of others find whole, names of any script as they are',
  async () => {
    const titles = ['Étude für H♯', 'Тихий вечер', '雨', 'Same', 'Same', 'same', ''];
    const { content } = await publish(titles.map(titled), 'mid', look, tools, progress);
    const file = path.join(folder, 'phrases.zip');
    writeFileSync(file, content);
    if (INFO_ZIP)
      expect(execFileSync('unzip', ['-t', file]).toString()).toContain('No errors detected');
    if (!PYTHON) return;
    const read = JSON.parse(execFileSync('python3', ['-c', READ, file]).toString());
    expect(read.bad).toBeNull();
    const names = ['étude-für-h#', 'тихий-вечер', '雨', 'same', 'same-2', 'same-3', 'phrase'];
    expect(Object.keys(read.files)).toEqual(names.map((n) => `${n}.mid`));
    const alone = await publish([titled('Same', 0)], 'mid', look, tools, progress);
    expect(read.files['same.mid']).toBe((alone.content as Uint8Array).length);
  },
);

it('refuses more files than an archive holds before it writes any', async () => {
  const counting = { ...progress, onPhrase: vi.fn() };
  const many = Array.from({ length: 65_535 }, () => sample);
  const refused = await publish(many, 'mid', look, tools, counting).catch((e: unknown) => e);
  expect(refused).toBeInstanceOf(TooManyFiles);
  expect(String(refused)).toContain('65534 files at most');
  expect(counting.onPhrase).not.toHaveBeenCalled();
});

it('names as many as an archive holds without trying all numbers for each', () => {
  const names = uniqueNames(
    Array.from({ length: 65_534 }, (_, i) => (i === 9 ? 'a-7' : 'a')),
    'x',
  );
  expect(new Set(names).size).toBe(names.length);
  expect(names.slice(0, 10).at(-1)).toBe('a-7-2.x');
});

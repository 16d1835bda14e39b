import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');

it('a lesson is written by the command line that runs from its sources, as the README has it', () => {
  mkdirSync(join(ROOT, 'dist'), { recursive: true });
  const work = mkdtempSync(join(ROOT, 'dist', 'from-sources-'));
  try {
    const out = join(work, 'l.html');
    const lesson = ['lesson', 'samples/01-first-ferry-out.json', '-o', out];
    const r = spawnSync('npm', ['run', '--silent', 'cli', '--', ...lesson], {
      cwd: ROOT,
      encoding: 'utf8',
      timeout: 90_000,
    });
    expect([r.status, r.stderr]).toEqual([0, expect.not.stringMatching(/degreewise:/u)]);
    // Style and script are in it, as in a page that was written by the built program.
    expect(readFileSync(out, 'utf8')).toMatch(/@font-face.*<script/su);
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}, 100_000);

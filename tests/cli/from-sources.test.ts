import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');
const PAGE = `import('virtual:lesson-page').then((m) => console.log(m.style.slice(0, 60), m.script.length))`;

it('what runs the command line from its sources knows the page of a lesson, which only the build makes', () => {
  const { scripts } = JSON.parse(readFileSync(resolve(ROOT, 'package.json'), 'utf8')) as {
    scripts: Readonly<Record<string, string>>;
  };
  // As `npm run cli` starts it, without all of the command line: that takes ten times as long.
  const [, starts] = /^tsx (.*) src\/cli\/bin\.ts$/u.exec(scripts.cli ?? '') ?? [];
  const tsx = resolve(ROOT, 'node_modules/tsx/dist/cli.mjs');
  const args = [tsx, ...starts!.split(' '), '--eval', PAGE];
  const told = execFileSync(process.execPath, args, { cwd: ROOT, encoding: 'utf8' });
  expect(told).toMatch(/^@font-face\S* .*\d{4}\n$/u);
}, 60_000);

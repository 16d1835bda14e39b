import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');

/** Writes a file for some seconds, as the command line does. */
const WRITES = (path: string) => `
  function* much() { const some = new Uint8Array(1000); for (let i = 0; i < 200_000; i++) yield some; }
  import('./src/cli/node-io.ts').then((m) => m.nodeIo().files.write(${JSON.stringify(path)}, much(), false));
`;

it.each(['SIGINT', 'SIGTERM'] as const)(
  'what is ended by %s while it writes leaves nothing beside the file',
  async (signal) => {
    const folder = mkdtempSync(join(tmpdir(), 'degreewise-interrupted-'));
    try {
      // Without tsx's own process before it, which would take the signal.
      const args = ['--import', 'tsx', '--eval', WRITES(join(folder, 'x.json'))];
      const child = spawn(process.execPath, args, { cwd: ROOT });
      const ended = new Promise<NodeJS.Signals | null>((done) => {
        child.on('close', (_, by) => done(by));
      });
      await expect
        .poll(() => readdirSync(folder), { timeout: 20_000, interval: 2 })
        .toHaveLength(1);
      expect(readdirSync(folder)[0]).toMatch(/^\.x\.json\..*\.part$/u);
      child.kill(signal);
      expect(await ended).toBe(signal);
      expect(readdirSync(folder)).toEqual([]);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
  60_000,
);

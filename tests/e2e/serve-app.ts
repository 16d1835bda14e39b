import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { TestProject } from 'vitest/node';
import { serveFolder } from './serve-folder';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Where the built app is served, with a slash at the end. */
    readonly appAddress: string;
    /** The folder it was built into. */
    readonly appFolder: string;
  }
}

const root = path.resolve(import.meta.dirname, '../..');

/** Builds the app once, as users get it, and serves it on a free port. */
export default async function serveApp(project: TestProject): Promise<() => Promise<void>> {
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const folder = mkdtempSync(path.join(root, 'dist', 'app-test-'));
  const { NODE_ENV: _, ...env } = process.env;
  // In a process of its own: React's development form would be built under the tests' NODE_ENV.
  execFileSync(
    process.execPath,
    ['node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn', '--outDir', folder],
    { cwd: root, env, stdio: ['ignore', 'ignore', 'inherit'] },
  );
  const served = await serveFolder(folder);
  project.provide('appAddress', served.address);
  project.provide('appFolder', folder);
  return async () => {
    await served.close();
    rmSync(folder, { recursive: true, force: true });
  };
}

import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { build, preview } from 'vite';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Where the built app is served, with a slash at the end. */
    readonly appAddress: string;
    /** The folder it was built into. */
    readonly appFolder: string;
  }
}

const root = path.resolve(import.meta.dirname, '../..');

/** Builds the app once, as users get it, and serves it on a free port with the headers of `npm start`. */
export default async function serveApp(project: TestProject): Promise<() => Promise<void>> {
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const folder = mkdtempSync(path.join(root, 'dist', 'app-test-'));
  await build({ root, mode: 'production', logLevel: 'warn', build: { outDir: folder } });
  const server = await preview({
    root,
    mode: 'production',
    logLevel: 'warn',
    build: { outDir: folder },
    preview: { port: 0, strictPort: true },
  });
  const address = server.resolvedUrls?.local[0];
  if (address === undefined) throw new Error('the app is not served');
  project.provide('appAddress', address);
  project.provide('appFolder', folder);
  return async () => {
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  };
}

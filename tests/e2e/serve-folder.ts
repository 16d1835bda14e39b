import path from 'node:path';
import { preview } from 'vite';

const root = path.resolve(import.meta.dirname, '../..');

/** A server of a built app, with the headers of `npm start`. */
export interface Served {
  /** With a slash at the end. */
  readonly address: string;
  close(): Promise<void>;
}

/** @param port A free one when absent. */
export async function serveFolder(folder: string, port = 0): Promise<Served> {
  const server = await preview({
    root,
    mode: 'production',
    logLevel: 'warn',
    build: { outDir: folder },
    preview: { port, strictPort: true },
  });
  const address = server.resolvedUrls?.local[0];
  if (address === undefined) throw new Error('the app is not served');
  return { address, close: () => server.close() };
}

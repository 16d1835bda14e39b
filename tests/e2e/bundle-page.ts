import { build } from 'vite';

/**
 * One script for a browser out of a module and all that it imports.
 * @param logLevel What of its making is told; the app fetches parts late, which one script cannot, and the builder says so.
 */
export async function bundlePage(
  module: string,
  logLevel: 'warn' | 'error' = 'warn',
): Promise<string> {
  const result = await build({
    configFile: false,
    logLevel,
    publicDir: false,
    build: {
      write: false,
      minify: false,
      target: 'es2022',
      rolldownOptions: {
        input: module,
        output: { format: 'iife' },
        // A script that is no module has none; everything lies in the one piece, so nothing asks for it.
        transform: { define: { 'import.meta': '{}' } },
      },
    },
  });
  const outputs = Array.isArray(result) ? result : [result];
  const chunk = outputs
    .flatMap((o) => ('output' in o ? o.output : []))
    .find((c) => c.type === 'chunk');
  if (chunk?.type !== 'chunk') throw new Error(`${module} was not built`);
  return chunk.code;
}

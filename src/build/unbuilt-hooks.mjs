import { fileURLToPath } from 'node:url';

const NAME = 'virtual:lesson-page';

/** @type {import('node:module').ResolveHook} */
export function resolve(name, context, next) {
  if (name !== NAME) return next(name, context);
  return { url: NAME, format: 'module', shortCircuit: true };
}

/** @type {import('node:module').LoadHook} */
export async function load(url, context, next) {
  if (url !== NAME) return next(url, context);
  const { runnerImport } = await import('vite');
  const { module } = await runnerImport(
    fileURLToPath(new URL('./lesson-page.ts', import.meta.url)),
  );
  const plugin = module.lessonPage();
  return {
    format: 'module',
    source: await plugin.load(plugin.resolveId(NAME)),
    shortCircuit: true,
  };
}

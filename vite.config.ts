import { createHash } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import react from '@vitejs/plugin-react';
import { playwright } from '@vitest/browser-playwright';
import { build, type Plugin, type ResolveModulePreloadDependenciesFn, type Rolldown } from 'vite';
import { defineConfig, type ViteUserConfig } from 'vitest/config';
import { fetchedEarly } from './src/build/fetched-early.ts';
import { firstSight } from './src/build/first-sight.ts';
import { lessonPage } from './src/build/lesson-page.ts';
import { fontLicence, workerLicences } from './src/build/licences.ts';
import { samplesInOnePiece } from './src/build/samples.ts';
import { withoutSchemaWords } from './src/build/schema-words.ts';
import { trimVexflow } from './src/build/trim-vexflow.ts';

/**
 * Nothing is fetched from elsewhere, no script or style stands in the page, nothing is evaluated.
 * `data:` and `blob:` images are made by the page itself, on the way to a PNG, and the silence that
 * plays along for the media keys. WebAssembly is what hears recordings; it is no script and can
 * evaluate none (W3C Content Security Policy Level 3).
 */
const POLICY: readonly (readonly [string, string])[] = [
  ['default-src', "'self'"],
  ['script-src', "'self' 'wasm-unsafe-eval'"],
  ['style-src', "'self'"],
  ['img-src', "'self' data: blob:"],
  ['media-src', "'self' blob:"],
  ['connect-src', "'self'"],
  ['object-src', "'none'"],
  ['base-uri', "'none'"],
  ['form-action', "'none'"],
];
const policyText = (more: typeof POLICY = []) =>
  [...POLICY, ...more].map(([name, sources]) => `${name} ${sources}`).join('; ');

/** What `npm start` sends along; `frame-ancestors` works in a header only. */
const HEADERS = {
  'Content-Security-Policy': policyText([['frame-ancestors', "'none'"]]),
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
};

/** The same policy in the page, for hosts that send no headers. The development server needs inline scripts. */
function policyInPage(): Plugin {
  return {
    name: 'degreewise-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: policyText() },
        injectTo: 'head-prepend',
      },
    ],
  };
}

/** The service worker, built last, with the list of everything the app consists of. */
function serviceWorker(): Plugin {
  let folder = '';
  return {
    name: 'degreewise-service-worker',
    apply: 'build',
    configResolved(config) {
      folder = path.resolve(config.root, config.build.outDir);
    },
    async closeBundle() {
      // Twice: the licences it writes are among the files that it keeps for later.
      await buildWorker(folder, []);
      await buildWorker(folder, await precacheList(folder));
    },
  };
}

async function buildWorker(folder: string, files: Awaited<ReturnType<typeof precacheList>>) {
  await build({
    configFile: false,
    publicDir: false,
    logLevel: 'warn',
    define: { __PRECACHE__: JSON.stringify(files) },
    build: {
      outDir: folder,
      emptyOutDir: false,
      license: { fileName: 'licences-offline.md' },
      rolldownOptions: {
        input: 'src/ui/service-worker/sw.ts',
        output: { format: 'iife', entryFileNames: 'sw.js' },
      },
    },
  });
}

/** Files under `assets/` carry a hash in their names; the others get one as their revision. */
async function precacheList(folder: string) {
  const files = await readdir(folder, { recursive: true, withFileTypes: true });
  const list = files
    .filter((f) => f.isFile() && f.name !== 'sw.js')
    .map(async (f) => {
      const file = path.join(f.parentPath, f.name);
      const url = path.relative(folder, file).split(path.sep).join('/');
      const hash = createHash('sha256').update(await readFile(file));
      const revision = url.startsWith('assets/') ? null : hash.digest('hex').slice(0, 16);
      return { url, revision };
    });
  return (await Promise.all(list)).sort((a, b) => (a.url < b.url ? -1 : 1));
}

/**
 * What the first page is made of is one file, and what draws its scores another: shared pieces would
 * come as a dozen small ones, which compress badly and are asked for one by one.
 */
function firstFiles(): (id: string, context: Rolldown.ChunkingContext) => string | null {
  let files: readonly (readonly [string, ReadonlySet<string>])[] | null = null;
  return (id, context) => {
    files ??= [
      ['start', importedFrom('src/ui/main.tsx', context)],
      ['drawing', importedFrom('src/ui/score/drawing.ts', context)],
    ];
    return files.find(([, modules]) => modules.has(id))?.[0] ?? null;
  };
}

/**
 * What is asked for together with a part that is fetched on demand. The first file leaves that out: a
 * list of every part's files would be 3 kB of it, and what it asks for is fetched ahead anyway.
 */
const preloaded: ResolveModulePreloadDependenciesFn = (_part, files, { hostId, hostType }) =>
  hostType === 'js' && hostId.includes('/start-') ? [] : files;

/** Every module that comes along with a file of ours. */
function importedFrom(file: string, context: Rolldown.ChunkingContext): ReadonlySet<string> {
  const modules = new Set<string>();
  const add = (id: string) => {
    if (modules.has(id)) return;
    modules.add(id);
    for (const next of context.getModuleInfo(id)?.importedIds ?? []) add(next);
  };
  add(path.resolve(import.meta.dirname, file));
  return modules;
}

/** The model that hears recordings, beside the program that reads it. */
function weightsBeside(): Plugin {
  return {
    name: 'degreewise-weights',
    async generateBundle() {
      const source = await readFile('src/sound/capture/model/weights.bin');
      this.emitFile({ type: 'asset', fileName: 'capture-weights.bin', source });
    },
  };
}

/** The command line program: one file for Node, with the model that it hears with. */
const CLI: ViteUserConfig = {
  publicDir: false,
  plugins: [lessonPage(), weightsBeside()],
  build: {
    ssr: 'src/cli/bin.ts',
    outDir: 'dist/cli',
    target: 'node20',
    rolldownOptions: { output: { entryFileNames: 'degreewise.js', codeSplitting: false } },
  },
};

/** The app: `index.html` and what belongs to it, for any host of static files. */
const APP: ViteUserConfig = {
  base: './',
  publicDir: 'src/ui/public',
  plugins: [
    samplesInOnePiece(),
    lessonPage(),
    trimVexflow(),
    withoutSchemaWords(),
    react(),
    policyInPage(),
    firstSight(),
    fetchedEarly(['drawing', 'samples']),
    fontLicence(),
    workerLicences(),
    serviceWorker(),
  ],
  build: {
    outDir: 'dist/app',
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    license: { fileName: 'licences.md' },
    modulePreload: { polyfill: false, resolveDependencies: preloaded },
    rolldownOptions: {
      output: {
        codeSplitting: {
          groups: [{ name: firstFiles(), debugName: 'first files' }],
          // Each group is whole by itself; otherwise what both use would go to either.
          includeDependenciesRecursively: false,
        },
      },
    },
  },
  preview: { host: 'localhost', port: 4173, headers: HEADERS },
};

const CHROMIUM = {
  executablePath: '/usr/bin/chromium',
  args: [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
};

// Generous, for a loaded two-core machine: speed is measured by the benches, never asserted.
const PATIENCE = { testTimeout: 120_000, hookTimeout: 120_000 };

/** Tests of what has no state: files of one worker share the modules, which takes a third of the time. */
const STATELESS = [
  'tests/property/**/*.test.ts',
  'tests/golden/**/*.test.ts',
  'tests/unit/{core,io,engrave,sound,cli}/**/*.test.ts',
];

const TESTS: ViteUserConfig['test'] = {
  reporters: ['default', './tests/support/second-try.ts'],
  projects: [
    {
      plugins: [lessonPage()],
      test: {
        name: 'stateless',
        environment: 'node',
        ...PATIENCE,
        include: STATELESS,
        isolate: false,
        maxWorkers: '100%',
        sequence: { groupOrder: 0 },
      },
    },
    {
      plugins: [lessonPage()],
      test: {
        name: 'node',
        environment: 'node',
        ...PATIENCE,
        include: ['tests/**/*.test.ts'],
        exclude: [...STATELESS, 'tests/browser/**', 'tests/e2e/**', 'node_modules/**'],
        // Every core, and one kind of test after the other: by itself vitest would leave one idle.
        maxWorkers: '100%',
        sequence: { groupOrder: 1 },
      },
    },
    {
      plugins: [react()],
      publicDir: false,
      // Named, since one that is found only on the way would come as a second copy of React, or of
      // VexFlow, which is changed once when it is loaded.
      optimizeDeps: {
        include: [
          'react',
          'react-dom/client',
          'react/jsx-runtime',
          'react/jsx-dev-runtime',
          'vexflow/core',
        ],
      },
      test: {
        name: 'browser',
        ...PATIENCE,
        include: ['tests/browser/**/*.test.{ts,tsx}'],
        sequence: { groupOrder: 2 },
        browser: {
          enabled: true,
          headless: true,
          screenshotFailures: false,
          provider: playwright({ launchOptions: CHROMIUM }),
          instances: [{ browser: 'chromium' }],
        },
      },
    },
    {
      test: {
        name: 'e2e',
        environment: 'node',
        ...PATIENCE,
        include: ['tests/e2e/**/*.e2e.test.ts'],
        globalSetup: ['tests/e2e/serve-app.ts'],
        // Two browsers on two cores take four fifths of the time of one: each waits now and then.
        maxWorkers: 2,
        // Each file has a browser of its own; what they import is shared.
        isolate: false,
        // What a page does next is waited for; a second is too short beside another browser.
        expect: { poll: { timeout: 15_000 } },
        // Those that needed it are told at the end (`second-try.ts`).
        retry: 1,
        sequence: { groupOrder: 3 },
      },
    },
  ],
};

export default defineConfig(({ mode }) => ({
  ...(mode === 'cli' ? CLI : APP),
  test: TESTS,
}));

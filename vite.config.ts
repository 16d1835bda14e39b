import { defineConfig } from 'vitest/config';

export default defineConfig({
  build: {
    ssr: 'src/cli/bin.ts',
    outDir: 'dist/cli',
    target: 'node20',
    rollupOptions: { output: { entryFileNames: 'degreewise.js' } },
  },
  test: {
    projects: [
      {
        test: {
          name: 'node',
          environment: 'node',
          // Generous, for a loaded two-core machine: speed is measured by the benches, never asserted.
          testTimeout: 120_000,
          hookTimeout: 120_000,
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/e2e/**', 'node_modules/**'],
        },
      },
    ],
  },
});

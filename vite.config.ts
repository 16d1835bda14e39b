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
          include: ['tests/**/*.test.ts'],
        },
      },
    ],
  },
});

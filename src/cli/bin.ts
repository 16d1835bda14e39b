#!/usr/bin/env node
import { nodeIo } from './node-io';
import { run } from './run';

// A reader that has seen enough, such as `head`, closes the pipe: no reason to complain.
process.stdout.on('error', (e: NodeJS.ErrnoException) => {
  process.exit(e.code === 'EPIPE' ? 0 : 1);
});

run(process.argv.slice(2), nodeIo()).then(
  (code) => {
    process.exitCode = code;
  },
  (e: unknown) => {
    process.stderr.write(`degreewise: ${e instanceof Error ? e.message : String(e)}\n`);
    process.exitCode = 1;
  },
);

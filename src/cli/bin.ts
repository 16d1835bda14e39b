#!/usr/bin/env node
import { nodeIo } from './node-io';
import { run } from './run';

// A reader that has seen enough, such as `head`, closes the pipe: no reason to complain.
process.stdout.on('error', (e: NodeJS.ErrnoException) => {
  if (e.code === 'EPIPE') process.exit(0);
  const why = e.code === 'ENOSPC' ? 'there is no room left where it goes' : e.message;
  process.stderr.write(`degreewise: the result could not be written: ${why}.\n`);
  process.exit(1);
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

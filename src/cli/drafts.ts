import { rmSync } from 'node:fs';
import { rm } from 'node:fs/promises';

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** What is being written; whoever ends the program meanwhile finds nothing of it beside the file. */
const drafts = new Set<string>();

/** Does something with a draft, which is gone afterwards however that ends. */
export async function withDraft<T>(path: string, work: () => Promise<T>): Promise<T> {
  if (drafts.size === 0) for (const s of SIGNALS) process.once(s, end);
  drafts.add(path);
  try {
    return await work();
  } finally {
    await rm(path, { force: true });
    drafts.delete(path);
    if (drafts.size === 0) for (const s of SIGNALS) process.off(s, end);
  }
}

function end(signal: NodeJS.Signals): void {
  for (const path of drafts) rmSync(path, { force: true });
  // Nobody listens to it any more, so the program ends as it would have.
  process.kill(process.pid, signal);
}

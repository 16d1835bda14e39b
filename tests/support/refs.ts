import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, it } from 'vitest';

const REFS = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../../../shared/refs');

/** The path of a reference file beside the repository, or null where it is not there. */
export function refPath(name: string): string | null {
  const full = path.join(REFS, name);
  return existsSync(full) ? full : null;
}

/** A group of tests over a reference file; where it is absent one test is skipped with the reason. */
export function describeWithRef(title: string, name: string, body: (text: string) => void): void {
  const full = refPath(name);
  if (full !== null) {
    describe(title, () => body(readFileSync(full, 'utf8')));
    return;
  }
  console.warn(`skipped: ${title} (shared/refs/${name} is absent)`);
  describe(title, () => {
    it.skip(`shared/refs/${name} is absent`, () => {});
  });
}

/** Rows of a tab-separated table by the names in its first line. */
export function readTsv(text: string): readonly Readonly<Record<string, string>>[] {
  const [head = '', ...lines] = text.trimEnd().split(/\r?\n/);
  const names = head.split('\t');
  return lines.map((line) => {
    const cells = line.split('\t');
    return Object.fromEntries(names.map((n, i) => [n, cells[i] ?? '']));
  });
}

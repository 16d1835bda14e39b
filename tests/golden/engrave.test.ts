import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { engrave } from '../../src/engrave/engraver';
import { GOLDEN_PAGES, readableSvg } from '../support/engraving-pages';

const FOLDER = path.join(path.dirname(fileURLToPath(import.meta.url)), 'engrave');

describe('engraved pages that were looked at and kept', () => {
  // `npx tsx tests/scripts/write-page.ts NAME` writes one anew; look at it before it is committed.
  it.each(GOLDEN_PAGES)('$name', ({ name, phrase, options }) => {
    const kept = readFileSync(path.join(FOLDER, `${name}.svg.txt`), 'utf8');
    expect(readableSvg(engrave(phrase, options).systems)).toBe(kept);
  });
});

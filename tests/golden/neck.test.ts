import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { readableSvg } from '../support/engraving-pages';
import { NECK_PAGES } from '../support/neck-pages';

const FOLDER = path.join(path.dirname(fileURLToPath(import.meta.url)), 'neck');

describe('pictures of necks that were looked at and kept', () => {
  it.each(NECK_PAGES)('$name', ({ name, svg }) => {
    const kept = readFileSync(path.join(FOLDER, `${name}.svg.txt`), 'utf8');
    expect(readableSvg([{ svg: svg() }])).toBe(kept);
  });
});

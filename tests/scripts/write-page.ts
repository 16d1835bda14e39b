/** Writes one kept page anew: `npx tsx tests/scripts/write-page.ts NAME`. Look at it before it is committed. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { engrave } from '../../src/engrave/engraver';
import { GOLDEN_PAGES, readableSvg } from '../support/engraving-pages';

const [name] = process.argv.slice(2);
const page = GOLDEN_PAGES.find((p) => p.name === name);
if (page === undefined) {
  console.error(`Name one of: ${GOLDEN_PAGES.map((p) => p.name).join(', ')}`);
  process.exitCode = 2;
} else {
  const folder = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../golden/engrave');
  const { systems } = engrave(page.phrase, page.options);
  writeFileSync(path.join(folder, `${page.name}.svg.txt`), readableSvg(systems));
}

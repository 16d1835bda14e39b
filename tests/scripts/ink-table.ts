/**
 * Writes every piece of ink of the samples and of generated phrases as JSON, for comparing two states
 * of the engraver: `npx tsx tests/scripts/ink-table.ts FILE [count]`, then `compare-ink.ts`.
 */
import { writeFileSync } from 'node:fs';
import { inkPhrase } from '../../src/engrave/engrave';
import { degreesOf, pageOf } from '../support/engraving';
import { GOLDEN_PAGES } from '../support/engraving-pages';
import { readSamples } from '../support/samples';

const [, , file, count = '300'] = process.argv;
if (file === undefined) throw new Error('where to write it to?');
const round = (n: number) => Math.round(n * 100) / 100;
const pages: Record<string, unknown> = {};
const add = (name: string, systems: ReturnType<typeof inkPhrase>) => {
  pages[name] = systems.map((s) =>
    s.ink.map((k) => [k.kind, round(k.x0), round(k.y0), round(k.x1), round(k.y1)]),
  );
};
for (const { name, phrase, options } of GOLDEN_PAGES)
  add(`golden ${name}`, inkPhrase(phrase, options));
for (const { name, phrase } of readSamples()) {
  for (const staves of ['both', 'staff', 'tab', 'degrees'] as const) {
    add(`${name} ${staves}`, inkPhrase(phrase, { staves, width: 900, degrees: degreesOf(phrase) }));
  }
}
for (let seed = 0; seed < Number(count); seed++) {
  const { phrase, options } = pageOf(seed);
  add(`seed ${seed}`, inkPhrase(phrase, options));
}
writeFileSync(file, JSON.stringify(pages));

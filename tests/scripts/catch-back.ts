import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { decodePhrase } from '../../src/io/json';
import { Listener } from '../../src/sound/capture/listen';
import { captureWeights } from '../support/capture-model';
import { playBack, Tally } from '../support/caught';

/**
 * `npx tsx tests/scripts/catch-back.ts [NAME]`: every sample (or those whose name holds NAME) rendered by our own
 * player, heard, and written again; what of it came back.
 */
const FOLDER = path.resolve(import.meta.dirname, '../../samples');
const wanted = process.argv[2] ?? '';
const listener = new Listener(captureWeights());
const all = new Tally();
const widths: number[] = [];
for (const name of readdirSync(FOLDER).filter((f) => f.includes(wanted))) {
  const read = decodePhrase(JSON.parse(readFileSync(path.join(FOLDER, name), 'utf8')));
  if (!read.ok) throw new Error(name);
  const p = read.value;
  const done = playBack(p, listener);
  all.join(done.tally);
  widths.push(...done.widths.map(Math.abs));
  const t = (n: string) => done.tally.of(n);
  console.log(
    `${name.padEnd(34)} notes F ${t('notes').f.toFixed(3)} (${t('notes').there}) onset ${t('onset exact').f.toFixed(2)} length ${t('length exact').f.toFixed(2)} pitch ${t('pitch').f.toFixed(2)} string ${t('string').f.toFixed(2)}${done.said === null ? '' : ` ${done.said}`}`,
  );
}
for (const n of all.names()) {
  const { f, hit, there, said } = all.of(n);
  console.log(`${n.padEnd(14)} F ${f.toFixed(3)}  ${hit} of ${there}, ${said} said`);
}
widths.sort((a, b) => a - b);
console.log(`bend widths: ${widths[widths.length >> 1]?.toFixed(1)} cents off (median)`);

/**
 * Counts what makes the house hard to live in: `npx tsx tests/scripts/house.ts [ROOT]`. Prints files
 * over 350 lines, functions over 80, each with the reason that stands beside it, and casts by way of
 * `unknown`. Ends with 1 where a long one has no reason, or a reason nothing long (`support/house.ts`).
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { houseOf, type Long, MOST_FILE, MOST_FUNCTION } from '../support/house';

const root = path.resolve(process.argv[2] ?? '.');
const files = readdirSync(path.join(root, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((f) => /\.tsx?$/u.test(f))
  .map((f) => path.join('src', f))
  .sort();
const all = files.map((f) => houseOf(f, readFileSync(path.join(root, f), 'utf8')));

const print = (title: string, rows: readonly string[]) => {
  console.log(`${title}: ${rows.length}`);
  for (const row of rows) console.log(`  ${row}`);
};
const long = (title: string, list: readonly Long[]) => {
  const without = list.filter((l) => l.why === null);
  print(
    `${title} without a reason`,
    without.map((l) => `${l.where} ${l.lines}`),
  );
  print(
    `${title} with a reason`,
    list.flatMap((l) => (l.why === null ? [] : [`${l.where} ${l.lines}: ${l.why}`])),
  );
  return without.length;
};
console.log(`files: ${files.length}`);
const idle = all.flatMap((h) => h.idle);
const wrong =
  long(
    `files over ${MOST_FILE} lines`,
    all.flatMap((h) => h.files),
  ) +
  long(
    `functions over ${MOST_FUNCTION} lines`,
    all.flatMap((h) => h.functions),
  ) +
  idle.length;
print('reasons beside nothing long', idle);
print(
  'casts by way of unknown',
  all.flatMap((h) => h.casts),
);
process.exitCode = wrong === 0 ? 0 : 1;

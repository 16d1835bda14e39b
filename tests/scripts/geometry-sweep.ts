/**
 * Engraves generated phrases and looks for ink that touches, leaves the page or stands off its
 * notehead: `npx tsx tests/scripts/geometry-sweep.ts [count] [first seed]`. Exit code 1 if any does.
 */
import { geometryFaults, pageOf } from '../support/engraving';

const count = Number(process.argv[2] ?? 2_000);
const first = Number(process.argv[3] ?? 0);
const began = performance.now();
let bad = 0;
for (let seed = first; seed < first + count; seed++) {
  const { phrase, options } = pageOf(seed);
  const faults = geometryFaults(phrase, options);
  if (faults.length > 0) {
    bad++;
    console.log(
      `seed ${seed} (${options.staves}, ${options.width} px): ${faults.slice(0, 3).join('; ')}`,
    );
  }
  if ((seed - first + 1) % 500 === 0)
    console.log(`${seed - first + 1} phrases, ${bad} with faults`);
}
console.log(
  `${count} phrases from seed ${first}: ${bad} with faults, ${Math.round(performance.now() - began)} ms`,
);
process.exitCode = bad > 0 ? 1 : 0;

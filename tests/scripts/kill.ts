/**
 * Kills the browser while it writes to the library: `npx tsx tests/scripts/kill.ts [kills] [seed] [old] [profileEvery]`.
 * With `old` each profile begins with so many phrases of an older program and is killed while they migrate.
 * Stops with exit code 1 if an acknowledged write was lost or a library was broken.
 */
import { killBrowsers } from '../e2e/kill/rig';

const kills = Number(process.argv[2] ?? 200);
const seed = Number(process.argv[3] ?? Date.now() % 1_000_000);
const old = Number(process.argv[4] ?? 0);
const profileEvery = Number(process.argv[5] ?? 25);
const began = performance.now();
const report = await killBrowsers({
  kills,
  seed,
  profileEvery,
  spoilEvery: 4,
  ...(old > 0 && { old }),
  besideEvery: 3,
  progress(done, acknowledgements) {
    if (done % 10 === 0) console.log(`${done} kills, ${acknowledgements} writes acknowledged`);
  },
});
const seconds = Math.round((performance.now() - began) / 1000);
console.log(
  `${report.kills} kills (${report.early} while opening), seed ${seed}, ${report.acknowledgements} writes acknowledged (${report.beside} of a second window), restored from the second copy ${report.restored} times, the beginning of the list shown early and right ${report.shownEarly} times, ${report.faults.length} faults, ${seconds} s`,
);
for (const fault of report.faults) console.log(fault);
if (report.faults.length > 0) process.exitCode = 1;

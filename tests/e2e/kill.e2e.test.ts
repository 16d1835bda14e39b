import { describe, expect, it } from 'vitest';
import { killBrowsers } from './kill/rig';

describe('a browser killed while it saves, removes, undoes and imports', () => {
  it('8 times at random moments loses no acknowledged write and breaks no library', async () => {
    // Of the day, so that a run can be repeated and another day tries other moments.
    const seed = Number(
      process.env.KILL_SEED ?? new Date().toISOString().slice(0, 10).replaceAll('-', ''),
    );
    const report = await killBrowsers({ kills: 8, seed, profileEvery: 6, besideEvery: 5 });
    expect(report.faults, `seed ${seed}`).toEqual([]);
    // Otherwise nothing was tried. How many there are in so short lives depends on the machine.
    console.info(`kills: ${report.acknowledgements} writes acknowledged`);
    expect(report.acknowledgements).toBeGreaterThan(8);
  });

  it('and whose database is then thrown away has everything from the second copy', async () => {
    const report = await killBrowsers({
      kills: 4,
      seed: 11,
      profileEvery: 4,
      besideEvery: 5,
      breakAfter: 2,
    });
    expect(report.faults).toEqual([]);
    expect(report.restored).toBe(1);
  });
});

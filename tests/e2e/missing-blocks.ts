import type { Page } from 'playwright';

/** Frames of a block of the Web Audio API. */
const BLOCK = 128;
/** Milliseconds for which the two clocks are compared before and after. */
const LOOK = 400;

/**
 * How many blocks of sound were missing while something was done: what the sound card needed and did not get.
 * A context counts the frames that were computed (W3C Web Audio API, `currentTime`), a card takes them at an even
 * rate, and plays silence where there are none; so each block that comes too late leaves the context's clock
 * behind that of the wall for good. Jitter does not: of each look the nearest the clocks come is taken.
 * The page keeps its contexts in `window.contexts`.
 */
export async function missingBlocks(page: Page, work: () => Promise<void>): Promise<number> {
  const before = await behind(page);
  await work();
  const after = await behind(page);
  return Math.max(0, Math.round((after.least - before.least) / ((1000 * BLOCK) / after.rate)));
}

/** How far the clock of the sound is behind that of the page, but for a constant, in ms. */
function behind(page: Page): Promise<{ least: number; rate: number }> {
  return page.evaluate(async (look) => {
    const { contexts } = window as unknown as { contexts: AudioContext[] };
    const context = contexts.find((c) => c.state === 'running');
    if (context === undefined) throw new Error('nothing sounds');
    const end = performance.now() + look;
    let least = Number.POSITIVE_INFINITY;
    while (performance.now() < end) {
      least = Math.min(least, performance.now() - 1000 * context.currentTime);
      await new Promise((done) => setTimeout(done, 1));
    }
    return { least, rate: context.sampleRate };
  }, LOOK);
}

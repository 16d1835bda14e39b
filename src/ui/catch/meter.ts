/** What the level of an input says. */
export interface MeterReading {
  /** The loudest of the block, 0 to 1. */
  readonly peak: number;
  /** It is cut off at its peaks, or was in the last seconds. */
  readonly clipped: boolean;
  /** Nothing has come in for some seconds. */
  readonly silent: boolean;
}

const CLIPPED = 0.985;
const SILENT = 0.0016;
/** Seconds without sound after which it is said. */
const WAITS = 5;
/** So long it stays said that it was too loud: who plays looks up between phrases. After that it is seen that turning down has helped. */
const STAYS = 10;

/** Follows how loud it is. @returns what takes each block, with its rate in samples a second. */
export function meter(): (block: Float32Array, rate: number) => MeterReading {
  let quiet = 0;
  let sinceLoud = Number.POSITIVE_INFINITY;
  return (block, rate) => {
    const peak = peakOf(block);
    const seconds = block.length / rate;
    quiet = peak < SILENT ? quiet + seconds : 0;
    sinceLoud = peak >= CLIPPED ? 0 : sinceLoud + seconds;
    return { peak, clipped: sinceLoud < STAYS, silent: quiet > WAITS };
  };
}

/** The loudest of a block, 0 to 1. */
function peakOf(block: Float32Array): number {
  let peak = 0;
  for (const v of block) peak = Math.max(peak, Math.abs(v));
  return peak;
}

/** Peaks at or above this are cut off, on a scale to 1. */
const CUT = 0.985;
/** So many samples in a row at the edge are heard as distortion. */
const IN_A_ROW = 3;
const MOST_CUTS = 4;
/** A recording that is never louder than this is nearly silent (−50 dB of full scale). */
const SOFT = 0.0032;

/** What is wrong with a recording in plain words, without a full stop; empty where nothing is. */
export function soundRemarks(samples: Float32Array): readonly string[] {
  let peak = 0;
  let cuts = 0;
  let run = 0;
  for (let i = 0; i < samples.length; i++) {
    const v = Math.abs(samples[i]!);
    if (v > peak) peak = v;
    run = v >= CUT ? run + 1 : 0;
    if (run === IN_A_ROW) cuts += 1;
  }
  if (samples.length === 0) return ['the recording is empty'];
  if (peak === 0) return ['the recording is silent: check which input is chosen'];
  if (peak < SOFT) return ['the recording is very soft: turn the input up'];
  return cuts > MOST_CUTS
    ? ['the recording is too loud and cut off at its peaks: turn the input down']
    : [];
}

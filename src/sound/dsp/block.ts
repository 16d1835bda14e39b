/**
 * Samples that are computed at once, everywhere: what an audio worklet asks for (W3C Web Audio API 1.1,
 * render quantum), so that files and page compute the same.
 */
export const BLOCK = 128;

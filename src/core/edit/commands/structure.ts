import type { Command } from '../command';

/** Choosing, taking, moving, and the frame of bars, chords and instrument. */
export const STRUCTURE: readonly Command[] = [];

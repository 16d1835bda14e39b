import type { Command } from '../command';

/** Writing notes and their lengths. */
export const WRITING: readonly Command[] = [];

import type { Command } from '../command';

/** How notes are played, and what they mean. */
export const TECHNIQUES: readonly Command[] = [];

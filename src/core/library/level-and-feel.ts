import type { Feel } from '../phrase/types';

/** What the five levels are called, easiest first. */
export const LEVEL_WORDS = ['first steps', 'easy', 'middling', 'advanced', 'hard'] as const;

/** `straight`, `shuffle (eighths 2:1)`, `swung eighths 3:2`. */
export function feelName(f: Feel): string {
  if (f.kind === 'straight') return 'straight';
  const ratio = `${f.unit === 'eighth' ? 'eighths' : '16ths'} ${f.first}:${f.second}`;
  return f.first === 2 && f.second === 1 ? `shuffle (${ratio})` : `swung ${ratio}`;
}

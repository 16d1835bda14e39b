import type { Scanner } from './scanner';

/** A metre whose beats are shorter than the 16ths that a phrase counts in. */
const FINE_METER = /\d{1,3}\/(?:32|64|128)(?=\s|,|\]|$)/y;

/** Takes a metre over 32 or shorter, and says what can be written instead. */
export function takeFineMeter(scan: Scanner): boolean {
  const m = scan.take(FINE_METER);
  if (m === null) return false;
  scan.report(
    `the metre ${m[0]} cannot be kept: beats are 16ths at the shortest`,
    'Write it over 16 or 8, with the lengths made longer to match.',
    scan.at - m[0].length,
  );
  return true;
}

/** Takes what is meant well and cannot be kept in a phrase, with its reason: a fine metre, a third voice. */
export function takeNotKept(scan: Scanner): boolean {
  const voice = scan.take(/(?:[3-9]|\d\d)(?:rd|th):[\s\S]*/y);
  if (voice === null) return takeFineMeter(scan);
  scan.report(
    'a phrase has two voices at most',
    'Write the third as a phrase of its own, or put its notes into the first two.',
    scan.at - voice[0].length,
  );
  return true;
}

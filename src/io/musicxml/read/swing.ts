import type { Feel } from '../../../core/phrase/types';
import { child, childNumber, childrenOf, childText, ownText, type XmlElement } from '../xml/parse';

/** What `<swing>` says (T3): straight, or a ratio of two whole numbers brought to lowest terms. */
export function readSwing(e: XmlElement): Feel | null {
  if (child(e, 'straight') !== undefined) return { kind: 'straight' };
  const first = childNumber(e, 'first');
  const second = childNumber(e, 'second');
  if (first === null || second === null) return null;
  if (![first, second].every((n) => Number.isInteger(n) && n >= 1 && n <= 99)) return null;
  if (first === second) return { kind: 'straight' };
  const d = divisor(first, second);
  const type = child(e, 'swing-type');
  const unit = type !== undefined && ownText(type) === '16th' ? '16th' : 'eighth';
  return { kind: 'swing', unit, first: first / d, second: second / d };
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}

/**
 * The feel that a metronome mark shows by notes, null where it shows a tempo: two equal notes stand for
 * a longer and a shorter one, in a triplet (2 : 1) or dotted (3 : 1). Common practice in jazz charts.
 */
export function metronomeSwing(e: XmlElement): Feel | null {
  const notes = childrenOf(e, 'metronome-note');
  const types = notes.map((n) => childText(n, 'metronome-type'));
  const dots = notes.map((n) => childrenOf(n, 'metronome-dot').length);
  const [a, b, c, d] = types;
  const unit = a === 'eighth' || a === '16th' ? a : null;
  const plain = dots[0] === 0 && dots[1] === 0 && dots[3] === 0;
  if (types.length !== 4 || unit === null || b !== unit || !plain) return null;
  const double = unit === 'eighth' ? 'quarter' : 'eighth';
  const half = unit === 'eighth' ? '16th' : '32nd';
  const triplet = notes.slice(2).every((n) => {
    const t = child(n, 'metronome-tuplet');
    return t === undefined || childNumber(t, 'actual-notes') === 3;
  });
  const tuplets = notes.slice(2).some((n) => child(n, 'metronome-tuplet') !== undefined);
  if (c === double && d === unit && dots[2] === 0 && tuplets && triplet) {
    return { kind: 'swing', unit, first: 2, second: 1 };
  }
  if (c === unit && d === half && dots[2] === 1 && !tuplets) {
    return { kind: 'swing', unit, first: 3, second: 1 };
  }
  return null;
}

/** Words such as 'Medium swing' or 'Shuffle', which a player takes for a feel; null for others. */
export function swingInWords(text: string): Feel | null {
  const says = /\b(?:swing|swung|shuffle)\b/iu.test(text);
  if (!says || /\b(?:no|not|never|without|straight)\b|n['’]t\b/iu.test(text)) return null;
  // A tempo or a count of bars may have a 16 in it, too.
  const unit = /\b(?:16ths?|1\/16|sixteenths?)\b/iu.test(text) ? '16th' : 'eighth';
  return { kind: 'swing', unit, first: 2, second: 1 };
}

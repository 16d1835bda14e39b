import type { Key } from '../phrase/types';
import { type Degree, parseDegree } from '../theory/degree';
import { parseRoman } from '../theory/roman';
import { foldText } from './fold';

/**
 * One thing that is looked for in the field that finds. All terms must hold. A way of looking that
 * comes later (for music, as notes or degrees in a row) is one more kind, read before `text` is.
 */
export type Term =
  /** Occurs somewhere in what is printed of a phrase; folded. */
  | { readonly kind: 'text'; readonly text: string }
  /** A chord of the key, as typed: `IV7`, `ii`, `bVII`. */
  | { readonly kind: 'numeral'; readonly numeral: string }
  /** A degree with its sign, as printed on the cards: `♭3`, `#4`. */
  | { readonly kind: 'degree'; readonly degree: Degree; readonly text: string }
  | { readonly kind: 'level'; readonly level: number }
  | { readonly kind: 'bars'; readonly bars: number };

/** Seven to one, so that `III` is not read as `I`; what follows is a chord's quality or a bass. */
const NUMERAL = /^[b#♭♯]*(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(?![a-zA-Z]*[e-z]{3})\S*$/u;
const QUALITY = /^(?:$|[\d°ø+(/Δ-]|maj|m(?!a)|M|dim|aug|sus|add|alt|b\d|#\d)/u;
const SIGNED_DEGREE = /^[b#♭♯]{1,2}[2-7]$/u;

/** Reads what was typed into terms, in their order; none for an empty field. */
export function readTerms(typed: string): readonly Term[] {
  const terms: Term[] = [];
  const tokens = typed
    .trim()
    .split(/\s+/u)
    .filter((t) => t !== '');
  for (let i = 0; i < tokens.length; i++) {
    const [token, next] = [tokens[i]!, tokens[i + 1]];
    const pair = next === undefined ? null : readPair(foldText(token), foldText(next));
    if (pair !== null) {
      terms.push(pair);
      i++;
    } else terms.push(readToken(token));
  }
  return terms;
}

/** `level 2`, `4 bars`. */
function readPair(first: string, second: string): Term | null {
  if (first === 'level' && /^[1-5],?$/u.test(second)) {
    return { kind: 'level', level: Number(second[0]) };
  }
  if (/^\d+$/u.test(first) && /^bars?$/u.test(second)) {
    return { kind: 'bars', bars: Number(first) };
  }
  return null;
}

function readToken(token: string): Term {
  if (isNumeral(token)) return { kind: 'numeral', numeral: token };
  const text = foldText(token);
  const degree = SIGNED_DEGREE.test(token) ? parseDegree(token) : null;
  if (degree !== null) return { kind: 'degree', degree, text };
  return { kind: 'text', text };
}

const C_MAJOR: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

function isNumeral(token: string): boolean {
  if (!NUMERAL.test(token)) return false;
  const quality = token.replace(/^[b#♭♯]*(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)/u, '');
  return QUALITY.test(quality) && parseRoman(token, C_MAJOR).ok;
}

import type { Problem } from '../../result';

/** A word of the text with its place; a quoted one comes without its quotes. */
export interface Token {
  readonly text: string;
  /** Index of its first character in the whole text; of a quoted one the first inside the quotes. */
  readonly at: number;
  /** Index behind its last character, a closing quote included. */
  readonly end: number;
  readonly kind: 'word' | 'quoted' | 'open' | 'close' | 'comma';
  /** Of a quoted word that begins with a name and a colon: the name. */
  readonly name?: string;
}

/** Between tags and between bars as a card and a page print them; alone they are no word. */
const PARTING = /[·|]/u;
const QUOTE = /["“”]/u;

/** A problem at a place of the text. */
export function problemAt(at: number, message: string, fix: string): Problem {
  return { message, fix, column: at + 1 };
}

/**
 * Cuts a text into words, parentheses and commas. A parenthesis inside a word belongs to it up to
 * its partner, so that `C7(b9)` is one word; what stands in quotes is one word, `\"` a quote in it.
 * @returns the words, or the place of a quote that is not closed.
 */
export function cutQuery(text: string): readonly Token[] | Problem {
  const tokens: Token[] = [];
  let at = 0;
  while (at < text.length) {
    const c = text[at]!;
    if (/\s/u.test(c)) at++;
    else if (PARTING.test(c) && /^\S(?:\s|$)/u.test(text.slice(at, at + 2))) {
      tokens.push({ kind: 'comma', text: c, at, end: ++at });
    } else if (c === ',') tokens.push({ kind: 'comma', text: c, at, end: ++at });
    else if (c === '(') tokens.push({ kind: 'open', text: c, at, end: ++at });
    else if (c === ')') tokens.push({ kind: 'close', text: c, at, end: ++at });
    else {
      const name = /^[a-z]+:(?=["“”])/iu.exec(text.slice(at, at + 20))?.[0] ?? '';
      const word = QUOTE.test(text[at + name.length] ?? '')
        ? readQuoted(text, at, name)
        : readWord(text, at);
      if ('message' in word) return word;
      tokens.push(word);
      at = word.end;
    }
  }
  return tokens;
}

function readQuoted(text: string, start: number, name: string): Token | Problem {
  const at = start + name.length + 1;
  let read = '';
  for (let i = at; i < text.length; i++) {
    const c = text[i]!;
    if (c === '\\' && i + 1 < text.length) read += text[++i]!;
    else if (QUOTE.test(c)) {
      const named = name === '' ? {} : { name: name.slice(0, -1) };
      return { kind: 'quoted', text: read, at, end: i + 1, ...named };
    } else read += c;
  }
  return problemAt(at - 1, 'this quote is not closed', 'Write a second quote where the words end.');
}

function readWord(text: string, at: number): Token {
  let depth = 0;
  let end = at;
  for (; end < text.length; end++) {
    const c = text[end]!;
    if (/\s/u.test(c) || QUOTE.test(c)) break;
    if (c === '(') depth++;
    else if (c === ')' && depth-- === 0) break;
    else if (c === ',' && depth === 0) break;
  }
  return { kind: 'word', text: text.slice(at, end), at, end };
}

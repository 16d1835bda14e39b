import type { Problem } from '../../core/result';

/**
 * Where and why a text is no JSON (RFC 8259). `JSON.parse` says so in words that differ from engine
 * to engine; this finds the place itself, without recursion, and is asked only after it refused.
 */
export function explainSyntax(text: string): Problem {
  const { at, message } = scan(text);
  let line = 1;
  let lineStart = 0;
  for (let i = text.indexOf('\n'); i >= 0 && i < at; i = text.indexOf('\n', i + 1)) {
    line++;
    lineStart = i + 1;
  }
  const column = at - lineStart + 1;
  const ended = at >= text.length;
  return {
    message: ended ? `the text ends too early: ${message}` : `this is no JSON: ${message}`,
    fix: ended
      ? 'The file seems cut off; fetch or save it again.'
      : 'Mend the text at this place, or export the file again.',
    line,
    column,
  };
}

interface Fault {
  readonly at: number;
  readonly message: string;
}

/** What may come next. */
type State = 'value' | 'first value' | 'first key' | 'key' | 'after value';

const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const WORD = /true|false|null/y;
const SPACE = /[ \t\n\r]*/y;
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y;

function scan(text: string): Fault {
  const open: ('{' | '[')[] = [];
  let state: State = 'value';
  let at = 0;
  for (;;) {
    at = skip(SPACE, text, at);
    const c = text[at];
    if (state === 'after value') {
      const inside = open.at(-1);
      if (inside === undefined) {
        return { at, message: c === undefined ? 'nothing is wrong' : 'something follows the end' };
      }
      const close = inside === '{' ? '}' : ']';
      if (c === ',') {
        state = inside === '{' ? 'key' : 'value';
        at++;
      } else if (c === close) {
        open.pop();
        at++;
      } else return { at, message: `a comma or '${close}' is expected` };
    } else if (state === 'key' || state === 'first key') {
      if (state === 'first key' && c === '}') {
        open.pop();
        at++;
        state = 'after value';
        continue;
      }
      if (c !== '"') return { at, message: 'a name in double quotes is expected' };
      const end = endOfString(text, at);
      if (typeof end !== 'number') return end;
      at = skip(SPACE, text, end);
      if (text[at] !== ':') return { at, message: 'a colon is expected' };
      at++;
      state = 'value';
    } else if (c === '{' || c === '[') {
      open.push(c);
      state = c === '{' ? 'first key' : 'first value';
      at++;
    } else if (c === ']' && state === 'first value') {
      open.pop();
      at++;
      state = 'after value';
    } else {
      const end = c === '"' ? endOfString(text, at) : endOfScalar(text, at);
      if (typeof end !== 'number') return end;
      at = end;
      state = 'after value';
    }
  }
}

function skip(pattern: RegExp, text: string, at: number): number {
  pattern.lastIndex = at;
  return pattern.test(text) ? pattern.lastIndex : at;
}

function endOfScalar(text: string, at: number): number | Fault {
  const end = Math.max(skip(NUMBER, text, at), skip(WORD, text, at));
  return end > at ? end : { at, message: 'a value is expected' };
}

function endOfString(text: string, from: number): number | Fault {
  let at = from + 1;
  for (;;) {
    while (isPlain(text.charCodeAt(at))) at++;
    const c = text[at];
    if (c === '"') return at + 1;
    if (c === undefined) return { at, message: 'a closing quote is expected' };
    const end = c === '\\' ? skip(ESCAPE, text, at) : at;
    if (end === at) {
      return {
        at,
        message: c === '\\' ? 'no such escape' : 'a control character stands in a text',
      };
    }
    at = end;
  }
}

/** Neither quote, backslash nor control character; false at the end of the text. */
function isPlain(code: number): boolean {
  return code >= 0x20 && code !== QUOTE && code !== BACKSLASH;
}

/**
 * Whether lists and objects lie more than `most` deep in the text. Asked before `JSON.parse`, which
 * spends seconds and much memory on brackets alone.
 */
export function isNestedDeeper(text: string, most: number): boolean {
  let depth = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === QUOTE) {
      for (i++; i < text.length && text.charCodeAt(i) !== QUOTE; i++) {
        if (text.charCodeAt(i) === BACKSLASH) i++;
      }
    } else if (code === 0x5b || code === 0x7b) {
      if (++depth > most) return true;
    } else if (code === 0x5d || code === 0x7d) depth--;
  }
  return false;
}

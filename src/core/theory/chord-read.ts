import type { Problem } from '../result';
import { type ChordTone, sameTone, type ToneValue, tone } from './chord-kinds';
import { isToneAlter } from './chord-model';
import { type Alter, parseAlter } from './pitch';

/** Where the reader stands in a text; regular expressions are sticky and move it on. */
export interface Cursor {
  readonly text: string;
  at: number;
}

/** Matches at the cursor and moves past the match; null leaves the cursor where it is. */
export function take(c: Cursor, sticky: RegExp): RegExpExecArray | null {
  sticky.lastIndex = c.at;
  const m = sticky.exec(c.text);
  if (m !== null) c.at += m[0].length;
  return m;
}

/** What a quality text says: a set of tones, the altered dominant, or what is wrong with it. */
export type Quality =
  | { readonly kind: 'tones'; readonly tones: readonly ChordTone[] }
  | { readonly kind: 'alt' }
  | { readonly kind: 'problem'; readonly problem: Problem };

/** The tones as they are being read: those of the leading quality, and those named after it. */
interface Draft {
  head: ChordTone[];
  readonly named: ChordTone[];
}

const FIX = 'Write it like Am7b5, C7(b9,#11), G13sus4, Fmaj9 or D/F#.';

function problem(c: Cursor, message: string, fix = FIX): Quality {
  return { kind: 'problem', problem: { message, fix, column: c.at + 1 } };
}

const MAJOR_SEVENTH = /(?:[Mm][Aa][Jj]?|M|Δ|△|∆|\^|j)\s*(13|11|9|7)|(?:Δ|△|∆|\^)/uy;
const MINOR_WORD = /min(?:or)?|mi|m(?!aj|a(?!dd|ug|lt))|[-−–](?!\s*5)/iuy;
const MAJOR_WORD = /[Mm][Aa][Jj](?:or|OR)?|[Mm][Aa](?![dD]d|ug|lt)|M(?![iI])|[Δ△∆^]|j(?=\d)/uy;
const SIX_NINE = /6\s*[/,]?\s*9(?!\d)/uy;

/**
 * Reads the quality part of a chord symbol: everything between root and slash bass. Stops at the
 * end of the text or at a slash that is not part of the quality (`6/9`, `m/maj7`).
 * @param minor The triad is minor unless the text says otherwise (lower-case numerals).
 */
export function readQuality(c: Cursor, minor: boolean): Quality {
  take(c, /\s+/uy);
  if (take(c, /7?\s*(?:alt(?:ered)?|\(alt\))/iuy) !== null) {
    take(c, /\s+/uy);
    if (minor) return problem(c, 'an altered dominant has a major third', 'Write V7alt.');
    return c.at === c.text.length || c.text[c.at] === '/'
      ? { kind: 'alt' }
      : problem(c, `'${rest(c)}' cannot follow 'alt', which alters every degree already`);
  }
  const head = readHead(c, minor);
  if (!Array.isArray(head)) return head;
  const draft: Draft = { head, named: [] };
  const wrong = readModifiers(c, draft);
  if (wrong !== null) return wrong;
  return { kind: 'tones', tones: [...draft.head, ...draft.named] };
}

function rest(c: Cursor): string {
  return c.text.slice(c.at);
}

/** The stack of thirds up to `top` on a triad; above the seventh everything is natural. */
function stack(third: Alter, fifth: Alter, seventh: Alter, top: number): ChordTone[] {
  const all = [tone(1), tone(3, third), tone(5, fifth), tone(7, seventh)];
  return [...all, tone(9), tone(11), tone(13)].filter((t) => t.value <= top);
}

function readTop(c: Cursor): number | null {
  const m = take(c, /\s*(13|11|9|7)/uy);
  return m === null ? null : Number(m[1]);
}

/** The leading quality as tones, or a problem. */
function readHead(c: Cursor, lowerCase: boolean): ChordTone[] | Quality {
  const start = c.at;
  if (take(c, /[øØ]/uy) !== null) return stack(-1, -1, -1, readTop(c) ?? 7);
  if (take(c, /dim(?:inished)?|°|º/iuy) !== null || take(c, /o(?!mit)/uy) !== null) {
    return stack(-1, -1, -2, readTop(c) ?? 5);
  }
  if (take(c, /aug(?:mented)?|\+(?!\s*5)/iuy) !== null) {
    return stack(lowerCase ? -1 : 0, 1, -1, readTop(c) ?? 5);
  }
  const minorWord = isMinorWord(c);
  const third = minorWord || lowerCase ? -1 : 0;
  if (!minorWord) {
    const major = take(c, MAJOR_WORD);
    if (major !== null) return readMajor(c, start, third, major[0]);
  }
  const dominant = take(c, /dom(?:inant)?/iuy) !== null;
  if (!dominant && take(c, SIX_NINE) !== null) return [...stack(third, 0, 0, 5), tone(6), tone(9)];
  const top = readTop(c);
  if (top !== null) {
    // '7M' is a major seventh in some countries' charts.
    const raised = top === 7 && take(c, /M(?![\w])/uy) !== null;
    return stack(third, 0, raised ? 0 : -1, top);
  }
  if (dominant) return problem(c, "'dom' wants a 7, 9, 11 or 13 after it");
  if (take(c, /6(?!\d)/uy) !== null) return [...stack(third, 0, 0, 5), tone(6)];
  if (!minorWord && take(c, /5(?!\d)/uy) !== null) return [tone(1), tone(5)];
  if (take(c, /2(?!\d)/uy) !== null) return [...stack(third, 0, 0, 5), tone(2)];
  return stack(third, 0, 0, 5);
}

/** `M` is major and `m` minor; the longer words are read in either case. */
function isMinorWord(c: Cursor): boolean {
  if (c.text[c.at] === 'M' && !/^mi/iu.test(rest(c))) return false;
  return take(c, MINOR_WORD) !== null;
}

function readMajor(c: Cursor, start: number, third: Alter, word: string): ChordTone[] | Quality {
  if (take(c, SIX_NINE) !== null) return [...stack(third, 0, 0, 5), tone(6), tone(9)];
  if (take(c, /6(?!\d)/uy) !== null) return [...stack(third, 0, 0, 5), tone(6)];
  const top = readTop(c) ?? (/[Δ△∆^]/u.test(word) ? 7 : 5);
  if (top === 5 && third === -1) {
    c.at = start;
    return problem(
      c,
      `'${word}' contradicts a lower-case numeral`,
      'Write the numeral in capitals.',
    );
  }
  return stack(third, 0, 0, top);
}

function readModifiers(c: Cursor, d: Draft): Quality | null {
  const open: number[] = [];
  let separated = false;
  for (;;) {
    if (take(c, /[\s,]+/uy) !== null) {
      separated = true;
      continue;
    }
    if (c.at >= c.text.length) break;
    if (take(c, /[([]/uy) !== null) {
      open.push(c.at - 1);
      separated = true;
      continue;
    }
    if (take(c, /[)\]]/uy) !== null) {
      if (open.pop() === undefined) {
        c.at -= 1;
        return problem(c, 'this bracket was never opened');
      }
      separated = true;
      continue;
    }
    if (c.text[c.at] === '/') {
      if (open.length === 0 && !/^\/\s*(?:[Mm][Aa][Jj]?|M|Δ|△|∆|\^)\s*(?:\d|$)/u.test(rest(c)))
        break;
      c.at += 1;
      separated = true;
      continue;
    }
    const wrong = readModifier(c, d, separated);
    if (wrong !== null) return wrong;
    separated = false;
  }
  const unclosed = open.pop();
  if (unclosed === undefined) return null;
  c.at = unclosed;
  return problem(c, 'this bracket is never closed');
}

const ACCIDENTAL = '(bb|##|♭♭|♯♯|𝄫|𝄪|[b♭#♯])';
const ADD = new RegExp(`add(?:ed)?\\s*${ACCIDENTAL}?\\s*(13|11|9|[1-7])`, 'iuy');
const ALTERED = new RegExp(`${ACCIDENTAL}\\s*(13|11|9|7|6|5|4|2)(?!\\d)`, 'uy');
/** 'C7-9' and 'C7+9'. */
const SIGNED = /([+\-−–])\s*(13|11|9|5|4)(?!\d)/uy;

/** Reads one modifier; null when it was understood. */
function readModifier(c: Cursor, d: Draft, separated: boolean): Quality | null {
  const start = c.at;
  const sus = take(c, /sus(?:pended)?\s*(2\s*sus\s*4|4\s*sus\s*2|24|42|2|4)?/iuy);
  if (sus !== null) {
    suspend(d, sus[1] ?? '');
    const top = sus[1] === undefined ? readTop(c) : null;
    if (top !== null)
      d.named.push(...stack(0, 0, -1, top).filter((t) => t.value > 5 && t.value !== 11));
    return null;
  }
  if (take(c, /[Aa]dd\s*(?:[Mm][Aa][Jj]?|M|Δ)\s*7/uy) !== null) {
    d.named.push(tone(7, 0));
    return null;
  }
  const add = take(c, ADD);
  if (add !== null) {
    const value = Number(add[2]) as ToneValue;
    // A bare 'add7' is the dominant's seventh, as in MusicXML.
    const alter = add[1] === undefined && value === 7 ? -1 : readAlter(add[1] ?? '');
    if (!isToneAlter(value, alter)) return cannot(c, start, add[0]);
    d.named.push(tone(value, alter));
    return null;
  }
  const omit = take(c, /(?:omit|no)\s*(13|11|9|[1-7]|root|R)(?:st|nd|rd|th)?/iuy);
  if (omit !== null) {
    const value = /^r/iu.test(omit[1]!) ? 1 : (Number(omit[1]) as ToneValue);
    const before = d.head.length;
    d.head = d.head.filter((t) => t.value !== value);
    if (d.head.length === before && value !== 3) {
      c.at = start;
      return problem(c, `the chord has no ${value} to leave out`);
    }
    return null;
  }
  const major = take(c, MAJOR_SEVENTH);
  if (major !== null) {
    const top = Number(major[1] ?? '7');
    // Over a diminished seventh chord the major seventh joins (°7 with a major seventh above).
    const kept = d.head.filter((t) => t.value !== 7 || t.alter === -2);
    d.head = [...kept, ...stack(0, 0, 0, top).slice(3)];
    return null;
  }
  const altered = take(c, ALTERED) ?? take(c, SIGNED);
  if (altered !== null) {
    // '#4' and 'b2' without 'add' are other names of ♯11 and ♭9.
    const n = Number(altered[2]);
    const value = (n === 4 ? 11 : n === 2 ? 9 : n) as ToneValue;
    return alter(c, start, d, value, readAlter(altered[1]!));
  }
  if (take(c, /\+|aug/iuy) !== null) return alter(c, start, d, 5, 1);
  const natural = separated ? take(c, /(13|11|9|6)(?!\d)/uy) : null;
  if (natural !== null) {
    d.named.push(tone(Number(natural[1]) as ToneValue));
    return null;
  }
  const unknown = /^[^\s,()[\]/]+/u.exec(rest(c))?.[0] ?? rest(c);
  return problem(c, `'${unknown}' is not understood as part of a chord symbol`);
}

function cannot(c: Cursor, start: number, what: string): Quality {
  c.at = start;
  return problem(c, `'${what}' has no meaning in a chord symbol`);
}

function suspend(d: Draft, which: string): void {
  // The 11 of '13sus4' is the fourth itself, which now stands in the third's place.
  d.head = d.head.filter((t) => t.value !== 3 && t.value !== 11);
  if (which.includes('2')) d.head.push(tone(2));
  if (which === '' || which.includes('4')) d.head.push(tone(4));
}

/** A named alteration takes the natural degree's place; a second one of the number joins it. */
function alter(c: Cursor, start: number, d: Draft, value: ToneValue, by: Alter): Quality | null {
  if (value === 7 && by === 1) {
    // 'm#7' raises the minor seventh: a minor triad with a major seventh.
    d.head = [...d.head.filter((t) => t.value !== 7), tone(7, 0)];
    return null;
  }
  if (!isToneAlter(value, by)) return cannot(c, start, c.text.slice(start, c.at));
  d.head = d.head.filter((t) => !sameTone(t, tone(value)));
  d.named.push(tone(value, by));
  return null;
}

/** An accidental, or the + and − that stand for one before a number. */
function readAlter(sign: string): Alter {
  if (sign === '+') return 1;
  if (sign === '-' || sign === '−' || sign === '–') return -1;
  const alter = parseAlter(sign.toLowerCase());
  if (alter === null) throw new RangeError(`'${sign}' is matched as an accidental`);
  return alter;
}

/** One line that looks like a string of a tablature. */
export interface TabLine {
  /** Line of the text, from 1. */
  readonly line: number;
  /** Name at its beginning, as written; empty where there is none. */
  readonly name: string;
  /** Column of the first character of `body`, from 0. */
  readonly start: number;
  readonly body: string;
  /** Words behind the last bar line, such as `x2`; empty where there are none. */
  readonly after: string;
}

/** Lines of one height that are read together, the first string on top, and what stands over them. */
export interface TabBlock {
  readonly lines: readonly TabLine[];
  /** Lines between this block and the one before it, nearest last. */
  readonly above: readonly { readonly line: number; readonly text: string }[];
  /** A row of palm mutes directly under it; empty where there is none. */
  readonly under: string;
}

/** Share of a line that is string, bar line or fret; the rest is signs, known or not. */
const LEAST = 0.55;

/** `x2`, `(2x)` or words behind the last bar line; frets and dashes are none. */
const BEHIND = /^\s*(?!x+\s*$)(?:\(\s*)?(?:x\s*\d|\d+\s*x|[A-Za-z][a-z.]{2,})[^-|]*$/iu;

/** A row that says palm mute and nothing else. */
const MUTES = /^\s*(?:P\.?M[-\s.|]*)+$/u;

/** Dashes, spaces and line ends of all kinds in one form; columns stay as they are. */
export function plainLines(text: string): readonly string[] {
  return text
    .replace(/\r\n?/gu, '\n')
    .replace(/[\u2010-\u2015\u2212\u2500\u2501]/gu, '-')
    .replace(/[\u00a0\u2007]/gu, ' ')
    .replace(/[\u2502\u2503\uff5c]/gu, '|')
    .split('\n')
    .map((l) => expandTabs(l).trimEnd());
}

function expandTabs(line: string): string {
  let out = '';
  for (const c of line) out += c === '\t' ? ' '.repeat(8 - (out.length % 8)) : c;
  return out;
}

function wordsBehind(body: string): string {
  const bar = body.lastIndexOf('|');
  const tail = body.slice(bar + 1);
  return bar >= 0 && BEHIND.test(tail) ? tail.trimStart() : '';
}

/** A line as a string of a tablature; null where it is none. */
export function tabLine(text: string, line: number): TabLine | null {
  const m = /^(\s*)(?:([A-Ga-g][#b♯♭]?)(?:-?\d(?=\s*[|:]))?)?(\s*[|:]?)(?=[-\d|(<xX\s])/u.exec(
    text,
  );
  if (m === null) return null;
  const bar = m[3]!.trim() !== '';
  const start = m[0].length;
  const whole = text.slice(start);
  const after = wordsBehind(whole);
  const body = whole.slice(0, whole.length - after.length).trimEnd();
  const dashes = [...body].filter((c) => c === '-').length;
  // Behind a bar line two dashes are enough: `e|-5-|`.
  const tab = [...body].filter((c) => /[-|\d~=]/u.test(c)).length;
  const signs = body.replaceAll(' ', '').length;
  if (tab < LEAST * signs || dashes < (bar ? 2 : 3)) return null;
  if (m[2] === undefined && !bar && !/^\s*[-\d|(<xX]/u.test(text)) return null;
  return { line, name: m[2] ?? '', start, body, after };
}

/** Runs of lines that are tablature; two or three lines alone are none. */
export function blocksOf(lines: readonly string[]): readonly TabBlock[] {
  const blocks: TabBlock[] = [];
  let run: TabLine[] = [];
  let above: { line: number; text: string }[] = [];
  const close = (under = '') => {
    if (run.length >= 4) {
      blocks.push({ lines: run, above, under });
      above = [];
    }
    run = [];
  };
  lines.forEach((text, i) => {
    const tab = tabLine(text, i + 1);
    if (tab !== null) run.push(tab);
    else if (run.length >= 4 && MUTES.test(text) && tabLine(lines[i + 1] ?? '', 1) === null) {
      close(text);
    } else {
      close();
      if (text.trim() !== '') above.push({ line: i + 1, text });
    }
  });
  close();
  return blocks;
}

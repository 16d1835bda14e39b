/** One line that looks like a string of a tablature. */
export interface TabLine {
  /** Line of the text, from 1. */
  readonly line: number;
  /** Name at its beginning, as written; empty where there is none. */
  readonly name: string;
  /** Column of the first character of `body`, from 0. */
  readonly start: number;
  readonly body: string;
}

/** Lines of one height that are read together, the first string on top, and what stands over them. */
export interface TabBlock {
  readonly lines: readonly TabLine[];
  /** Lines between this block and the one before it, nearest last. */
  readonly above: readonly { readonly line: number; readonly text: string }[];
}

/** Share of a line that is string, bar line or fret; the rest is signs, known or not. */
const LEAST = 0.55;

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

/** A line as a string of a tablature; null where it is none. */
export function tabLine(text: string, line: number): TabLine | null {
  const m = /^(\s*)(?:([A-Ga-g][#b♯♭]?)(?:-?\d(?=\s*[|:]))?)?(\s*[|:]?)(?=[-\d|(<xX\s])/u.exec(
    text,
  );
  if (m === null) return null;
  const bar = m[3]!.trim() !== '';
  const start = m[0].length;
  const body = text.slice(start);
  const dashes = [...body].filter((c) => c === '-').length;
  // Behind a bar line two dashes are enough: `e|-5-|`.
  const tab = [...body].filter((c) => /[-|\d]/u.test(c)).length;
  const signs = body.replaceAll(' ', '').length;
  if (tab < LEAST * signs || dashes < (bar ? 2 : 3)) return null;
  if (m[2] === undefined && !bar && !/^\s*[-\d|(<xX]/u.test(text)) return null;
  return { line, name: m[2] ?? '', start, body };
}

/** Runs of lines that are tablature; two or three lines alone are none. */
export function blocksOf(lines: readonly string[]): readonly TabBlock[] {
  const blocks: TabBlock[] = [];
  let run: TabLine[] = [];
  let above: { line: number; text: string }[] = [];
  const close = () => {
    if (run.length >= 4) {
      blocks.push({ lines: run, above });
      above = [];
    }
    run = [];
  };
  lines.forEach((text, i) => {
    const tab = tabLine(text, i + 1);
    if (tab !== null) run.push(tab);
    else {
      close();
      if (text.trim() !== '') above.push({ line: i + 1, text });
    }
  });
  close();
  return blocks;
}

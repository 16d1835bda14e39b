import { SaxesParser } from 'saxes';
import { fail, ok, type Problem, type Result } from '../../../core/result';

/** One element of the text: only what a reader of MusicXML needs. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly XmlElement[];
  /** The element's own character data, children's left out, as written. */
  readonly text: string;
  /** Line and column at which the start tag ends, from 1. */
  readonly line: number;
  readonly column: number;
}

/** Bounds that keep hostile or broken input from taking time and memory without limit. */
export interface XmlLimits {
  /** Characters of text. */
  readonly characters: number;
  /** Elements inside one another. */
  readonly depth: number;
  readonly elements: number;
}

/** 16 Mi characters and a million elements: some hundred thousand notes, far beyond any phrase. */
export const XML_LIMITS: XmlLimits = { characters: 2 ** 24, depth: 64, elements: 1_000_000 };

/** How much text is parsed between two looks at whether a problem has turned up. */
const CHUNK = 2 ** 16;

interface OpenElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: XmlElement[];
  text: string;
  readonly line: number;
  readonly column: number;
}

/**
 * Reads well-formed XML into a tree. Nothing is fetched and no entity is expanded but the five
 * predefined ones and character references: a document type that declares entities is refused.
 * @returns the root element, or the first problem with its line and column.
 */
export function parseXml(text: string, limits: XmlLimits = XML_LIMITS): Result<XmlElement> {
  if (text.length > limits.characters) {
    return fail({
      message: `the file has ${text.length} characters, more than the ${limits.characters} that are read`,
      fix: 'Export only the part and the bars you need.',
    });
  }
  if (text.trim() === '') {
    return fail({
      message: 'the file is empty',
      fix: 'Choose a MusicXML file.',
      line: 1,
      column: 1,
    });
  }
  const parser = new SaxesParser({ xmlns: false });
  const stack: OpenElement[] = [];
  let root: XmlElement | null = null;
  let count = 0;
  let problem: Problem | null = null;
  const report = (message: string, fix: string) => {
    problem ??= { message, fix, line: parser.line, column: parser.column + 1 };
  };

  parser.on('error', (error) => {
    report(describe(error.message), 'Export the file again; it is damaged or was cut short.');
  });
  parser.on('doctype', (doctype) => {
    if (/<!ENTITY/u.test(doctype)) {
      report(
        'the document type declares entities, which are not read',
        'Remove the declarations between [ and ] in the DOCTYPE line.',
      );
    }
  });
  parser.on('opentag', (tag) => {
    if (problem !== null) return;
    count++;
    if (count > limits.elements) {
      report(`there are more than ${limits.elements} elements`, 'Export only the bars you need.');
    } else if (stack.length >= limits.depth) {
      report(
        `elements are nested more than ${limits.depth} deep`,
        'This is no music file; export it again as MusicXML.',
      );
    }
    stack.push({
      name: tag.name,
      attributes: new Map(Object.entries(tag.attributes)),
      children: [],
      text: '',
      line: parser.line,
      column: parser.column,
    });
  });
  const addText = (t: string) => {
    const open = stack.at(-1);
    if (open !== undefined) open.text += t;
  };
  parser.on('text', addText);
  parser.on('cdata', addText);
  parser.on('closetag', () => {
    if (problem !== null) return;
    const done = stack.pop();
    if (done === undefined) return;
    const parent = stack.at(-1);
    if (parent === undefined) root = done;
    else parent.children.push(done);
  });

  for (let at = 0; at < text.length && problem === null; at += CHUNK) {
    parser.write(text.slice(at, at + CHUNK));
  }
  if (problem === null) parser.close();
  if (problem !== null) return fail(problem);
  if (root === null) throw new RangeError('a well-formed document has a root element');
  return ok(root);
}

/** The parser's message without its own position, which the problem carries separately. */
function describe(message: string): string {
  return `the XML is broken: ${message.replace(/^\d+:\d+: /u, '').replace(/\.$/u, '')}`;
}

/** First child of that name. */
export function child(e: XmlElement, name: string): XmlElement | undefined {
  return e.children.find((c) => c.name === name);
}

/** All children of that name, in order. */
export function childrenOf(e: XmlElement, name: string): readonly XmlElement[] {
  return e.children.filter((c) => c.name === name);
}

/** Trimmed text of the first child of that name; null when there is none or it is empty. */
export function childText(e: XmlElement, name: string): string | null {
  const found = child(e, name);
  return found === undefined ? null : ownText(found);
}

/** The element's own text with white space collapsed as XML Schema does for tokens; null if empty. */
export function ownText(e: XmlElement): string | null {
  const t = e.text.replace(/\s+/gu, ' ').trim();
  return t === '' ? null : t;
}

/** An attribute of an element; null where it is absent. */
export function attribute(e: XmlElement, name: string): string | null {
  return e.attributes.get(name) ?? null;
}

/** A decimal number as XML Schema writes it (no exponent, NaN or infinity); null for anything else. */
export function readNumber(text: string | null): number | null {
  return text !== null && /^[+-]?(\d+(\.\d*)?|\.\d+)$/u.test(text.trim()) ? Number(text) : null;
}

/** Number in the first child of that name; null when it is absent or no number. */
export function childNumber(e: XmlElement, name: string): number | null {
  return readNumber(childText(e, name));
}

/** A problem at the place of an element. */
export function problemAt(e: XmlElement, message: string, fix: string): Problem {
  return { message, fix, line: e.line, column: e.column };
}

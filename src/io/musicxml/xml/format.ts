/** Attributes in the order they are written; what is undefined is left out. */
export type XmlAttributes = Readonly<Record<string, string | number | undefined>>;

/** An element to be written: either text or elements inside. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: XmlAttributes;
  readonly content: readonly XmlNode[] | string;
}

type Content = XmlNode | readonly XmlNode[] | null;

/** An element with other elements inside; null and lists make optional and repeated ones. */
export function el(name: string, attributes: XmlAttributes, ...content: Content[]): XmlNode {
  return { name, attributes, content: content.flatMap((c): readonly XmlNode[] => asList(c)) };
}

/** An element without attributes. */
export function group(name: string, ...content: Content[]): XmlNode {
  return el(name, {}, ...content);
}

/** An element with text inside. */
export function leaf(name: string, text: string | number, attributes: XmlAttributes = {}): XmlNode {
  return { name, attributes, content: typeof text === 'number' ? formatNumber(text) : text };
}

function asList(c: Content): readonly XmlNode[] {
  if (c === null) return [];
  return 'name' in c ? [c] : c;
}

/** A decimal number without exponent, as XML Schema's decimal wants it. */
export function formatNumber(n: number): string {
  const text = String(n);
  return /e/iu.test(text) ? n.toFixed(20).replace(/\.?0+$/u, '') : text;
}

/** The element as text, two spaces a level; ends with a line feed. */
export function formatXml(node: XmlNode): string {
  const lines: string[] = [];
  write(node, '', lines);
  return `${lines.join('\n')}\n`;
}

function write(node: XmlNode, indent: string, lines: string[]): void {
  const head = node.name + formatAttributes(node.attributes);
  if (node.content.length === 0) {
    lines.push(`${indent}<${head}/>`);
  } else if (typeof node.content === 'string') {
    lines.push(`${indent}<${head}>${escapeText(node.content)}</${node.name}>`);
  } else {
    lines.push(`${indent}<${head}>`);
    for (const child of node.content) write(child, `${indent}  `, lines);
    lines.push(`${indent}</${node.name}>`);
  }
}

function formatAttributes(attributes: XmlAttributes): string {
  return Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => ` ${name}="${escapeAttribute(value!)}"`)
    .join('');
}

/** What XML 1.0 (section 2.2) allows: the rest cannot be written, not even as a reference. */
const NOT_IN_XML =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not be written
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** Text between tags. Characters that XML does not allow are dropped. */
export function escapeText(text: string): string {
  return text
    .replace(NOT_IN_XML, '')
    .replace(/&/gu, '&amp;')
    .replace(/</gu, '&lt;')
    .replace(/>/gu, '&gt;')
    .replace(/\r/gu, '&#13;');
}

function escapeAttribute(value: string | number): string {
  const text = typeof value === 'number' ? formatNumber(value) : value;
  return escapeText(text).replace(/"/gu, '&quot;').replace(/\t/gu, '&#9;').replace(/\n/gu, '&#10;');
}

/* What the build's own plugins need to read and shorten a file. */

/** A node of the syntax tree, as far as it is looked at here. */
export interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

export const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

export function childrenOf(node: Node): Node[] {
  return Object.values(node).flatMap((value) =>
    Array.isArray(value) ? value.filter(isNode) : isNode(value) ? [value] : [],
  );
}

export const nameOf = (value: unknown): string | null =>
  isNode(value) && (value.type === 'Identifier' || value.type === 'PrivateIdentifier')
    ? String(value.name)
    : isNode(value) && value.type === 'Literal'
      ? String(value.value)
      : null;

/** A piece of text that is taken out, and what stands there instead. */
export type Cut = readonly [start: number, end: number, instead: string];

export function cut(text: string, cuts: readonly Cut[]): string {
  let out = '';
  let at = 0;
  for (const [start, end, instead] of [...cuts].sort((a, b) => a[0] - b[0])) {
    out += text.slice(at, start) + instead;
    at = end;
  }
  return out + text.slice(at);
}

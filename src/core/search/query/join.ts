import type { Query } from './types';

/** All of them; parts that are joined likewise are taken apart, what asks for nothing is left out. */
export function both(parts: readonly Query[]): Query {
  const flat = parts.flatMap((p) => (p.kind === 'both' ? p.parts : p.kind === 'all' ? [] : [p]));
  const [first, ...more] = flat;
  if (first === undefined) return { kind: 'all' };
  return more.length === 0 ? first : { kind: 'both', parts: flat };
}

/** Any of them. */
export function either(parts: readonly Query[]): Query {
  const flat = parts.flatMap((p) => (p.kind === 'either' ? p.parts : [p]));
  const [first, ...more] = flat;
  if (first === undefined || flat.some((p) => p.kind === 'all')) return { kind: 'all' };
  return more.length === 0 ? first : { kind: 'either', parts: flat };
}

/** The contrary of a question; of a contrary the question itself. */
export function negated(part: Query): Query {
  return part.kind === 'not' ? part.part : { kind: 'not', part };
}

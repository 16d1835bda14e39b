import { type Plugin, parseAst } from 'vite';
import { type Cut, childrenOf, cut, type Node, nameOf } from './syntax.ts';

const SCHEMAS = /\/src\/io\/json\/schema[\w-]*\.ts$/u;
const DESCRIBES: ReadonlySet<string | null> = new Set(['doc', 'named']);

/**
 * Leaves the names and descriptions of the published JSON Schema out of the app, which only checks
 * with the schemas: they are a third of what reads a file.
 */
export function withoutSchemaWords(): Plugin {
  return {
    name: 'degreewise-without-schema-words',
    apply: 'build',
    transform(code, id) {
      if (!SCHEMAS.test(id)) return null;
      return { code: cut(code, wordsIn(parseAst(code) as unknown as Node)), map: null };
    },
  };
}

/** The texts given to `doc` and `named`. */
function wordsIn(node: Node): readonly Cut[] {
  const inner = childrenOf(node).flatMap(wordsIn);
  if (node.type !== 'CallExpression' || !DESCRIBES.has(nameOf(node.callee))) return inner;
  const texts = (node.arguments as Node[]).filter((a) => typeof a.value === 'string');
  return [...inner, ...texts.map((t): Cut => [t.start, t.end, '""'])];
}

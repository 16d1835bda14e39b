import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { type Plugin, parseAst } from 'vite';
import { type Cut, childrenOf, cut, type Node, nameOf } from './syntax.ts';
import { LEFT_OUT } from './vexflow-parts.ts';
import {
  type ClassInfo,
  classIn,
  droppedEntries,
  entriesOf,
  isDebugOutput,
  type Member,
  namesIn,
  Reach,
  type Source,
} from './vexflow-reach.ts';

/*
 * Takes out of VexFlow what this program cannot reach, in builds only. A bundler keeps every member
 * of a class; here a member goes when no code that is left names it. That is judged by names alone,
 * whatever object stands before the dot, so it errs on the side of keeping. What is named but never
 * called by us is listed in `vexflow-parts.ts` and throws where it is called all the same;
 * `tests/unit/engrave/built.test.ts` compares what is drawn after a build with what the sources draw.
 */

const ROOT = path.resolve(import.meta.dirname, '../..');
const SOURCES = path.join(ROOT, 'node_modules/vexflow/build/esm/src');
const OURS = path.join(ROOT, 'src/engrave/vex');

/** One file with what is not reached taken out. */
function trimmed({ text, body }: Source, reach: Reach): string {
  const cuts: Cut[] = [];
  for (const statement of body) {
    const names = namesIn(statement);
    const cls = classIn(statement);
    if (names.length > 0 && !names.some((n) => reach.topLevel.has(n))) {
      // What is not reached is still named by files that are not reached either.
      const instead = `export const ${names.join('=0,')}=0;`;
      const exported = statement.type === 'ExportNamedDeclaration';
      cuts.push([statement.start, statement.end, exported ? instead : '']);
    } else if (statement.type === 'ExpressionStatement' && reach.isIdle(statement, body)) {
      cuts.push([statement.start, statement.end, '']);
    } else if (cls === null) cuts.push(...cutsWithin(statement, names[0] ?? ''));
    else for (const m of cls.members) cuts.push(...cutsOfMember(cls, m, reach));
  }
  return cut(text, cuts);
}

function cutsOfMember(cls: ClassInfo, member: Member, reach: Reach): readonly Cut[] {
  const { node, name } = member;
  const full = `${cls.name}.${name}`;
  if (!reach.has(cls, member)) return [[node.start, node.end, '']];
  if (!LEFT_OUT.has(full)) return cutsWithin(node, full);
  const isField = node.kind === 'get' || node.kind === 'set';
  if (!isField && !reach.inherits(cls, member)) return [[node.start, node.end, '']];
  // Without it, what it was made from would be called in its place, and a field be read as undefined.
  const { start, end } = (node.value as Node).body as Node;
  return [[start, end, `{throw Error('${full}')}`]];
}

/** Debug output, the wording of errors that only a programmer could cause, entries of tables. */
function cutsWithin(node: Node, owner: string): readonly Cut[] {
  if (isDebugOutput(node)) return [[node.start, node.end, ';']];
  const called = nameOf(node.callee);
  const args = (node.arguments ?? []) as Node[];
  const words = called === 'RuntimeError' ? args[1] : called === 'defined' ? args[2] : undefined;
  const entries = entriesOf(node);
  const dropped = droppedEntries(node, owner);
  const cuts = dropped.map((entry): Cut => {
    // Up to the next one, with the comma between them.
    const next = entries[entries.indexOf(entry) + 1];
    return [entry.start, next?.start ?? node.end - 1, ''];
  });
  if (words !== undefined) cuts.push([words.start, words.end, "''"]);
  const inner = childrenOf(node).filter((child) => child !== words && !dropped.includes(child));
  const within = entries.length > 0 ? '' : owner;
  return [...cuts, ...inner.flatMap((child) => cutsWithin(child, within))];
}

/** The table of glyph names, cut down to those that are asked for. */
function glyphTable(text: string, used: ReadonlySet<string>): string {
  const kept = [...text.matchAll(/Glyphs\["(\w+)"\] = ("(?:\\.|[^"])*")/gu)].filter(([, name]) =>
    used.has(name ?? ''),
  );
  return `export const Glyphs={${kept.map(([, name, value]) => `${name}:${value}`).join()}};`;
}

/** Resolves `vexflow/core` to VexFlow's own files and shortens each of them. */
export function trimVexflow(): Plugin {
  const sources = new Map<string, Source>();
  let reach: Reach | null = null;
  return {
    name: 'degreewise-trim-vexflow',
    apply: 'build',
    enforce: 'pre',
    config: () => ({
      resolve: { alias: { 'vexflow/core': path.join(SOURCES, 'index.js') } },
    }),
    buildStart() {
      for (const file of readdirSync(SOURCES).filter((f) => f.endsWith('.js'))) {
        const text = readFileSync(path.join(SOURCES, file), 'utf8');
        sources.set(file, { text, body: parseAst(text).body as unknown as Node[] });
      }
      const ours = readdirSync(OURS).map((f) => readFileSync(path.join(OURS, f), 'utf8'));
      const glyphs = sources.get('glyphs.js');
      sources.delete('glyphs.js');
      reach = new Reach(sources.values(), ours);
      if (glyphs !== undefined) sources.set('glyphs.js', glyphs);
    },
    transform(_, id) {
      if (!/vexflow\/build\/esm\/src\/[^/]+\.js$/u.test(id) || reach === null) return null;
      const file = path.basename(id);
      const source = sources.get(file);
      if (source === undefined) return null;
      const code =
        file === 'glyphs.js' ? glyphTable(source.text, reach.glyphs) : trimmed(source, reach);
      return { code, map: null, moduleSideEffects: false };
    },
  };
}

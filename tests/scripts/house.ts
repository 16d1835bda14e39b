/**
 * Counts what makes the house hard to live in: `npx tsx tests/scripts/house.ts [ROOT]`.
 * Prints files over 350 lines, functions over 80, and casts by way of `unknown`.
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';

const MOST_FILE = 350;
const MOST_FUNCTION = 80;

const root = path.resolve(process.argv[2] ?? '.');
const files = readdirSync(path.join(root, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((f) => /\.tsx?$/u.test(f))
  .map((f) => path.join('src', f))
  .sort();

const longFiles: string[] = [];
const longFunctions: string[] = [];
const casts: string[] = [];
for (const file of files) {
  const text = readFileSync(path.join(root, file), 'utf8');
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true);
  const lines = text.split('\n').length - 1;
  if (lines > MOST_FILE) longFiles.push(`${file} ${lines}`);
  const lineOf = (at: number) => source.getLineAndCharacterOfPosition(at).line + 1;
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionLike(node) && 'body' in node && node.body !== undefined) {
      const length = lineOf(node.end) - lineOf(node.getStart()) + 1;
      if (length > MOST_FUNCTION) {
        const name = node.name?.getText() ?? 'anonymous';
        longFunctions.push(`${file}:${lineOf(node.getStart())} ${name} ${length}`);
      }
    }
    if (
      ts.isAsExpression(node) &&
      ts.isAsExpression(node.expression) &&
      node.expression.type.kind === ts.SyntaxKind.UnknownKeyword
    ) {
      casts.push(`${file}:${lineOf(node.getStart())} ${node.type.getText()}`);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
}

const print = (title: string, rows: readonly string[]) => {
  console.log(`${title}: ${rows.length}`);
  for (const row of rows) console.log(`  ${row}`);
};
console.log(`files: ${files.length}`);
print(`files over ${MOST_FILE} lines`, longFiles);
print(`functions over ${MOST_FUNCTION} lines`, longFunctions);
print('casts by way of unknown', casts);

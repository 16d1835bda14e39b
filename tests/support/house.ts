import ts from 'typescript';

/** Lines a file and a function may have without a word on why they are not divided. */
export const MOST_FILE = 350;
export const MOST_FUNCTION = 80;

/** A file or function that is long. */
export interface Long {
  /** `src/a.ts` or `src/a.ts:12 name`. */
  readonly where: string;
  readonly lines: number;
  /** Why it is not divided; null where nothing is said, or where it has outgrown what was said. */
  readonly why: string | null;
}

export interface House {
  readonly files: readonly Long[];
  readonly functions: readonly Long[];
  /** Reasons that stand beside nothing long. */
  readonly idle: readonly string[];
  /** Casts by way of `unknown`. */
  readonly casts: readonly string[];
}

/**
 * A reason stands in a comment directly before its function, `Whole at 120: one table of …`, or
 * anywhere in its file, `File whole at 380: …`. It holds for so many lines and for nothing else: what
 * grows beyond them, and what is written beside or within it, needs a reason of its own.
 */
const REASON = /\b(File whole|Whole) at (\d+): ([^*]*)/u;

/** What of a file is long, with the reasons that stand in it. */
export function houseOf(file: string, text: string): House {
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true);
  const lineOf = (at: number) => source.getLineAndCharacterOfPosition(at).line + 1;
  const reasons = reasonsIn(text);
  const used = new Set<Reason>();
  const judge = (where: string, lines: number, reason: Reason | undefined): Long => {
    if (reason !== undefined) used.add(reason);
    return { where, lines, why: reason !== undefined && lines <= reason.most ? reason.why : null };
  };
  const functions: Long[] = [];
  const casts: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionLike(node) && 'body' in node && node.body !== undefined) {
      const first = lineOf(node.getStart());
      const lines = lineOf(node.end) - first + 1;
      if (lines > MOST_FUNCTION) {
        const whole = statementOf(node);
        const [from, to] = [whole.getFullStart(), whole.getStart()];
        const own = reasons.find((r) => r.of === 'function' && r.at >= from && r.at < to);
        functions.push(judge(`${file}:${first} ${nameOf(node)}`, lines, own));
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
  const lines = text.split('\n').length - 1;
  const files =
    lines > MOST_FILE
      ? [
          judge(
            file,
            lines,
            reasons.find((r) => r.of === 'file'),
          ),
        ]
      : [];
  const idle = reasons.filter((r) => !used.has(r)).map((r) => `${file}:${lineOf(r.at)} ${r.why}`);
  return { files, functions, idle, casts };
}

interface Reason {
  readonly of: 'file' | 'function';
  readonly at: number;
  readonly most: number;
  readonly why: string;
}

/** Comments that are reasons, lines that follow one another put together. */
function reasonsIn(text: string): readonly Reason[] {
  return [...text.matchAll(/(?:^[ \t]*\/\/.*\n?)+|\/\*[\s\S]*?\*\//gmu)].flatMap((comment) => {
    const words = comment[0]
      .replace(/^[ \t]*(?:\/\/|\/\*\*?|\*(?!\/))/gmu, ' ')
      .replace(/\s+/gu, ' ');
    const found = REASON.exec(words);
    if (found === null) return [];
    const [, kind, most, why] = found;
    const of = kind === 'Whole' ? 'function' : 'file';
    return [{ of, at: comment.index, most: Number(most), why: why!.trim() } as const];
  });
}

/** What a comment on a function stands before: its own declaration, or that of what holds it. */
function statementOf(node: ts.Node): ts.Node {
  const { parent } = node;
  if (ts.isVariableDeclaration(parent)) return parent.parent.parent;
  return ts.isPropertyAssignment(parent) || ts.isPropertyDeclaration(parent) ? parent : node;
}

function nameOf(node: ts.SignatureDeclaration): string {
  const { parent } = node;
  const named = node.name ?? (ts.isVariableDeclaration(parent) ? parent.name : undefined);
  return named?.getText() ?? 'anonymous';
}

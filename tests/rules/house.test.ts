import { expect, it } from 'vitest';
import { houseOf, MOST_FUNCTION } from '../support/house';

const lines = (n: number) => '  x();\n'.repeat(n);
const long = (name: string, n = MOST_FUNCTION + 5) => `function ${name}() {\n${lines(n - 2)}}\n`;
const unexplained = (text: string) =>
  houseOf('a.ts', text).functions.flatMap((f) => (f.why === null ? [f.where] : []));

it('a long function needs a reason of its own, and keeps it only while it does not grow', () => {
  const reason = '// Whole at 85: one table,\n// in one order.\n';
  expect(unexplained(long('one'))).toEqual(['a.ts:1 one']);
  expect(houseOf('a.ts', `${reason}${long('one')}`).functions[0]?.why).toBe(
    'one table, in one order.',
  );
  expect(unexplained(`${reason}${long('one', 86)}`)).toEqual(['a.ts:3 one']);
  // It hides nothing beside it, and nothing within it.
  expect(unexplained(`${reason}${long('one')}${long('two')}`)).toEqual(['a.ts:88 two']);
  const within = `function one() {\n${long('two')}${'  x();\n'}}\n`;
  expect(unexplained(`/** Whole at 100: one machine. */\n${within}`)).toEqual(['a.ts:3 two']);
});

it('a function that is a value has its reason before the value', () => {
  const value = `const one = () => {\n${lines(90)}};\n`;
  expect(unexplained(value)).toEqual(['a.ts:1 one']);
  expect(unexplained(`/** What it is for. Whole at 92: one layout. */\n${value}`)).toEqual([]);
});

it('a file needs one too, and a reason beside nothing long is told', () => {
  const text = `${'x();\n'.repeat(360)}`;
  expect(houseOf('a.ts', text).files).toEqual([{ where: 'a.ts', lines: 360, why: null }]);
  const said = `// File whole at 361: one table.\n${text}`;
  expect(houseOf('a.ts', said).files[0]?.why).toBe('one table.');
  expect(houseOf('a.ts', '// Whole at 90: one table.\nx();\n').idle).toEqual(['a.ts:1 one table.']);
});

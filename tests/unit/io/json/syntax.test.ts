import { describe, expect, it } from 'vitest';
import { explainSyntax, isNestedDeeper } from '../../../../src/io/json/syntax';
import { Dice } from '../../../support/generate/dice';

describe('explainSyntax', () => {
  it.each([
    ['', 1, 1, 'the text ends too early: a value is expected'],
    ['{"a": [1, 2', 1, 12, "the text ends too early: a comma or ']' is expected"],
    ['{"a":1,}', 1, 8, 'this is no JSON: a name in double quotes is expected'],
    ['{\n  "a" 1}', 2, 7, 'this is no JSON: a colon is expected'],
    ['{"a":1 "b":2}', 1, 8, "this is no JSON: a comma or '}' is expected"],
    ['[1\r\n,,2]', 2, 2, 'this is no JSON: a value is expected'],
    ['[01]', 1, 3, "this is no JSON: a comma or ']' is expected"],
    ['[1.]', 1, 3, "this is no JSON: a comma or ']' is expected"],
    ["{'a':1}", 1, 2, 'this is no JSON: a name in double quotes is expected'],
    ['nul', 1, 1, 'this is no JSON: a value is expected'],
    ['{} {}', 1, 4, 'this is no JSON: something follows the end'],
    ['["a\\x"]', 1, 4, 'this is no JSON: no such escape'],
    ['["a\tb"]', 1, 4, 'this is no JSON: a control character stands in a text'],
    ['["abc', 1, 6, 'the text ends too early: a closing quote is expected'],
    ['[1]]', 1, 4, 'this is no JSON: something follows the end'],
  ])('finds the place in %j', (text, line, column, message) => {
    expect(() => JSON.parse(text)).toThrow();
    expect(explainSyntax(text)).toMatchObject({ line, column, message });
  });

  it('finds a fault in just the texts that JSON.parse refuses', () => {
    const whole = '{"a":[1,-2.5e3,true,null,"x\\n\\u00e9"],"b":{"c":{},"d":[]}}';
    const signs = '{}[]",:0123eE+-.tfn\\ \n\u0001ux';
    let refused = 0;
    for (let seed = 0; seed < 4_000; seed++) {
      const d = new Dice(seed, 0);
      const at = d.int(0, whole.length - 1);
      const cut = d.int(0, 2);
      const text = whole.slice(0, at) + signs[d.int(0, signs.length - 1)] + whole.slice(at + cut);
      const found = explainSyntax(text).message;
      if (isRefused(text)) {
        refused++;
        expect(found, text).not.toContain('nothing is wrong');
      } else expect(found, text).toContain('nothing is wrong');
    }
    expect(refused).toBeGreaterThan(2_000);
    expect(refused).toBeLessThan(3_900);
  });
});

function isRefused(text: string): boolean {
  try {
    JSON.parse(text);
    return false;
  } catch {
    return true;
  }
}

describe('isNestedDeeper', () => {
  it.each([
    ['[[[]]]', 3, false],
    ['[[[]]]', 2, true],
    ['[[],[],[]]', 2, false],
    ['{"a":{"b":[1]}}', 2, true],
    ['["[[[[", "\\"[[[", "\\\\"]', 1, false],
    ['["\\\\", [[]]]', 2, true],
    ['"[[[', 0, false],
  ])('of %s beyond %d is %s', (text, most, deeper) => {
    expect(isNestedDeeper(text, most)).toBe(deeper);
  });
});

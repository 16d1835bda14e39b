import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { expect, it } from 'vitest';
import { COLLECTIONS, LESSONS, PHRASES, PLANS } from '../../../../src/io/kinds/kinds';
import { keyOf } from '../../../../src/storage/record';
import type { StoreProblem } from '../../../../src/storage/types';
import { NotShown, problemOf } from '../../../../src/ui/frame/not-here';

const problem = (kind: StoreProblem['kind'], title: string | null): StoreProblem => {
  return { kind, key: 'a', title, problems: [], raw: '{}' };
};
const shown = (of: StoreProblem | null) =>
  renderToStaticMarkup(createElement(NotShown, { kind: PHRASES, problem: of }));

it('a phrase that another window has written with a newer program is not said to be gone', () => {
  expect(shown(null)).toContain('This phrase is not here');
  const newer = shown(problem('too new', 'Third Rung'));
  expect(newer).not.toContain('removed');
  expect(newer).toContain('This phrase cannot be read');
  expect(newer).toContain('Third Rung was written by a newer version of Degreewise');
  const damaged = shown(problem('damaged', null));
  expect(damaged).toContain('It is damaged.');
  expect(damaged).not.toContain('load this page again');
});

it.each([PHRASES, LESSONS, PLANS, COLLECTIONS])(
  'of a $noun is said what is wrong with its record, which is found under its key',
  (kind) => {
    const newer = { ...problem('too new', null), key: keyOf(kind, 'a b') };
    expect(problemOf([problem('damaged', null), newer], kind, 'a b')).toBe(newer);
    expect(problemOf([newer], kind, 'a')).toBeNull();
    const page = renderToStaticMarkup(createElement(NotShown, { kind, problem: newer }));
    expect(page).toContain(`This ${kind.noun} cannot be read`);
    expect(page).toContain('written by a newer version of Degreewise');
    const gone = renderToStaticMarkup(createElement(NotShown, { kind, problem: null }));
    expect(gone).toContain(`This ${kind.noun} is not here`);
  },
);

import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { expect, it } from 'vitest';
import type { StoreProblem } from '../../../../src/storage/types';
import { NotShown } from '../../../../src/ui/frame/phrase-or-reason';

const problem = (kind: StoreProblem['kind'], title: string | null): StoreProblem => {
  return { kind, key: 'a', title, problems: [], raw: '{}' };
};
const shown = (of: StoreProblem | null) =>
  renderToStaticMarkup(createElement(NotShown, { problem: of }));

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

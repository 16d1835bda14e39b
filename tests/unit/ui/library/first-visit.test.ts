import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { afterEach, expect, it, vi } from 'vitest';
import { FirstVisit } from '../../../../src/ui/library/first-visit';

// The page has no line of music of its own here.
vi.mock('../../../../src/ui/library/first-sight', () => ({ firstSight: null }));
vi.mock('../../../../src/ui/score/engraver', () => ({ useEngraver: () => null }));
afterEach(() => vi.unstubAllGlobals());

const withStorage = (getItem: (key: string) => string | null) => {
  vi.stubGlobal('localStorage', { getItem });
  return renderToStaticMarkup(createElement(FirstVisit));
};

it('the words of a first visit stand there until they are put away, also where storage is switched off', () => {
  expect(withStorage(() => null)).toContain('A workbook for phrases');
  expect(withStorage((key) => (key === 'degreewise.first-visit.seen' ? 'yes' : null))).toBe('');
  const off = withStorage(() => {
    throw new DOMException('no', 'SecurityError');
  });
  expect(off).toContain('A workbook for phrases');
});

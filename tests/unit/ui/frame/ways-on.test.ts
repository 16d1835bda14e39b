import { expect, it } from 'vitest';
import type { App } from '../../../../src/ui/frame/app-context';
import { waysOn } from '../../../../src/ui/frame/ways-on';

it('every page is offered on every other, and not on itself', () => {
  const app = {} as App;
  const all = waysOn(app, 'library').map((a) => a.id);
  expect(new Set(all).size).toBe(all.length);
  for (const page of ['solo', 'lessons', 'collections', 'tags', 'removed', 'catch'] as const) {
    expect(all).toContain(`library.${page}`);
    expect(waysOn(app, page).map((a) => a.id)).toEqual(
      all.filter((id) => id !== `library.${page}`),
    );
  }
});

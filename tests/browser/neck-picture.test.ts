import { expect, it } from 'vitest';
import { readableSvg } from '../support/engraving-pages';
import { NECK_PAGES } from '../support/neck-pages';

const KEPT = import.meta.glob<string>('../golden/neck/*.svg.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

it.each(NECK_PAGES)('draws the neck with the bytes that Node wrote: $name', ({ name, svg }) => {
  expect(readableSvg([{ svg: svg() }])).toBe(KEPT[`../golden/neck/${name}.svg.txt`]);
});

import { bench, describe } from 'vitest';
import { writeTextTab } from '../../src/io/text-tab/write/write-text-tab';
import { build } from '../support/build';

// Time in proportion to the phrase: eight times the bars should take about eight times as long.

const bars = (n: number) =>
  build(Array.from({ length: n }, () => 'e 3/5@pm 3/7 3/8 3/9 3/5 3/7 3/8 3/9').join(' | '), {
    chords: Array.from({ length: n }, () => 'C').join(' | '),
  });
const [small, large] = [bars(20), bars(160)];

describe('text tab', () => {
  bench('20 bars', () => {
    writeTextTab(small, { width: 80, degrees: 'chord' });
  });
  bench('160 bars', () => {
    writeTextTab(large, { width: 80, degrees: 'chord' });
  });
});

import { bench, describe } from 'vitest';
import { movePhrase } from '../../src/core/move/move';
import { problemOf } from '../../src/core/neck/problem-of';
import { findFingerings } from '../../src/core/neck/solve';
import { build } from '../support/build';
import { toChord } from '../support/moves';

// Goal: moving and refingering a four-bar phrase takes under 5 ms. Reported beside the plain cost of
// copying the same phrase as JSON, so that a slower machine shows in both.

const line =
  'e 3/5 3/7(h) 2/5 2/8(bend:Ab4) 1/5 2/8 2/5 3/7(vib) | 3/5(in:-1)+2/5(in:-1) - 3/7 3/5(p) 4/7 3/4 3/5 - | e3 1/5 1/8 1/5 2/8 2/5 2/8 q 2/8(bend:Ab4) 1/5 | e 3/7 3/5 4/7 4/5 h 4/7(vib)';
const p = build(line, { chords: 'A7 | D7 | A7 | E7', key: 'A blues' });

describe('a four-bar phrase', () => {
  bench('copied as JSON', () => {
    JSON.parse(JSON.stringify(p));
  });
  bench('moved to another chord by shape', () => {
    movePhrase(p, { to: toChord(p, 'D7') });
  });
  bench('moved and refingered by area', () => {
    movePhrase(p, { to: toChord(p, 'D7'), hand: 'area' });
  });
  bench('refingered over the whole neck', () => {
    findFingerings(problemOf(p), { style: 'lead' });
  });
});

import { describe, expect, it } from 'vitest';
import { fail, ok } from '../../../../src/core/result';
import {
  goesOn,
  noneYet,
  type Several,
  stopped,
  withMore,
  withNext,
} from '../../../../src/ui/solo/several';
import type { SoloMade } from '../../../../src/ui/solo/solo-worker';
import { readSamples } from '../../../support/samples';

const phrase = readSamples()[0]!.phrase;

/** A chorus that is told by the one phrase that lies on it. */
const made = (id: string): SoloMade => ({
  phrase,
  parts: [{ firstBar: 1, lastBar: 2, id, title: id, octaves: 0, why: [], changes: [] }],
  empty: [],
});

/** Goes on until nothing is to be made any more; seed 0 brings the first of these, and so on, the last of them for ever. */
function run(start: Several, brings: readonly string[]): Several {
  let s = start;
  for (let n = 0; goesOn(s); n++) {
    if (n > 1_000) throw new Error('it never ends');
    s = withNext(s, ok(made(brings[Math.min(s.next, brings.length - 1)]!)));
  }
  return s;
}

const names = (s: Several) => s.found.map((d) => `${d.seed} ${d.made.parts[0]!.id}`);

describe('several choruses to choose from', () => {
  it('differ, begin with the best, and say when there are no more', () => {
    expect(names(run(noneYet(3), ['a', 'a', 'b', 'a', 'c', 'd']))).toEqual(['0 a', '2 b', '4 c']);
    const few = run(noneYet(4), ['a', 'b', 'a']);
    expect(names(few)).toEqual(['0 a', '1 b']);
    expect(few.found.length).toBeLessThan(few.wanted);
  });

  it('go on from where they were, stop where they are, and are refused as a whole or not at all', () => {
    const three = run(noneYet(3), ['a', 'b', 'c', 'd', 'e']);
    expect(names(run(withMore(three, 2), ['a', 'b', 'c', 'd', 'e']))).toEqual([
      ...names(three),
      '3 d',
      '4 e',
    ]);
    const one = withNext(noneYet(3), ok(made('a')));
    expect([goesOn(one), goesOn(stopped(one)), names(stopped(one))]).toEqual([
      true,
      false,
      ['0 a'],
    ]);
    const refused = withNext(noneYet(3), fail({ message: 'no' }));
    expect([goesOn(refused), refused.refused?.ok]).toEqual([false, false]);
    // A draw that finds no way takes nothing away of what was found.
    const went = withNext(one, fail({ message: 'no' }));
    expect([goesOn(went), names(went)]).toEqual([true, ['0 a']]);
  });
});

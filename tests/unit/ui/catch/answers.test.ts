import { expect, it } from 'vitest';
import {
  answered,
  noAnswers,
  toGiveAgain,
  toTakeBack,
  writtenNow,
} from '../../../../src/ui/catch/answers';
import type { CaughtTake } from '../../../../src/ui/catch/messages';

const written = (...out: readonly number[]) => ({ take: {} as CaughtTake, out: new Set(out) });

const first = written();
const without = written(3);
const over = written(3);
const one = writtenNow(answered(noAnswers(first.take), 'take out G4', first), without, 2);
const both = writtenNow(answered(one, 'over C7', without), over, 2);

it('answers are taken back from the newest on, and given again', () => {
  expect(toTakeBack(both, 2)).toMatchObject({ words: 'over C7', before: without });
  const back = writtenNow(both, without, 2);
  expect(toTakeBack(back, 2)).toMatchObject({ words: 'take out G4', before: first });
  expect(toGiveAgain(back, 2)).toMatchObject({ words: 'over C7', after: over });
  const start = writtenNow(back, first, 2);
  expect(toTakeBack(start, 2)).toBeNull();
  expect(toGiveAgain(start, 2)).toMatchObject({ words: 'take out G4' });
  const forth = writtenNow(writtenNow(start, without, 2), over, 2);
  expect([forth.done, forth.undone]).toEqual([both.done, []]);
});

it('what was corrected since comes first, both ways', () => {
  expect(toTakeBack(one, 3)).toBeNull();
  expect(toTakeBack(one, 2)).not.toBeNull();
  const start = writtenNow(one, first, 2);
  expect(toGiveAgain(start, 1)).toBeNull();
  expect(toGiveAgain(start, 2)).not.toBeNull();
});

it('another answer ends what could be given again, and the fields end all of it', () => {
  const back = writtenNow(both, without, 2);
  expect(writtenNow(answered(back, 'another rhythm', without), written(3), 2).undone).toEqual([]);
  expect(writtenNow(both, written(3), 2)).toMatchObject({ done: [], undone: [] });
  // Where nothing has come of an answer yet, nothing has changed.
  expect(writtenNow(answered(one, 'over C7', without), without, 2).done).toEqual(one.done);
});

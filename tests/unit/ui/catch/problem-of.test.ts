import { expect, it } from 'vitest';
import { soundOfFile } from '../../../../src/ui/catch/microphone';
import { problemOf } from '../../../../src/ui/catch/problem-of';
import { problemText } from '../../../../src/ui/shared/words';

/* What is said of a recording that cannot be heard. */

it('ends with one full stop, of one sentence or of several', () => {
  expect(problemText(problemOf(new Error('“a” holds no sound. Try a WAV file.')))).toBe(
    '“a” holds no sound. Try a WAV file.',
  );
  expect(problemText(problemOf('it stopped'))).toBe('It stopped.');
});

it('of one that is too large is said without reading it', async () => {
  const film = {
    name: 'film.mp4',
    size: 812_000_000,
    arrayBuffer: () => Promise.reject(new Error('it was read')),
  } as unknown as File;
  await expect(soundOfFile(film)).rejects.toThrow('“film.mp4” has 812 MB');
});

import { writeWav } from '../../io/wav/write';
import { renderPhrase } from '../../sound/render';
import type { Writer } from '../format';
import { toneOfLook } from '../tone-of-look';

/** Samples a second. */
const RATE = 44_100;

export const write: Writer = (phrase, look) => {
  const tone = toneOfLook(phrase, look);
  const samples = renderPhrase(phrase, {
    speed: look.speed / 100,
    swing: look.swing,
    tone,
    rate: RATE,
  });
  return writeWav(samples, RATE);
};

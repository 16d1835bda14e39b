import { writeMidi } from '../../io/midi-out/write';
import type { Writer } from '../format';
import { toneOfLook } from '../tone-of-look';

export const write: Writer = (phrase, look) =>
  writeMidi(phrase, {
    speed: look.speed / 100,
    swing: look.swing,
    tone: toneOfLook(phrase, look),
  });

import { writeMidiRounds } from '../../io/midi-out/write';
import type { Writer } from '../format';
import { performedByLook, roundsOfLook } from '../rounds-of-look';
import { toneOfLook } from '../tone-of-look';

export const write: Writer = (phrase, look) =>
  writeMidiRounds(roundsOfLook(phrase, look), toneOfLook(phrase, look), performedByLook(look));

import { decodePhrase } from '../json/decode';
import { decodeEarlier, decodeKept } from '../json/decode-kept';
import { decodeForm, decodeLesson } from '../json/decode-lesson';
import { decodeCollection, decodePair, decodeSearch, decodeUse } from '../json/decode-order';
import { decodePlan, decodeTurn } from '../json/decode-plan';
import { decodePlayed } from '../json/decode-played';

/** Everything that is checked at the door, by kind. */
export const CHECKS = {
  decodePhrase,
  decodeLesson,
  decodeForm,
  decodeCollection,
  decodeSearch,
  decodeUse,
  decodePair,
  decodePlan,
  decodeTurn,
  decodeKept,
  decodeEarlier,
  decodePlayed,
};

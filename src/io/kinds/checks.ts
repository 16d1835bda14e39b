import { decodePhrase } from '../json/decode';
import { decodeForm, decodeLesson } from '../json/decode-lesson';

/** Everything that is checked at the door, by kind. */
export const CHECKS = { decodePhrase, decodeLesson, decodeForm };

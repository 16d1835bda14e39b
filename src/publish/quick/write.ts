import type { Phrase } from '../../core/phrase/types';
import { writeQuick } from '../../io/quick/write';
import type { Writer } from '../format';

export const write: Writer = (phrase) => `${writeQuick(phrase).text}\n`;

/** What of a phrase quick text does not say. */
export const left = (phrase: Phrase): readonly string[] => writeQuick(phrase).left;

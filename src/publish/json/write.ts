import { encodePhrase } from '../../io/json';
import type { Writer } from '../format';

export const write: Writer = (phrase) => encodePhrase(phrase);

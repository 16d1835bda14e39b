import type { Phrase } from '../core/phrase/types';
import { type ToneName, toneOf } from '../core/sound/tone';
import type { Look } from './format';

/** The tone that is asked for, or the instrument's own. */
export function toneOfLook(phrase: Phrase, look: Pick<Look, 'tone'>): ToneName {
  return look.tone === 'own' ? toneOf(phrase) : look.tone;
}

import type { Phrase } from '../../core/phrase/types';
import { runVary, type VaryForm } from './vary-form';

/** What the page sends. */
export interface VaryAsked {
  readonly phrase: Phrase;
  readonly form: VaryForm;
}

self.onmessage = (e: MessageEvent<VaryAsked>) => {
  const { phrase, form } = e.data;
  self.postMessage(runVary(phrase, form));
};

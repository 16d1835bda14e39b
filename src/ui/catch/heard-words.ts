import type { EarState } from './use-ear';

/** What is to be said of an input while it is listened to: what is wrong with it, or what is kept of it. */
export function inputWords(state: Pick<EarState, 'clipped' | 'silent' | 'slow' | 'rate'>): string {
  // What is so now goes before what was so a moment ago.
  if (state.silent) return 'Nothing is heard: check which input is chosen, and turn it up.';
  if (state.clipped) return 'It was too loud: turn the input down.';
  if (state.slow) return 'This browser hears slowly: notes are shown only when you keep them.';
  const rate = state.rate === null ? '' : `, as they come in at ${state.rate / 1000} kHz`;
  return `The last five minutes are remembered${rate}.`;
}

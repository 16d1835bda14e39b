import { count } from '../../shared/words';
import type { FolderState } from './keeper';

const TIME = new Intl.DateTimeFormat('en-GB', { timeStyle: 'short' });

/** The state in a sentence or two; empty where there is nothing to be said. */
export function folderWords(state: FolderState): string {
  switch (state.kind) {
    case 'opening':
    case 'none':
    case 'no folders':
      return '';
    case 'waits':
      return 'Another window shows an earlier version of the program, which holds the folder. Close that window.';
    case 'asks':
      return `The browser asks again before the folder “${state.name}” may be read and written.`;
    case 'at work':
      return state.total === 0
        ? `Looking at the folder “${state.name}” …`
        : `Bringing the folder “${state.name}” in step: ${state.done} of ${state.total} …`;
    case 'in step': {
      const n = state.unreadable.length;
      const broken =
        n === 0
          ? ''
          : ` ${count(n, 'file')} could not be read and ${n === 1 ? 'is' : 'are'} tried again.`;
      const { waiting } = state;
      const left =
        waiting === 0
          ? ''
          : `, but for ${count(waiting, 'thing')} that changed meanwhile and ${waiting === 1 ? 'is' : 'are'} tried again`;
      return `In step with the folder “${state.name}” since ${TIME.format(state.since)}${left}.${broken}`;
    }
    case 'failed':
      return `The folder “${state.name}” is not in step: ${state.why}. It is tried again.`;
  }
}

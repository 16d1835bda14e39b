import type { Phrase } from '../../phrase/types';
import { defineCommand } from '../command';
import { putIn, putInOverChord } from '../put-in';
import type { EditState } from '../state';
import { repeatBehind } from './repeat-behind';

const some = (s: EditState): readonly Phrase[] => [
  s.phrase,
  { ...s.phrase, voices: [{ events: [], tuplets: [] }] },
];

/** A phrase from the clipboard; it has passed the door already. */
export const paste = defineCommand<Phrase>({
  id: 'take.paste',
  group: 'Taking and putting',
  title: 'Put in a phrase from the clipboard',
  ask: { kind: 'given', is: isPhrase, some },
  apply: putIn,
});

/** The same, moved to the chord at the cursor. */
export const pasteOverChord = defineCommand<Phrase>({
  id: 'take.paste-over',
  group: 'Taking and putting',
  title: 'Put in a phrase from the clipboard, over the chord at the cursor',
  ask: { kind: 'given', is: isPhrase, some },
  apply: putInOverChord,
});

/** What is chosen, or this bar, once more behind itself. */
export const repeatChosen = defineCommand<undefined>({
  id: 'take.repeat',
  group: 'Taking and putting',
  title: 'Repeat what is chosen, or this bar, behind itself',
  words: 'duplicate copy double twice loop',
  ask: { kind: 'nothing' },
  keys: [{ key: '&', value: undefined }],
  apply: repeatBehind,
});

/** What is a phrase was settled where it came in; this only tells it from other things. */
function isPhrase(x: unknown): x is Phrase {
  return typeof x === 'object' && x !== null && 'voices' in x && 'instrument' in x;
}

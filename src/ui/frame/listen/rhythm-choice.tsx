import { useId } from 'react';
import { isRhythm } from '../../../core/backing/rhythm';
import type { Phrase } from '../../../core/phrase/types';
import { useApp } from '../app-context';
import { PhraseSelect } from '../phrase-select';

/** With what the band comps: its own chords, or one of the user's phrases of chords or double stops. */
export function RhythmChoice(props: {
  /** Id of the phrase; null for the band's own. */
  readonly value: string | null;
  readonly onChange: (rhythm: Phrase | null) => void;
}) {
  const { store } = useApp();
  const id = useId();
  return (
    <label htmlFor={id}>
      <span>Chords</span>
      <PhraseSelect
        id={id}
        value={props.value}
        none="the band's own"
        which={isRhythm}
        onChange={(chosen) =>
          void store.load(chosen).then((found) => props.onChange(found?.phrase ?? null))
        }
      />
    </label>
  );
}

import { useState } from 'react';
import { chordsInTurn } from '../../../core/form/chords';
import type { Key } from '../../../core/theory/key';
import { useForms } from '../use-forms';

/** Takes the chords of a form, in the order in which they come, for the rounds. */
export function FormChords(props: {
  /** In which the numerals are read: minor ones mean other chords (D6). */
  readonly phraseKey: Key;
  /** The chords that are gone through. */
  readonly text: string;
  readonly onChange: (text: string) => void;
}) {
  const { phraseKey, text, onChange } = props;
  const minor = phraseKey.mode === 'minor';
  const forms = useForms()
    .filter((f) => (f.mode === 'minor') === minor)
    .map((f) => ({ ...f, text: chordsInTurn(f).join(' ') }));
  // Two forms may have the same chords: the one that was chosen is the one that is named.
  const [picked, setPicked] = useState('');
  const same = forms.filter((f) => f.text === text);
  const chosen = (same.find((f) => f.id === picked) ?? same[0])?.id ?? '';
  return (
    <label>
      <span>Chords of</span>
      <select
        value={chosen}
        onChange={(e) => {
          const form = forms.find((f) => f.id === e.target.value);
          if (form === undefined) return;
          setPicked(form.id);
          onChange(form.text);
        }}
      >
        {chosen === '' ? <option value="">no form</option> : null}
        {forms.map((f) => (
          <option key={f.id} value={f.id}>
            {f.title}
          </option>
        ))}
      </select>
    </label>
  );
}

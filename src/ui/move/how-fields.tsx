import { useId } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { MoveForm } from './move-form';
import { type ChoiceWords, HAND_WORDS, OCTAVE_WORDS, WAY_WORDS } from './move-words';
import { choicesInUse } from './run-move';

/** What is kept, which octave, what the hand does: only what means something for the goal. */
export function HowFields(props: {
  readonly phrase: Phrase;
  readonly form: MoveForm;
  readonly onChange: (form: MoveForm) => void;
}) {
  const { phrase, form, onChange } = props;
  const choices = choicesInUse(phrase, form);
  if (choices === null) return null;
  const { way, ways, octaves, hands } = choices;
  const chosen = [
    ...(hands.length === 0 ? [] : [WAY_WORDS[way].name]),
    ...(octaves.length === 0 ? [] : [OCTAVE_WORDS[form.octave ?? 'nearest'].name]),
    ...(hands.length === 0
      ? ['Every note keeps its place']
      : [HAND_WORDS[form.hand ?? 'shape'].name]),
  ].map((name, i) => (i === 0 ? name : name.toLowerCase()));
  return (
    <details className="how">
      <summary>
        <h2>How</h2> <span>{chosen.join(', ')}</span>
      </summary>
      <div className="how-choices">
        {ways.length < 2 ? null : (
          <Choice
            name="What stays the same"
            choices={ways}
            words={WAY_WORDS}
            value={way}
            onChange={(w) => onChange({ ...form, way: w })}
          />
        )}
        {way === 'tonal' ? (
          <p className="quiet">
            {WAY_WORDS.tonal.line} Chromatic notes follow the note they lead to.
          </p>
        ) : null}
        {octaves.length === 0 ? null : (
          <Choice
            name="Which way"
            choices={octaves}
            words={OCTAVE_WORDS}
            value={form.octave ?? 'nearest'}
            onChange={(octave) => onChange({ ...form, octave })}
          />
        )}
        {hands.length === 0 ? (
          <p className="quiet">Every note keeps its place on the neck; degrees are read anew.</p>
        ) : (
          <Choice
            name="The hand"
            choices={hands}
            words={HAND_WORDS}
            value={form.hand ?? 'shape'}
            onChange={(hand) => onChange({ ...form, hand })}
          />
        )}
      </div>
    </details>
  );
}

function Choice<T extends string>(props: {
  readonly name: string;
  readonly choices: readonly T[];
  readonly words: Readonly<Record<T, ChoiceWords>>;
  readonly value: T;
  readonly onChange: (value: T) => void;
}) {
  const id = useId();
  return (
    <fieldset className="choice">
      <legend>{props.name}</legend>
      {props.choices.map((c) => (
        <label key={c}>
          <input
            type="radio"
            name={id}
            value={c}
            checked={props.value === c}
            onChange={() => props.onChange(c)}
          />
          <span>
            <b>{props.words[c].name}</b>
            <small>{props.words[c].line}</small>
          </span>
        </label>
      ))}
    </fieldset>
  );
}

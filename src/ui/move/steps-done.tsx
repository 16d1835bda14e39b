import type { Phrase } from '../../core/phrase/types';
import { capital } from '../shared/words';
import { type MoveForm, movedBack } from './move-form';
import { stepsInWords } from './move-words';

/** The moves that go before, with a way to take the last of them up again. */
export function StepsDone(props: {
  readonly phrase: Phrase;
  readonly form: MoveForm;
  readonly onChange: (form: MoveForm) => void;
}) {
  const { phrase, form, onChange } = props;
  if (form.done.length === 0) return null;
  const words = stepsInWords(
    phrase,
    form.done.map((d) => d.goal),
  );
  return (
    <p className="steps-done">
      {capital(words)}.{' '}
      <button type="button" onClick={() => onChange(movedBack(form))}>
        One move back
      </button>
    </p>
  );
}

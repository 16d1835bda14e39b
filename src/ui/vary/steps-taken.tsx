import { variationOf } from '../../core/vary/table';
import type { VaryForm } from './vary-form';

/** What goes before, one after the other; the last can be taken back. */
export function StepsTaken(props: {
  readonly form: VaryForm;
  readonly onChange: (form: VaryForm) => void;
}) {
  const { form, onChange } = props;
  const last = form.done.at(-1);
  if (last === undefined) return null;
  return (
    <div className="steps-taken">
      <ol>
        {form.done.map((s, i) => (
          // The same variation may stand twice.
          // biome-ignore lint/suspicious/noArrayIndexKey: a step has no other identity
          <li key={i}>{variationOf(s.id).words}</li>
        ))}
      </ol>
      <button
        type="button"
        onClick={() => onChange({ ...form, done: form.done.slice(0, -1), how: last.id })}
      >
        Take the last one back
      </button>
    </div>
  );
}

import {
  VARIATION_GROUPS,
  VARIATION_IDS,
  type VariationGroup,
  variationOf,
} from '../../core/vary/table';
import { capital } from '../shared/words';
import type { VaryForm } from './vary-form';

const GROUPS = Object.keys(VARIATION_GROUPS) as readonly VariationGroup[];

/** On a phone the choice folds up once it is made, so that the results are near. */
const isWide = () => window.matchMedia('(width >= 46rem)').matches;

/** Every variation by what it is about; what the chosen one promises is said beneath. */
export function VariationChoice(props: {
  readonly form: VaryForm;
  readonly onChange: (form: VaryForm) => void;
}) {
  const { form, onChange } = props;
  return (
    <>
      <details className="choose-variation" open={form.how === null || isWide()}>
        <summary>{form.how === null ? 'Choose one' : 'Choose another'}</summary>
        <div className="variations">
          {GROUPS.map((g) => (
            <fieldset key={g} className="variation-group">
              <legend>{VARIATION_GROUPS[g]}</legend>
              <div>
                {VARIATION_IDS.filter((id) => variationOf(id).group === g).map((id) => (
                  <button
                    key={id}
                    type="button"
                    aria-pressed={form.how === id}
                    onClick={() => onChange({ ...form, how: form.how === id ? null : id, seed: 0 })}
                  >
                    {variationOf(id).words}
                  </button>
                ))}
              </div>
            </fieldset>
          ))}
        </div>
      </details>
      {form.how === null ? null : (
        <p className="promise">
          {capital(variationOf(form.how).promise)}.{' '}
          <button type="button" onClick={() => onChange({ ...form, seed: form.seed + 1 })}>
            Choose other notes
          </button>
          {form.seed === 0 ? null : (
            <button type="button" onClick={() => onChange({ ...form, seed: 0 })}>
              Back to the usual choice
            </button>
          )}
        </p>
      )}
    </>
  );
}

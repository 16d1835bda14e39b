import { useEffect, useState } from 'react';
import { type WayOut, waysOut } from '../../core/move/ways-out';
import type { Phrase } from '../../core/phrase/types';
import { capital } from '../shared/words';
import { type MoveForm, movedOn } from './move-form';
import { type Outcome, requestsOf } from './run-move';

interface WaysOutProps {
  readonly phrase: Phrase;
  readonly form: MoveForm;
  readonly outcome: Outcome;
  readonly onChange: (form: MoveForm) => void;
}

/** What can be kept as it stands where the wish could not; found while the hand rests. */
export function WaysOut({ phrase, form, outcome, onChange }: WaysOutProps) {
  const [found, setFound] = useState<readonly WayOut[]>([]);
  useEffect(() => {
    setFound([]);
    if (outcome.kind === 'moved' && outcome.report.obstacles.length === 0) return;
    if (outcome.kind === 'nothing') return;
    const timer = setTimeout(() => {
      const steps = form.goal === null ? form.done : movedOn(form).done;
      const requests = requestsOf(phrase, steps, form);
      const obstacles = outcome.kind === 'moved' ? outcome.report.obstacles : [];
      if (requests.ok) setFound(waysOut(phrase, requests.value, obstacles));
    }, REST);
    return () => clearTimeout(timer);
  }, [phrase, form, outcome]);
  if (found.length === 0) return null;
  return (
    <section aria-labelledby="ways-out" className="ways-out">
      <h3 id="ways-out">It can also be had</h3>
      <div className="buttons">
        {found.map((out) => (
          <button key={out.text} type="button" onClick={() => onChange(taken(form, out))}>
            {capital(out.text)}
          </button>
        ))}
      </div>
    </section>
  );
}

/** Milliseconds of rest before ways out are looked for. */
const REST = 250;

/** The form with a way out taken. */
function taken(form: MoveForm, out: WayOut): MoveForm {
  if (out.kind === 'without') return { ...form, without: [...form.without, out.sign] };
  if (out.kind === 'hand') return { ...form, hand: out.hand };
  if (form.goal !== null) return { ...form, octave: out.octave };
  const done = form.done.map((d, i) =>
    i === form.done.length - 1 ? { ...d, octave: out.octave } : d,
  );
  return { ...form, done };
}

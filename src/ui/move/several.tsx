import { useMemo, useState } from 'react';
import { childTitle } from '../../core/move/child';
import type { Goal } from '../../core/move/goal';
import { movePhraseOn } from '../../core/move/move';
import { ALL_KEYS, spread } from '../../core/move/several';
import type { Phrase } from '../../core/phrase/types';
import { ok, type Problem, type Result } from '../../core/result';
import { type App, useApp } from '../frame/app-context';
import { childOf, keepAllAsNew } from '../frame/keep-as-new';
import { quickChords } from '../shared/destinations';
import { count, problemText } from '../shared/words';
import type { MoveForm } from './move-form';
import { requestsOf } from './run-move';

/** One phrase to I, IV and V, or to every other key, kept in one action. */
export function Several({ phrase, form }: { readonly phrase: Phrase; readonly form: MoveForm }) {
  const app = useApp();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const chords = useMemo(() => quickChords(phrase).slice(0, 3), [phrase]);
  const keep = async (goal: Goal) => {
    const made = children(app, phrase, form, goal);
    setProblems(made.ok ? [] : made.problems);
    if (made.ok) await keepAllAsNew(app, made.value);
  };
  const names = chords.map((c) => c.label);
  const list = chords.map((c) => c.text).join(', ');
  return (
    <section aria-labelledby="several" className="several">
      <h2 id="several">Several at once</h2>
      <p className="quiet">
        Each becomes a new phrase, with the hand and the way that are chosen above.
      </p>
      <div className="buttons">
        <button type="button" onClick={() => void keep({ kind: 'chord', text: list })}>
          Keep over {names.slice(0, -1).join(', ')} and {names.at(-1)}
        </button>
        <button type="button" onClick={() => void keep({ kind: 'key', text: ALL_KEYS })}>
          Keep in the eleven other keys
        </button>
      </div>
      {problems.length === 0 ? null : (
        <p className="problem" role="alert">
          {count(problems.length, 'result')} cannot be, so nothing was kept.{' '}
          {problems.map(problemText).join(' ')}
        </p>
      )}
    </section>
  );
}

/** A new phrase for each destination, or every reason why one cannot be; none is left out silently. */
export function children(
  app: Pick<App, 'newId' | 'now'>,
  phrase: Phrase,
  form: MoveForm,
  goal: Goal,
): Result<readonly Phrase[]> {
  const lists = spread([goal], phrase.key);
  if (!lists.ok) return lists;
  const made: Phrase[] = [];
  const problems: Problem[] = [];
  for (const [only] of lists.value) {
    if (only === undefined) continue;
    const { way, octave } = form;
    const how = { ...(way && { way }), ...(octave && { octave }) };
    const requests = requestsOf(phrase, [{ goal: only, adapt: form.adapt, ...how }], form);
    const moved = requests.ok ? movePhraseOn(phrase, requests.value) : requests;
    if (!moved.ok || !requests.ok) {
      problems.push(...(moved.ok ? [] : moved.problems));
      continue;
    }
    const to = requests.value.map((r) => r.to);
    const title = childTitle(phrase, moved.value.phrase, to);
    made.push(childOf(app, phrase, moved.value.phrase, title));
  }
  return problems.length === 0 ? ok(made) : { ok: false, problems };
}

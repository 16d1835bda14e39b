import { inOrder } from '../../../core/plan/due';
import type { PlanItem } from '../../../core/plan/items';
import type { Sitting } from '../../../core/plan/sitting';
import { count, dayName } from '../../shared/words';
import { dueWords, stepAhead, stepOfTurn, stepWords, WENT_WORDS } from './plan-words';
import type { PlanNow } from './use-plan';

interface Props {
  readonly now: PlanNow;
  readonly nameOf: (item: PlanItem) => string;
}

/** `8 turns, about 15 minutes.`, `8 turns; 5 are left, about 9 minutes.` */
function lengthWords({ places, minutes, left }: Sitting): string {
  const open = places.filter((p) => p.done === null).length;
  const turns = count(places.length, 'turn');
  if (open === places.length) return `${turns}, about ${count(minutes, 'minute')}.`;
  if (open === 0) return `${turns}, all taken.`;
  return `${turns}; ${open === 1 ? '1 is' : `${open} are`} left, about ${count(left, 'minute')}.`;
}

/** What today asks for, in its order, with what was done of it. */
export function TodayList({ now, nameOf, current }: Props & { readonly current: string | null }) {
  const { places, next, waiting } = now.sitting;
  if (places.length === 0) return null;
  return (
    <section className="plan-today">
      <h2>Today</h2>
      <p className="quiet">
        {lengthWords(now.sitting)}{' '}
        {waiting.length === 0
          ? ''
          : `${count(waiting.length, 'more item')} due; the day is too short, so ${waiting.length === 1 ? 'it comes' : 'they come'} first tomorrow.`}
      </p>
      <ol>
        {places.map((p) => {
          const here = p === next && p.item.key === current;
          return (
            <li key={`${p.item.key} ${p.time}`} aria-current={here ? 'step' : undefined}>
              {nameOf(p.item)}
              {p.time > 1 ? <span className="quiet"> again</span> : null}
              {p.done === null ? null : (
                <span className="quiet">
                  {' '}
                  {stepWords(stepOfTurn(p.done))}: {WENT_WORDS[p.done.went].toLowerCase()}
                </span>
              )}
              {here ? <span className="quiet"> now</span> : null}
            </li>
          );
        })}
      </ol>
    </section>
  );
}

/** Every item with the day on which it comes next; any can be taken at once. */
export function AllItems({
  now,
  nameOf,
  onTake,
}: Props & { readonly onTake: (item: PlanItem) => void }) {
  const { all, plan, today } = now;
  if (all.length === 0) return null;
  return (
    <section>
      <h2>Everything in the plan</h2>
      <ul className="plan-items">
        {all.map((s) => (
          <li key={s.item.key}>
            <span>
              {nameOf(s.item)}{' '}
              <span className="quiet">
                {dueWords(s, today)}, at {stepWords(stepAhead(plan, s))}
                {s.turns.length === 0 ? '' : `; ${count(s.turns.length, 'turn')} so far`}
              </span>
            </span>
            <button type="button" onClick={() => onTake(s.item)}>
              Take it now<span className="unseen">: {nameOf(s.item)}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** So many turns of the log are shown at first. */
const SHOWN = 100;

/** The log as a list, the last turn first. */
export function LogList({ now }: Pick<Props, 'now'>) {
  const { turns, today } = now;
  const last = [...inOrder(turns, today)].reverse();
  return (
    <section>
      <h2>Log</h2>
      {last.length === 0 ? (
        <p>Nothing was practised yet.</p>
      ) : (
        <details>
          <summary>
            {count(last.length, 'turn')} on {count(new Set(last.map((t) => t.day)).size, 'day')}
          </summary>
          <table className="note-table">
            <thead>
              <tr>
                <th scope="col">Day</th>
                <th scope="col">What</th>
                <th scope="col">At</th>
                <th scope="col">How it went</th>
              </tr>
            </thead>
            <tbody>
              {last.slice(0, SHOWN).map((t) => (
                <tr key={t.id}>
                  <td>{dayName(t.day)}</td>
                  <td>{t.meta.title}</td>
                  <td>{stepWords(stepOfTurn(t))}</td>
                  <td>{WENT_WORDS[t.went]}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {last.length > SHOWN ? (
            <p className="quiet">
              {count(last.length - SHOWN, 'older turn')} more; the file with the log has all of
              them.
            </p>
          ) : null}
        </details>
      )}
    </section>
  );
}

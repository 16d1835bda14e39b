import { type ReactNode, useMemo, useState } from 'react';
import { sameData } from '../../core/edit/same';
import { childTitle } from '../../core/move/child';
import type { Goal } from '../../core/move/goal';
import { movePhraseOn } from '../../core/move/move';
import { ALL_KEYS, spread } from '../../core/move/several';
import type { Phrase } from '../../core/phrase/types';
import { ok, type Problem, type Result } from '../../core/result';
import { formatChord } from '../../core/theory/chord';
import type { Key } from '../../core/theory/key';
import { parseChordOrRoman } from '../../core/theory/roman';
import { type App, useApp } from '../frame/app-context';
import { childOf, keepAllAsNew } from '../frame/keep-as-new';
import { type QuickGoal, quickChords } from '../shared/destinations';
import { capital, count, problemText } from '../shared/words';
import type { MoveForm } from './move-form';
import { goalInWords } from './move-words';
import { lossesInWords } from './report-words';
import { requestsOf, runMove } from './run-move';

/**
 * One phrase to I, IV and V, or to every other key, kept in one action: from where the moves that go
 * before have led.
 */
export function Several(props: {
  readonly phrase: Phrase;
  /** The phrase as the moves that go before have left it. */
  readonly here: Phrase;
  readonly form: MoveForm;
  /** What the phrase does not say and moves over chords would need; null where that is asked already. */
  readonly asked: ReactNode;
}) {
  const { phrase, here, form, asked } = props;
  const app = useApp();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [remarks, setRemarks] = useState<readonly string[]>([]);
  const chords = useMemo(() => newChords(phrase, here, form), [phrase, here, form]);
  const keep = async (goal: Goal) => {
    const made = children(app, phrase, form, goal);
    setProblems(made.ok ? [] : made.problems);
    setRemarks(made.ok ? made.value.remarks : []);
    if (made.ok) await keepAllAsNew(app, made.value.phrases);
  };
  const list = chords.map((c) => c.text).join(', ');
  return (
    <section aria-labelledby="several" className="several">
      <h2 id="several">Several at once</h2>
      <p className="quiet">
        Each becomes a new phrase, with the hand and the way that are chosen above
        {form.done.length === 0 ? '' : ', from where the moves above have led'}.
      </p>
      <div className="buttons">
        <button type="button" onClick={() => void keep({ kind: 'chord', text: list })}>
          Keep over {inWords(chords.map((c) => c.label))}
        </button>
        <button type="button" onClick={() => void keep({ kind: 'key', text: ALL_KEYS })}>
          Keep in the eleven other keys
        </button>
      </div>
      {asked}
      {problems.length === 0 ? null : (
        <p className="problem" role="alert">
          {count(problems.length, 'result')} cannot be, so nothing was kept.{' '}
          {problems.map(problemText).join(' ')}
        </p>
      )}
      {remarks.length === 0 ? null : (
        <div role="status">
          <p>Not everywhere as it was asked:</p>
          <ul className="remarks">
            {remarks.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}

/**
 * One, four and five of the key that lead to another phrase than the one they are of: a phrase over I7 would be kept
 * over I7 as a copy of itself.
 */
export function newChords(phrase: Phrase, here: Phrase, form: MoveForm): readonly QuickGoal[] {
  return quickChords(here)
    .slice(0, 3)
    .filter(({ text }) => !isCopy(phrase, here, form, text));
}

function isCopy(phrase: Phrase, here: Phrase, form: MoveForm, text: string): boolean {
  const chord = parseChordOrRoman(text, here.key);
  const symbol = chord.ok ? formatChord(chord.value) : null;
  // Over other chords it is another phrase: most need no move to tell.
  if (phrase.chords.some((c) => c.symbol !== symbol)) return false;
  const outcome = runMove(phrase, { ...form, goal: { kind: 'chord', text } });
  if (outcome.kind !== 'moved') return false;
  const music = ({ key, instrument, chords, voices }: Phrase) => [key, instrument, chords, voices];
  return sameData(music(outcome.phrase), music(phrase));
}

/** `I7, IV7 and V7`. */
function inWords(names: readonly string[]): string {
  return [names.slice(0, -1).join(', '), names.at(-1)].filter(Boolean).join(' and ');
}

/** New phrases, and what could not be kept as it was asked, each with where that is. */
interface Made {
  readonly phrases: readonly Phrase[];
  readonly remarks: readonly string[];
}

/** A new phrase for each destination, or every reason why one cannot be; none is left out silently. */
export function children(
  app: Pick<App, 'newId' | 'now'>,
  phrase: Phrase,
  form: MoveForm,
  goal: Goal,
): Result<Made> {
  const key = keyAfter(phrase, form);
  if (!key.ok) return key;
  const lists = spread([goal], key.value);
  if (!lists.ok) return lists;
  const phrases: Phrase[] = [];
  const remarks: string[] = [];
  const problems: Problem[] = [];
  for (const [only] of lists.value) {
    if (only === undefined) continue;
    const { way, octave, done } = form;
    const how = { ...(way && { way }), ...(octave && { octave }) };
    const steps = [...done, { goal: only, adapt: form.adapt, ...how }];
    const requests = requestsOf(phrase, steps, form);
    const moved = requests.ok ? movePhraseOn(phrase, requests.value) : requests;
    const where = capital(goalInWords({ ...phrase, key: key.value }, only));
    if (!moved.ok || !requests.ok) {
      if (moved.ok) continue;
      problems.push(...moved.problems.map((x) => ({ ...x, message: `${where}: ${x.message}` })));
      continue;
    }
    const to = requests.value.map((r) => r.to);
    const title = childTitle(phrase, moved.value.phrase, to);
    phrases.push(childOf(app, phrase, moved.value.phrase, title));
    remarks.push(
      ...lossesInWords(moved.value.phrase, moved.value.report).map((l) => `${where}${l}`),
    );
  }
  return problems.length === 0
    ? ok({ phrases: inOrder(phrases, app.now()), remarks })
    : { ok: false, problems };
}

/** Made in one moment, each a millisecond after the next of the list: what was asked for first is the last changed. */
function inOrder(phrases: readonly Phrase[], now: string): readonly Phrase[] {
  return phrases.map((p, i) => {
    const at = new Date(Date.parse(now) - i).toISOString();
    return { ...p, meta: { ...p.meta, created: at, modified: at } };
  });
}

/** The key that the moves that go before lead to. */
function keyAfter(phrase: Phrase, form: MoveForm): Result<Key> {
  const before = requestsOf(phrase, form.done, form);
  if (!before.ok) return before;
  const keys = before.value.flatMap((r) => (r.to.kind === 'key' ? [r.to.key] : []));
  return ok(keys.at(-1) ?? phrase.key);
}

import type { Phrase } from '../../../core/phrase/types';
import { changedPlan } from '../../../core/plan/edit';
import { PLAN_BOUNDS, type Plan } from '../../../core/plan/types';
import { goalsOfList } from '../../../core/practice/goals';
import type { Cycle } from '../../../core/practice/types';
import { Choice } from '../../frame/export/choice';
import type { RecordEdits } from '../../frame/record-edits';
import { count, problemText } from '../../shared/words';
import { TypedField } from '../typed-field';
import { KEY_WORDS, lawWords } from './plan-words';

interface Props {
  readonly edits: RecordEdits<Plan>;
  /** In whose key chords are read; the first of the lesson. */
  readonly phrase: Phrase | null;
}

/** @param joins What is typed in one field is one step. */
type Set = (part: Parameters<typeof changedPlan>[1], joins?: string) => void;

const KEY_KINDS: readonly Cycle['kind'][] = ['same', 'fourths', 'semitones', 'list'];
const MINUTES = [5, 10, 15, 20, 30, 45, 60];
const FRESH = [1, 2, 3, 4, 5, 8, 12, PLAN_BOUNDS.fresh.most];
const FROM = [40, 50, 60, 70, 80, 90, 100];
const BY = [5, 10, 15, 20];
const TO = [70, 80, 90, 100, 110, 120];

/** What is chosen of a plan, and how it works. */
export function PlanSettings({ edits, phrase }: Props) {
  const { value: plan, change } = edits;
  const set: Set = (part, joins) => change(changedPlan(plan, part), joins);
  return (
    <details className="plan-settings">
      <summary>Student, time, tempos and keys</summary>
      <p>{lawWords(plan)}</p>
      <p className="quiet">
        Mixed order and days between help one to keep what was learnt, a little; no plan is known to
        be the best. Change it as you like.
      </p>
      <div className="plan-fields">
        <label>
          <span>Student</span>
          <input
            type="text"
            value={plan.student ?? ''}
            maxLength={200}
            autoComplete="off"
            onChange={(e) => set({ student: e.target.value }, 'student')}
          />
        </label>
        <label>
          <span>Title</span>
          <input
            type="text"
            value={plan.meta.title}
            maxLength={500}
            onChange={(e) => set({ title: e.target.value }, 'title')}
          />
        </label>
        <Numbers
          label="Time a day"
          value={plan.minutes}
          values={MINUTES}
          words={(n) => count(n, 'minute')}
          onChange={(minutes) => set({ minutes })}
        />
        <Numbers
          label="New items a day"
          value={plan.fresh}
          values={FRESH}
          words={String}
          onChange={(fresh) => set({ fresh })}
        />
        <TempoFields plan={plan} set={set} />
        <KeyFields plan={plan} set={set} phrase={phrase} />
      </div>
    </details>
  );
}

interface Part {
  readonly plan: Plan;
  readonly set: Set;
}

/** Where an item begins, how it rises, and where it is to arrive. */
function TempoFields({ plan: { tempo }, set }: Part) {
  return (
    <>
      <Numbers
        label="Begin at"
        value={tempo.from}
        values={FROM}
        words={percent}
        onChange={(from) => set({ tempo: { ...tempo, from, to: Math.max(from, tempo.to) } })}
      />
      <Numbers
        label="Each step"
        value={tempo.by}
        values={BY}
        words={percent}
        onChange={(by) => set({ tempo: { ...tempo, by } })}
      />
      <Numbers
        label="Up to"
        value={tempo.to}
        values={TO}
        words={percent}
        onChange={(to) => set({ tempo: { ...tempo, to, from: Math.min(to, tempo.from) } })}
      />
    </>
  );
}

/** Where phrases go once they are at their tempo. */
function KeyFields({ plan: { keys }, set, phrase }: Part & Pick<Props, 'phrase'>) {
  return (
    <>
      <Choice
        label="Phrases then in"
        value={keys.kind}
        values={KEY_KINDS}
        words={KEY_WORDS}
        onChange={(kind) => set({ keys: kind === 'list' ? { kind, text: 'I IV V' } : { kind } })}
      />
      {keys.kind === 'list' ? (
        <TypedField
          label="Chords or keys"
          value={keys.text}
          read={(text) => {
            const goals = goalsOfList(text, phrase?.key ?? C);
            return goals.ok ? null : problemText(goals.problems[0]!);
          }}
          onChange={(text) => set({ keys: { kind: 'list', text } }, 'keys')}
        />
      ) : null}
    </>
  );
}

const C = { tonic: { letter: 'C', alter: 0 }, mode: 'major' } as const;
const percent = (n: number) => `${n} %`;

/** One of a few numbers; another one that the plan has is offered as well. */
function Numbers(props: {
  readonly label: string;
  readonly value: number;
  readonly values: readonly number[];
  readonly words: (n: number) => string;
  readonly onChange: (n: number) => void;
}) {
  const { label, value, values, words, onChange } = props;
  const all = [...new Set([...values, value])].sort((a, b) => a - b).map(String);
  return (
    <Choice
      label={label}
      value={String(value)}
      values={all}
      words={Object.fromEntries(all.map((n) => [n, words(Number(n))]))}
      onChange={(n) => onChange(Number(n))}
    />
  );
}

import { type ReactNode, useId, useMemo } from 'react';
import type { Goal, GoalKind } from '../../core/move/goal';
import { MOST_STEPS } from '../../core/move/request';
import { KINDS } from '../../core/phrase/instruments';
import { metersOf, readBeat } from '../../core/phrase/read-beat';
import { positionOf } from '../../core/phrase/time';
import { beatPlace, placeWords } from '../../core/phrase/time-words';
import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { type QuickGoal, quickChords, quickKeys } from '../shared/destinations';
import { barName, beatName, capital, count, problemText } from '../shared/words';

interface DestinationsProps {
  readonly phrase: Phrase;
  readonly goal: Goal | null;
  /** What is wrong with the goal; shown beside its field. */
  readonly problems: readonly Problem[];
  /** A tap is a step for the back button, a letter typed is none. */
  readonly onChange: (goal: Goal | null, how: 'push' | 'replace') => void;
}

/** Every way to say where a phrase goes, a row for each. */
export function Destinations(props: DestinationsProps) {
  const { phrase } = props;
  const chords = useMemo(() => quickChords(phrase), [phrase]);
  const keys = useMemo(() => quickKeys(phrase), [phrase]);
  return (
    <div className="destinations">
      <GoalRow
        {...props}
        kind="chord"
        name="Over one chord"
        goals={chords}
        field={{ label: 'Chord or numeral', hint: 'such as Bb7, F#m7 or IV7' }}
      />
      <GoalRow
        {...props}
        kind="key"
        name="To another key"
        goals={keys}
        field={{ label: 'Key by name', hint: 'such as Eb, F#m or G blues' }}
      />
      <Further {...props} />
    </div>
  );
}

/** The rows that are folded away until one of them is used. */
function Further(props: DestinationsProps) {
  const { phrase, goal, problems, onChange } = props;
  const bars = phrase.bars.length;
  return (
    <details className="further" open={isFurther(goal)}>
      <summary>A lane of chords, the scale, an octave, another instrument, another beat</summary>
      <GoalRow
        {...props}
        kind="lane"
        name="Over a lane of chords"
        field={{
          wide: true,
          label: 'Chords by bar',
          hint: `${count(bars, 'bar')}${bars === 1 ? '' : ' divided by |'}, such as ${laneExample(bars)}`,
        }}
      />
      <GoalRow
        {...props}
        kind="steps"
        name="Along the scale"
        goals={STEPS}
        field={{ label: 'Scale steps', hint: `from −${MOST_STEPS} to ${MOST_STEPS}` }}
      />
      <GoalRow {...props} kind="octaves" name="An octave" goals={OCTAVES} />
      <GoalRow
        {...props}
        kind="instrument"
        name="On another instrument"
        goals={INSTRUMENTS}
        field={{
          label: 'Instrument or tuning',
          hint: 'such as bass5, drop D or E4 B3 G3 D3 A2 D2',
        }}
      />
      <Row name="From another beat">
        <BeatFields
          phrase={phrase}
          text={goal?.kind === 'beat' ? goal.text : ''}
          problems={goal?.kind === 'beat' ? problems : []}
          onChange={(text) => onChange(text === '' ? null : { kind: 'beat', text }, 'replace')}
        />
      </Row>
    </details>
  );
}

interface GoalRowProps extends DestinationsProps {
  readonly kind: GoalKind;
  readonly name: string;
  /** One tap each. */
  readonly goals?: readonly QuickGoal[];
  /** Where anything else is typed. */
  readonly field?: { readonly label: string; readonly hint: string; readonly wide?: boolean };
}

/** One kind of destination: the near ones to tap, and a field for all others. */
function GoalRow({ goal, problems, onChange, kind, name, goals, field }: GoalRowProps) {
  const mine = goal?.kind === kind;
  const wrong = mine ? problems : [];
  const set = (how: 'push' | 'replace') => (text: string) =>
    onChange(text === '' ? null : { kind, text }, how);
  return (
    <Row name={name}>
      {goals === undefined ? null : (
        <QuickRow
          goals={goals}
          chosen={mine ? goal.text : null}
          onChoose={set('push')}
          name={kind}
        />
      )}
      {field === undefined ? (
        <Problems problems={wrong} />
      ) : (
        <GoalField
          {...field}
          value={mine ? goal.text : ''}
          problems={wrong}
          onChange={set('replace')}
        />
      )}
    </Row>
  );
}

/** Whether a row is used that is folded away otherwise. */
function isFurther(goal: Goal | null): boolean {
  return goal !== null && goal.kind !== 'chord' && goal.kind !== 'key';
}

const STEPS: readonly QuickGoal[] = [
  { text: '-2', label: 'down a third', detail: '' },
  { text: '-1', label: 'down a step', detail: '' },
  { text: '1', label: 'up a step', detail: '' },
  { text: '2', label: 'up a third', detail: '' },
];

const OCTAVES: readonly QuickGoal[] = [
  { text: '-1', label: 'an octave down', detail: '' },
  { text: '1', label: 'an octave up', detail: '' },
];

const INSTRUMENTS: readonly QuickGoal[] = (['guitar', 'bass4', 'ukulele'] as const).map((text) => ({
  text,
  label: KINDS[text].name,
  detail: '',
}));

function laneExample(bars: number): string {
  if (bars === 1) return 'I7 IV7';
  const cycle = ['I7', 'IV7', 'I7', 'V7'];
  const shown = Array.from({ length: Math.min(bars, 4) }, (_, i) => cycle[i]!);
  return shown.join(' | ') + (bars > 4 ? ' | …' : '');
}

function Row({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    <fieldset className="destination">
      <legend>{name}</legend>
      <div className="destination-ways">{children}</div>
    </fieldset>
  );
}

function QuickRow(props: {
  readonly goals: readonly QuickGoal[];
  readonly chosen: string | null;
  readonly name: string;
  readonly onChoose: (text: string) => void;
}) {
  return (
    <div className={`quick quick-${props.name}`}>
      {props.goals.map((g) => (
        <button
          key={g.text}
          type="button"
          aria-pressed={props.chosen === g.text}
          onClick={() => props.onChoose(g.text)}
        >
          {g.label}
          {g.detail === '' || g.detail === g.label ? null : <small>{g.detail}</small>}
        </button>
      ))}
    </div>
  );
}

function GoalField(props: {
  readonly label: string;
  readonly hint: string;
  readonly value: string;
  readonly problems: readonly Problem[];
  readonly wide?: boolean;
  readonly onChange: (text: string) => void;
}) {
  const id = useId();
  const wrong = props.problems.length > 0;
  return (
    <div className={props.wide ? 'goal-field wide' : 'goal-field'}>
      <label htmlFor={id}>{props.label}</label>
      <input
        id={id}
        type="text"
        value={props.value}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        maxLength={500}
        aria-invalid={wrong}
        aria-describedby={wrong ? `${id}-problem ${id}-hint` : `${id}-hint`}
        onChange={(e) => props.onChange(e.target.value)}
      />
      <small id={`${id}-hint`} className="quiet">
        {props.hint}
      </small>
      <Problems id={`${id}-problem`} problems={props.problems} />
    </div>
  );
}

/** What is wrong and what to do, beside the field it is about. */
function Problems(props: { readonly id?: string; readonly problems: readonly Problem[] }) {
  if (props.problems.length === 0) return null;
  return (
    <p className="problem" id={props.id}>
      {props.problems.map(problemText).join(' ')}
    </p>
  );
}

/** Bar and beat at which the first note is to lie. */
function BeatFields(props: {
  readonly phrase: Phrase;
  readonly text: string;
  readonly problems: readonly Problem[];
  readonly onChange: (text: string) => void;
}) {
  const { phrase, text, problems, onChange } = props;
  const id = useId();
  const here = useMemo(() => positionOf(phrase, startOf(phrase)), [phrase]);
  const [barText, beatText] = text === '' ? ['', ''] : text.split(':');
  const bar = barText === '' || barText === undefined ? String(here.bar) : barText;
  const beat = beatText === '' && text === '' ? beatName(here.beat) : (beatText ?? '');
  const wrong = problems.length > 0;
  const read = useMemo(
    () => beatRead(phrase, Number(bar), beatText ?? ''),
    [phrase, bar, beatText],
  );
  return (
    <div className="beat-fields">
      <label htmlFor={`${id}-bar`}>First note in</label>
      <select id={`${id}-bar`} value={bar} onChange={(e) => onChange(`${e.target.value}:${beat}`)}>
        {[0, ...phrase.bars.map((_, i) => i + 1)].map((n) => (
          <option key={n} value={n}>
            {n === 0 ? 'the pickup' : barName(n)}
          </option>
        ))}
      </select>
      <label htmlFor={`${id}-beat`}>on beat</label>
      <input
        id={`${id}-beat`}
        type="text"
        size={5}
        value={beat}
        maxLength={40}
        autoComplete="off"
        aria-invalid={wrong}
        aria-describedby={wrong ? `${id}-problem ${id}-hint` : `${id}-hint`}
        onChange={(e) => onChange(`${bar}:${e.target.value}`)}
      />
      <small id={`${id}-hint`} className="quiet">
        {read === null
          ? capital(`now ${placeWords(phrase, startOf(phrase))}; write 2, 2.5 or 2 and`)
          : `That is beat ${read}`}
      </small>
      <Problems id={`${id}-problem`} problems={problems} />
    </div>
  );
}

/** What was typed, in the words for a place; null where it says so itself, or says nothing. */
function beatRead(p: Phrase, bar: number, typed: string): string | null {
  const meter = metersOf(p)(bar);
  const beat = readBeat(typed, meter);
  if (beat === null || meter === null) return null;
  const said = beatPlace(beat, meter);
  return said === typed.trim() ? null : said;
}

function startOf(p: Phrase) {
  const onsets = p.voices.flatMap((v) => v.events.slice(0, 1).map((e) => e.onset));
  return onsets.length === 0 ? 0 : Math.min(...onsets);
}

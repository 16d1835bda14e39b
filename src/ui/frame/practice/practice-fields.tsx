import { type ReactNode, useEffect, useId, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { swingPercent } from '../../../core/practice/swing-ratio';
import { type ClickWay, type Cycle, type StepUp, SWING } from '../../../core/practice/types';
import { Choice } from '../export/choice';
import type { PracticeWishes } from '../listen/listening';
import { FormChords } from './form-chords';

interface FieldsProps {
  readonly phrase: Phrase;
  readonly practice: PracticeWishes;
  /** Percent of the first round. */
  readonly speed: number;
  readonly set: (part: Partial<PracticeWishes>) => void;
}

/** The rows of choices; each begins with what it is about. */
export function PracticeFields(props: FieldsProps) {
  return (
    <div className="practice-rows">
      <Row name="Each round">
        <RoundChoice {...props} />
      </Row>
      <Row name="Faster">
        <StepUpChoice {...props} />
      </Row>
      <Row name="Between rounds">
        <Choice
          label="After a round"
          value={props.practice.answer ? 'answer' : 'on'}
          values={['on', 'answer']}
          words={{ on: 'the next one, without a gap', answer: 'a gap as long, to answer in' }}
          onChange={(v) => props.set({ answer: v === 'answer' })}
        />
        <Choice
          label="The phrase is"
          value={props.practice.phrase ? 'heard' : 'out'}
          values={['heard', 'out']}
          words={{ heard: 'heard', out: 'left out, for you to play' }}
          onChange={(v) => props.set({ phrase: v === 'heard' })}
        />
      </Row>
      <Row name="Metronome">
        <ClickChoice {...props} />
      </Row>
      <Row name="Swing">
        <SwingChoice {...props} />
      </Row>
    </div>
  );
}

/** Fields that belong together, under one name. */
export function Row({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  const id = useId();
  return (
    // biome-ignore lint/a11y/useSemanticElements: a legend cannot stand beside its fields.
    <div className="practice-row" role="group" aria-labelledby={id}>
      <span className="practice-name" id={id}>
        {name}
      </span>
      <div className="practice-choices">{children}</div>
    </div>
  );
}

const CYCLES: Readonly<Record<Cycle['kind'], string>> = {
  same: 'as it is written',
  fourths: 'in the next key, a fourth higher',
  semitones: 'in the next key, a semitone higher',
  list: 'over the next of these chords or keys',
};

/** The chords of the commonest form; what was typed last otherwise. */
let typed = 'I IV V';

function RoundChoice({ phrase, practice, set }: FieldsProps) {
  const { cycle } = practice;
  const goThrough = (text: string) => {
    typed = text;
    set({ cycle: { kind: 'list', text } });
  };
  return (
    <>
      <Choice
        label="Played"
        value={cycle.kind}
        values={['same', 'fourths', 'semitones', 'list']}
        words={CYCLES}
        onChange={(kind) => set({ cycle: kind === 'list' ? { kind, text: typed } : { kind } })}
      />
      {cycle.kind === 'list' ? (
        <>
          <ListField text={cycle.text} onChange={goThrough} />
          <FormChords phraseKey={phrase.key} text={cycle.text} onChange={goThrough} />
        </>
      ) : null}
    </>
  );
}

/** Chords or keys; taken when it is left or with Enter, so that half a word is not played. */
function ListField(props: { readonly text: string; readonly onChange: (text: string) => void }) {
  const [text, setText] = useState(props.text);
  // What the chords of a form put in stands in the field; made anew the field would lose the focus at Enter.
  const [given, setGiven] = useState(props.text);
  if (given !== props.text) {
    setGiven(props.text);
    setText(props.text);
  }
  const done = () => {
    if (text !== props.text) props.onChange(text);
  };
  return (
    <label>
      <span>Chords or keys</span>
      <input
        type="text"
        size={16}
        value={text}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        onChange={(e) => setText(e.target.value)}
        onBlur={done}
        onKeyDown={(e) => {
          if (e.key === 'Enter') done();
        }}
      />
    </label>
  );
}

const STEPS = ['0', '1', '2', '3', '5', '10'] as const;
const STEP_WORDS = Object.fromEntries(
  STEPS.map((s) => [s, s === '0' ? 'not by itself' : `by ${s} %`]),
) as Record<(typeof STEPS)[number], string>;
const LIMITS = ['80', '90', '100', '110', '120', '130', '150', '200'] as const;
const LIMIT_WORDS = Object.fromEntries(LIMITS.map((s) => [s, `${s} %`])) as Record<
  (typeof LIMITS)[number],
  string
>;
const FIRST_STEP: StepUp = { by: 5, to: 100, after: 'every round' };

function StepUpChoice({ practice, speed, set }: FieldsProps) {
  const { stepUp } = practice;
  // What is as fast as it may be already would never rise.
  const most = LIMITS.find((l) => Number(l) > speed) ?? '200';
  const wished = stepUp ?? FIRST_STEP;
  const now = { ...wished, to: Math.max(wished.to, Number(most)) };
  return (
    <>
      <Choice
        label="Faster"
        value={STEPS.find((s) => Number(s) === (stepUp?.by ?? 0)) ?? '0'}
        values={STEPS}
        words={STEP_WORDS}
        onChange={(by) => set({ stepUp: by === '0' ? null : { ...now, by: Number(by) } })}
      />
      {stepUp === null ? null : (
        <>
          <Choice
            label="after"
            value={stepUp.after}
            values={['every round', 'a good round']}
            words={{ 'every round': 'every round', 'a good round': 'a round I call good' }}
            onChange={(after) => set({ stepUp: { ...stepUp, after } })}
          />
          <Choice
            label="up to"
            value={LIMITS.find((s) => Number(s) === stepUp.to) ?? '100'}
            values={LIMITS}
            words={LIMIT_WORDS}
            onChange={(to) => set({ stepUp: { ...stepUp, to: Number(to) } })}
          />
        </>
      )}
    </>
  );
}

const BEATS = ['off', 'every', 'first', 'back'] as const;
const BEAT_WORDS: Readonly<Record<(typeof BEATS)[number], string>> = {
  off: 'silent',
  every: 'on every beat',
  first: 'on the first of a bar',
  back: 'on the second and fourth',
};
const PARTS = ['1', '2', '3', '4'] as const;
const PART_WORDS: Readonly<Record<(typeof PARTS)[number], string>> = {
  1: 'undivided',
  2: 'in halves',
  3: 'in thirds',
  4: 'in quarters',
};
const COUNTS = ['0', '1', '2'] as const;
const COUNT_WORDS: Readonly<Record<(typeof COUNTS)[number], string>> = {
  0: 'no bar',
  1: 'one bar',
  2: 'two bars',
};

function ClickChoice({ practice, set }: FieldsProps) {
  const { click, countIn } = practice;
  const now: ClickWay = click ?? { beats: 'every', accent: true, parts: 1 };
  return (
    <>
      <Choice
        label="Counts in"
        value={COUNTS[countIn]}
        values={COUNTS}
        words={COUNT_WORDS}
        onChange={(n) => set({ countIn: Number(n) as 0 | 1 | 2 })}
      />
      <Choice
        label="Beats"
        value={click === null ? 'off' : click.beats}
        values={BEATS}
        words={BEAT_WORDS}
        onChange={(beats) => set({ click: beats === 'off' ? null : { ...now, beats } })}
      />
      {click === null ? null : (
        <>
          <Choice
            label="Each beat"
            value={PARTS[click.parts - 1]!}
            values={PARTS}
            words={PART_WORDS}
            onChange={(n) => set({ click: { ...click, parts: Number(n) as ClickWay['parts'] } })}
          />
          <label className="practice-check">
            <input
              type="checkbox"
              checked={click.accent}
              onChange={(e) => set({ click: { ...click, accent: e.target.checked } })}
            />
            <span>First beat stands out</span>
          </label>
        </>
      )}
    </>
  );
}

function SwingChoice({ phrase, practice, set }: FieldsProps) {
  const { swing } = practice;
  return (
    <>
      <Choice
        label="Swung"
        value={swing === null ? 'own' : 'ear'}
        values={['own', 'ear']}
        words={{ own: 'as it is written', ear: 'by ear' }}
        onChange={(v) => set({ swing: v === 'own' ? null : swingPercent(phrase) })}
      />
      {swing === null ? null : <SwingSlider value={swing} onChange={(n) => set({ swing: n })} />}
    </>
  );
}

/** Milliseconds for which a slider rests before it is heard. */
const RESTS = 160;

function SwingSlider(props: { readonly value: number; readonly onChange: (n: number) => void }) {
  const { value, onChange } = props;
  const [now, setNow] = useState(value);
  useEffect(() => {
    if (now === value) return;
    const timer = setTimeout(() => onChange(now), RESTS);
    return () => clearTimeout(timer);
  }, [now, value, onChange]);
  return (
    <label className="practice-slider">
      <span>First of a pair</span>
      <input
        type="range"
        min={SWING.least}
        max={SWING.most}
        value={now}
        aria-valuetext={swingWords(now)}
        onChange={(e) => setNow(Number(e.target.value))}
      />
      <output>{swingWords(now)}</output>
    </label>
  );
}

function swingWords(n: number): string {
  const name = n === 50 ? ', straight' : n === 67 ? ', as triplets' : n === 75 ? ', dotted' : '';
  return `${n} %${name}`;
}

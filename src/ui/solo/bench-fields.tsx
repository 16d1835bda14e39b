import { MOST_CHORUSES } from '../../core/form/repeat';
import { standardForm } from '../../core/form/standard';
import type { Form } from '../../core/form/types';
import { COURSES, VARIETIES, WISHES } from '../../core/solo/wanted';
import { parseKey } from '../../core/theory/key';
import { typesetText } from '../../io/text/signs';
import { Choice } from '../frame/export/choice';
import { count, feelName, tempoName } from '../shared/words';
import { type Bench, LEVELS, tonicOf, tonics, withPlayed } from './bench';
import { meterText } from './bench-course';
import { CourseFields } from './course-fields';

const ANY = 'any' as const;
const LEVEL_WORDS = Object.fromEntries([
  [ANY, 'any level'],
  ...LEVELS.map((n) => [String(n), `up to level ${n}`]),
]);
const CHORUSES = Array.from({ length: MOST_CHORUSES }, (_, i) => String(i + 1));
const CHORUS_WORDS = Object.fromEntries(
  CHORUSES.map((n) => [n, count(Number(n), 'chorus', 'choruses')]),
);

const WISH_WORDS = {
  [ANY]: 'any signs',
  bends: 'bends',
  slides: 'slides',
  legato: 'hammer-ons and pull-offs',
  vibrato: 'vibrato',
  'double-stops': 'double stops',
};

/** What is wanted of a solo beyond good joins. */
function TasteFields(props: { readonly bench: Bench; readonly onChange: (next: Bench) => void }) {
  const { bench, onChange } = props;
  return (
    <div className="solo-fields">
      <Choice
        label="How it goes"
        value={bench.course}
        values={COURSES}
        words={{
          free: 'as it comes',
          build: 'builds up to the end',
          answer: 'two bars ask, two answer',
        }}
        onChange={(course) => onChange({ ...bench, course })}
      />
      <Choice
        label="Ideas"
        value={bench.variety}
        values={VARIETIES}
        words={{
          'one-idea': 'stay with one idea',
          usual: 'as in real solos',
          new: 'ever new ones',
        }}
        onChange={(variety) => onChange({ ...bench, variety })}
      />
      <Choice
        label="The hand"
        value={bench.near ? 'near' : 'free'}
        values={['free', 'near']}
        words={{ free: 'goes where it likes', near: 'stays near' }}
        onChange={(hand) => onChange({ ...bench, near: hand === 'near' })}
      />
      <Choice
        label="Rather with"
        value={bench.wish ?? ANY}
        values={[ANY, ...WISHES]}
        words={WISH_WORDS}
        onChange={(wish) => onChange({ ...bench, wish: wish === ANY ? null : wish })}
      />
    </div>
  );
}

interface Props {
  readonly bench: Bench;
  readonly forms: readonly Form[];
  readonly onChange: (next: Bench) => void;
}

/** The form and its key. */
function OverWhat({ bench, forms, onChange }: Props) {
  const names = tonics(bench);
  return (
    <>
      <Choice
        label="Form"
        value={bench.form.id}
        values={forms.map((f) => f.id)}
        words={Object.fromEntries(forms.map((f) => [f.id, f.title]))}
        onChange={(id) => {
          const form = forms.find((f) => f.id === id) ?? bench.form;
          onChange({
            ...bench,
            form,
            played: {},
            key: { ...bench.key, mode: form.mode },
            held: [],
          });
        }}
      />
      <Choice
        label="Key"
        value={tonicOf(bench.key)}
        values={names}
        words={Object.fromEntries(names.map((n) => [n, typesetText(n)]))}
        onChange={(name) => {
          const key = parseKey(name);
          if (key !== null) onChange({ ...bench, key: { ...key, mode: bench.form.mode } });
        }}
      />
    </>
  );
}

/** What a solo is made over and made of. */
export function BenchFields(props: Props) {
  const { bench, onChange } = props;
  return (
    <>
      <div className="solo-fields">
        <OverWhat {...props} />
        <Choice
          label="Length"
          value={String(bench.choruses)}
          values={CHORUSES}
          words={CHORUS_WORDS}
          onChange={(n) => onChange({ ...bench, choruses: Number(n) })}
        />
        <Choice
          label="Phrases"
          value={bench.level === null ? ANY : String(bench.level)}
          values={[ANY, ...LEVELS.map(String)]}
          words={LEVEL_WORDS}
          onChange={(level) => onChange({ ...bench, level: level === ANY ? null : Number(level) })}
        />
        <Choice
          label="Made of"
          value={bench.chords ? 'chords' : 'lines'}
          values={['lines', 'chords']}
          words={{ lines: 'lines and double stops', chords: 'chords and strums as well' }}
          onChange={(of) => onChange({ ...bench, chords: of === 'chords' })}
        />
        <Choice
          label="What is empty"
          value={bench.fill ? 'filled' : 'stays'}
          values={['filled', 'stays']}
          words={{ filled: 'is filled from the library', stays: 'stays empty' }}
          onChange={(f) => onChange({ ...bench, fill: f === 'filled' })}
        />
      </div>
      {standardForm(bench.form.id) === undefined ? null : (
        <details className="solo-taste">
          <summary>
            Metre, feel and tempo: {meterText(bench.form.meter)}, {feelName(bench.form.feel)},{' '}
            {tempoName(bench.form.tempo)}
          </summary>
          <div className="solo-fields">
            <CourseFields
              form={bench.form}
              onChange={(wish) => onChange(withPlayed(bench, wish))}
            />
          </div>
        </details>
      )}
      <details className="solo-taste">
        <summary>What is wanted of it</summary>
        <TasteFields bench={bench} onChange={onChange} />
      </details>
    </>
  );
}

import { useId, useState } from 'react';
import { FEEL_NAMES, FEELS } from '../../core/edit/setup/choices';
import { numeralProblems } from '../../core/form/numerals';
import type { FormPlayed } from '../../core/form/played';
import type { Form } from '../../core/form/types';
import type { Meter } from '../../core/phrase/types';
import { Choice } from '../frame/export/choice';
import { feelNameOf, METERS, meterText } from './bench-course';

const FEEL_WORDS = {
  straight: 'straight',
  shuffle: 'shuffle, eighths 2:1',
  light: 'light swing, eighths 3:2',
  sixteenths: 'shuffle, 16ths 2:1',
  own: 'its own',
};

interface Props {
  readonly form: Pick<Form, 'mode' | 'meter' | 'feel' | 'tempo' | 'sections'>;
  /** One of them was chosen. */
  readonly onChange: (wish: FormPlayed) => void;
}

/** Metre, feel and tempo of a form. */
export function CourseFields({ form, onChange }: Props) {
  const fits = (next: Meter) =>
    form.sections.every((s) => numeralProblems(s.bars, form.mode, next).length === 0);
  // A metre with fewer beats than a bar has numerals is none for this form.
  const meters = METERS.filter(fits).map(meterText);
  const meter = meterText(form.meter);
  const feel = feelNameOf(form.feel);
  return (
    <>
      <Choice
        label="Metre"
        value={meter}
        values={meters.includes(meter) ? meters : [meter, ...meters]}
        words={Object.fromEntries([meter, ...meters].map((m) => [m, m]))}
        onChange={(text) => {
          const next = METERS.find((m) => meterText(m) === text);
          if (next !== undefined) onChange({ meter: next });
        }}
      />
      <Choice
        label="Feel"
        value={feel ?? 'own'}
        values={feel === undefined ? ['own', ...FEEL_NAMES] : FEEL_NAMES}
        words={FEEL_WORDS}
        onChange={(name) => {
          if (name !== 'own') onChange({ feel: FEELS[name] });
        }}
      />
      <Beats bpm={form.tempo.bpm} onChange={onChange} />
    </>
  );
}

const BPM = { least: 20, most: 400 };

function Beats({ bpm, onChange }: { readonly bpm: number; readonly onChange: Props['onChange'] }) {
  const [typed, setTyped] = useState<string | null>(null);
  // Stays when the field has gone back to what counts, so that one sees why it did.
  const [refused, setRefused] = useState(false);
  const id = useId();
  return (
    <label>
      <span>Beats a minute</span>
      <input
        type="number"
        min={BPM.least}
        max={BPM.most}
        step="any"
        value={typed ?? bpm}
        aria-invalid={refused && typed !== null}
        aria-describedby={id}
        onBlur={() => setTyped(null)}
        onChange={(e) => {
          setTyped(e.target.value);
          const next = Number(e.target.value);
          const fine = next >= BPM.least && next <= BPM.most;
          setRefused(!fine);
          if (fine) onChange({ bpm: next });
        }}
      />
      <span id={id} role="status" className="form-wrong">
        {refused ? `From ${BPM.least} to ${BPM.most}; it stays ${bpm}.` : null}
      </span>
    </label>
  );
}

import { BACKING_FEELS, FEEL_NAMES } from '../../../core/backing/types';
import type { Cycle } from '../../../core/practice/types';
import { TONES } from '../../../core/sound/tone';
import type { Look } from '../../../publish/format';
import { RhythmChoice } from '../listen/rhythm-choice';
import { Choice } from './choice';

type Sound = Pick<Look, 'speed' | 'swing' | 'tone' | 'backing' | 'comping' | 'rounds' | 'bits'> & {
  /** Every key a file of its own. */
  readonly apart: boolean;
};

const BANDS: readonly Look['backing'][] = ['none', ...BACKING_FEELS];

const SPEEDS = ['50', '60', '70', '80', '90', '100', '110', '125'] as const;
const SPEED_WORDS = Object.fromEntries(SPEEDS.map((s) => [s, `${s} %`])) as Record<
  (typeof SPEEDS)[number],
  string
>;

const SWINGS: Readonly<Record<Look['swing'], string>> = {
  heard: 'swung as it is played',
  written: 'straight as it is written',
};

/** What a player calls the tones. */
export const TONE_WORDS: Readonly<Record<Look['tone'], string>> = {
  own: "the instrument's own",
  clean: 'clean electric',
  driven: 'driven electric',
  steel: 'steel-string acoustic',
  nylon: 'nylon-string',
  bass: 'bass',
  ukulele: 'ukulele',
};

const CYCLES: Readonly<Record<Cycle['kind'], string>> = {
  same: 'as it is written',
  fourths: 'every key, by fourths',
  semitones: 'every key, by semitones',
  list: 'these chords or keys',
};

/** How fast, how swung, on what and with what band it is played, through which keys, and how finely. */
export function SoundFields(props: {
  readonly choice: Sound;
  /** Whether samples are asked for. */
  readonly bits: boolean;
  readonly set: (part: Partial<Sound>) => void;
}) {
  const { choice, bits, set } = props;
  return (
    <div className="filter-row">
      <Choice
        label="Speed"
        value={SPEEDS.find((s) => Number(s) === choice.speed) ?? '100'}
        words={SPEED_WORDS}
        values={SPEEDS}
        onChange={(speed) => set({ speed: Number(speed) })}
      />
      <Choice
        label="Swing"
        value={choice.swing}
        words={SWINGS}
        values={['heard', 'written']}
        onChange={(swing) => set({ swing })}
      />
      <Choice
        label="Tone"
        value={choice.tone}
        words={TONE_WORDS}
        values={['own', ...TONES]}
        onChange={(tone) => set({ tone })}
      />
      <Choice
        label="Band"
        value={choice.backing}
        words={{ none: 'none', ...FEEL_NAMES }}
        values={BANDS}
        onChange={(backing) => set({ backing })}
      />
      {choice.backing === 'none' ? null : (
        <RhythmChoice
          value={choice.comping?.id ?? null}
          onChange={(rhythm) => set({ comping: rhythm })}
        />
      )}
      <KeyFields choice={choice} set={set} />
      {bits ? (
        <Choice
          label="Sample size"
          value={choice.bits === 24 ? '24' : '16'}
          words={{ 16: '16 bits', 24: '24 bits' }}
          values={['16', '24']}
          onChange={(v) => set({ bits: v === '24' ? 24 : 16 })}
        />
      ) : null}
    </div>
  );
}

/** Through which keys it goes, and whether each is a file of its own. */
function KeyFields({
  choice,
  set,
}: {
  readonly choice: Sound;
  readonly set: (part: Partial<Sound>) => void;
}) {
  return (
    <>
      <Choice
        label="Keys"
        value={choice.rounds.kind}
        words={CYCLES}
        values={['same', 'fourths', 'semitones', 'list']}
        onChange={(kind) => set({ rounds: kind === 'list' ? { kind, text: 'I IV V' } : { kind } })}
      />
      {choice.rounds.kind === 'list' ? (
        <label>
          <span>Chords or keys</span>
          <input
            type="text"
            size={16}
            value={choice.rounds.text}
            autoComplete="off"
            autoCapitalize="off"
            spellCheck={false}
            onChange={(e) => set({ rounds: { kind: 'list', text: e.target.value } })}
          />
        </label>
      ) : null}
      {choice.rounds.kind === 'same' ? null : (
        <Choice
          label="Files"
          value={choice.apart ? 'apart' : 'one'}
          words={{ one: 'one, with all keys', apart: 'one for each key, in a zip archive' }}
          values={['one', 'apart']}
          onChange={(v) => set({ apart: v === 'apart' })}
        />
      )}
    </>
  );
}

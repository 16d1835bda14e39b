import { BACKING_FEELS, FEEL_NAMES } from '../../../core/backing/types';
import { TONES } from '../../../core/sound/tone';
import type { Look } from '../../../publish/format';
import { Choice } from './choice';

type Sound = Pick<Look, 'speed' | 'swing' | 'tone' | 'backing'>;

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

/** How fast, how swung, on what and with what band it is played. */
export function SoundFields(props: {
  readonly choice: Sound;
  readonly set: (part: Partial<Sound>) => void;
}) {
  const { choice, set } = props;
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
    </div>
  );
}

import { BACKING_FEELS, type BackingFeel, FEEL_NAMES } from '../../../core/backing/types';
import { Choice } from '../export/choice';
import type { UsePlayer } from './use-player';

const FEELS: readonly ('none' | BackingFeel)[] = ['none', ...BACKING_FEELS];

/** Which band plays along. */
export function BandChoice({ player }: { readonly player: Pick<UsePlayer, 'listening' | 'set'> }) {
  const { listening, set } = player;
  const { band } = listening;
  return (
    <Choice
      label="Band"
      value={band?.feel ?? 'none'}
      values={FEELS}
      words={{ none: 'none', ...FEEL_NAMES }}
      onChange={(feel) =>
        set({
          band:
            feel === 'none' ? null : { seed: band?.seed ?? 1, rhythm: band?.rhythm ?? null, feel },
        })
      }
    />
  );
}

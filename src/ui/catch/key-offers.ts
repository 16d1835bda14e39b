import { beatTicks } from '../../core/phrase/time';
import { formatKey } from '../../core/theory/key';
import { keysHeard } from '../../io/heard/keys';
import { typesetText } from '../../io/text/signs';
import type { CaughtTake } from './messages';
import { instrumentOf } from './said';
import { beganAt, clockOf } from './to-clock';

/** A key that may be chosen, and what speaks for it. */
export interface KeyOffer {
  /** As the field takes it. */
  readonly key: string;
  readonly words: string;
}

/** Keys in which it may have been played, the one that was guessed first; none where one was said. */
export function keyOffers(take: CaughtTake): readonly KeyOffer[] {
  const { said, bpm, bpmBefore, meter, recorded } = take;
  if (!take.keyFound) return [];
  const clock = clockOf(recorded, said);
  // What was played before a click began has bars of its own, and the key is that of what came after.
  const from = clock === null || bpmBefore === null ? Number.NEGATIVE_INFINITY : beganAt(clock);
  const out = new Set(take.without);
  const keys = keysHeard(
    take.notes.filter((n, i) => !out.has(i) && n.onset >= from),
    {
      instrument: instrumentOf(said),
      secondsPerTick: 60 / bpm / beatTicks(meter),
      lane: said.lane === '' ? undefined : said.lane,
    },
  );
  return keys.map(({ key, inScale, home, endsHome }) => {
    const name = formatKey(key);
    const reasons = `${percent(inScale)} in its scale, ${percent(home)} tonic and fifth`;
    return {
      key: name,
      words: `${typesetText(name)}: ${reasons}${endsHome ? ', ends on it' : ''}`,
    };
  });
}

const percent = (share: number) => `${Math.round(100 * share)}%`;

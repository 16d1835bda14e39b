import type { Round } from '../../core/practice/rounds';
import type { BackingParts, Parts, StringPart } from '../../core/sound/parts';
import type { ToneName } from '../../core/sound/tone';
import { writeWav } from '../../io/wav/write';
import { renderParts } from '../../sound/render';
import type { Writer } from '../format';
import { roundsOfLook } from '../rounds-of-look';
import { toneOfLook } from '../tone-of-look';

/** Samples a second. */
const RATE = 44_100;

export const write: Writer = (phrase, look) => {
  const parts = partsOf(roundsOfLook(phrase, look), toneOfLook(phrase, look));
  return writeWav(renderParts(parts, { rate: RATE }), RATE, look.bits);
};

/** All rounds on one clock. */
function partsOf(rounds: readonly Round[], tone: ToneName): Parts {
  const last = rounds.at(-1);
  const first = rounds[0];
  if (first === undefined || last === undefined) throw new RangeError('there is nothing to render');
  const own = (r: Round): StringPart => {
    return { instrument: r.phrase.instrument, tone, sounds: r.played.sounds };
  };
  const backed = rounds.some((r) => r.backing !== null);
  return {
    phrase: joined(rounds, own),
    backing: backed ? band(rounds) : null,
    click: [],
    length: last.at + last.ticks * last.played.secondsPerTick,
  };
}

function band(rounds: readonly Round[]): BackingParts {
  return {
    bass: joined(rounds, (r) => r.backing?.bass ?? null),
    comping: joined(rounds, (r) => r.backing?.comping ?? null),
    drums: rounds.flatMap((r) => {
      const drums = r.backing?.drums ?? [];
      return drums.map((d) => ({ ...d, onset: d.onset + r.at }));
    }),
  };
}

function joined(
  rounds: readonly Round[],
  partOf: (r: Round) => StringPart | null,
): StringPart | null {
  const parts = rounds.flatMap((r) => {
    const part = partOf(r);
    return part === null ? [] : [{ part, at: r.at }];
  });
  const [first] = parts;
  if (first === undefined) return null;
  const sounds = parts.flatMap(({ part, at }) =>
    part.sounds.map((s) => ({ ...s, onset: s.onset + at })),
  );
  return { ...first.part, sounds };
}

import fc from 'fast-check';
import type { Phrase } from '../../src/core/phrase/types';
import { FEATURES, type Feature, type PhraseOptions } from './generate/features';
import { seededPhrase } from './generate/phrase';

export type { Feature, PhraseOptions } from './generate/features';
export { FEATURES } from './generate/features';
export { INSTRUMENTS } from './generate/frame';
export { seededPhrase } from './generate/phrase';

/**
 * Valid phrases for property tests: by default they are playable and hold everything the model can
 * say. A failing phrase is made smaller by fewer events and bars and by leaving features out; the
 * counterexample is printed as the phrase itself.
 * @example fc.assert(fc.property(arbPhrase({ without: ['harmonics'] }), (p) => …), { seed: 5 })
 */
export function arbPhrase(options: PhraseOptions = {}): fc.Arbitrary<Phrase> {
  return new PhraseArbitrary(options);
}

/** How a phrase came about, so that it can be made again a little simpler. */
interface Origin {
  readonly seed: number;
  readonly options: PhraseOptions;
}

class PhraseArbitrary extends fc.Arbitrary<Phrase> {
  constructor(private readonly options: PhraseOptions) {
    super();
  }

  override generate(random: fc.Random): fc.Value<Phrase> {
    return fromOrigin({ seed: random.nextInt(0, 0x7fff_ffff), options: this.options });
  }

  override canShrinkWithoutContext(value: unknown): value is Phrase {
    return value === undefined;
  }

  override shrink(value: Phrase, context: unknown): fc.Stream<fc.Value<Phrase>> {
    return fc.stream(isOrigin(context) ? simpler(value, context) : [].values());
  }
}

function fromOrigin(origin: Origin): fc.Value<Phrase> {
  return new fc.Value(seededPhrase(origin.seed, origin.options), origin);
}

function isOrigin(x: unknown): x is Origin {
  return typeof x === 'object' && x !== null && 'seed' in x && 'options' in x;
}

function* simpler(value: Phrase, { seed, options }: Origin): IterableIterator<fc.Value<Phrase>> {
  const most = Math.max(...value.voices.map((v) => v.events.length));
  for (const maxEvents of new Set([0, most >> 1, most - 1])) {
    if (maxEvents >= 0 && maxEvents < most)
      yield fromOrigin({ seed, options: { ...options, maxEvents } });
  }
  if (value.bars.length > 1) {
    yield fromOrigin({ seed, options: { ...options, maxBars: value.bars.length - 1 } });
  }
  const gone: readonly Feature[] = options.without ?? [];
  for (const f of FEATURES) {
    if (!gone.includes(f))
      yield fromOrigin({ seed, options: { ...options, without: [...gone, f] } });
  }
}

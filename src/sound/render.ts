import type { Phrase } from '../core/phrase/types';
import { type Mix, type Parts, USUAL_MIX } from '../core/sound/parts';
import { type PerformOptions, perform } from '../core/sound/perform';
import { type ToneName, toneOf } from '../core/sound/tone';
import { Engine } from './engine';

/** Samples a second where nothing else is said. */
const RATE = 44_100;
/** Seconds that may ring on after the end where nothing else is said. */
const TAIL = 1.5;

export interface RenderPartsOptions {
  /** Samples a second, 44,100 where absent. */
  readonly rate?: number;
  /** Seconds that may ring on after the end, 1.5 where absent. */
  readonly tail?: number;
  readonly mix?: Mix;
}

export interface RenderOptions extends PerformOptions, RenderPartsOptions {
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
}

/** Samples from -1 to 1, one channel: the same sound as in the page, as fast as it can be computed. */
export function renderParts(parts: Parts, o: RenderPartsOptions = {}): Float32Array {
  const rate = o.rate ?? RATE;
  const engine = new Engine(rate, o.mix ?? USUAL_MIX);
  const { phrase, backing, click } = parts;
  const strings = { phrase, bass: backing?.bass ?? null, comping: backing?.comping ?? null };
  for (const part of ['phrase', 'bass', 'comping'] as const) {
    const own = strings[part];
    if (own === null) continue;
    engine.setUp(part, own);
    engine.play({ part, sounds: own.sounds });
  }
  engine.play({ part: 'drums', sounds: backing?.drums ?? [] });
  engine.play({ part: 'click', sounds: click });
  const length = Math.ceil((parts.length + (o.tail ?? TAIL)) * rate);
  const late = new Float32Array(length + Engine.LATENCY);
  engine.render(late);
  return late.slice(Engine.LATENCY);
}

/** A phrase alone. */
export function renderPhrase(p: Phrase, o: RenderOptions = {}): Float32Array {
  const played = perform(p, o);
  const { instrument } = p;
  const phrase = { instrument, tone: o.tone ?? toneOf(p), sounds: played.sounds };
  return renderParts({ phrase, backing: null, click: [], length: played.length }, o);
}

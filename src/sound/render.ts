import type { Phrase } from '../core/phrase/types';
import { type PerformOptions, perform } from '../core/sound/perform';
import { type ToneName, toneOf } from '../core/sound/tone';
import { Rig } from './strings/rig';

export interface RenderOptions extends PerformOptions {
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
  /** Samples a second, 44,100 where absent. */
  readonly rate?: number;
  /** Seconds that may ring on after the end, 1.5 where absent. */
  readonly tail?: number;
}

/** The phrase as samples from -1 to 1, one channel: the same sound as in the page, as fast as it can be computed. */
export function renderPhrase(p: Phrase, o: RenderOptions = {}): Float32Array {
  const rate = o.rate ?? 44_100;
  const played = perform(p, o);
  const rig = new Rig(p.instrument, o.tone ?? toneOf(p), rate);
  rig.schedule(played.sounds.map((s) => rig.timed(s)));
  const length = Math.ceil((played.length + (o.tail ?? 1.5)) * rate);
  const late = new Float32Array(length + Rig.LATENCY);
  rig.render(late);
  return late.slice(Rig.LATENCY);
}

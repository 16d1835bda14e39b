import { type Mix, PART_NAMES, type PartName, USUAL_MIX } from '../core/sound/parts';
import { Kit } from './drums/kit';
import { BLOCK } from './dsp/block';
import { AHEAD, Limiter } from './dsp/limiter';
import { Metronome } from './metronome';
import { Channel } from './mixer';
import { Rig } from './strings/rig';
import type { PartSounds, StringPartName, Strings } from './worklet/messages';

/**
 * Everything that is heard together: strings, drums and metronome, each part with its own level, and a
 * limiter over all of it. One clock of samples from 0 on.
 */
export class Engine {
  /** The stream comes so many samples late. */
  static readonly LATENCY = AHEAD;

  private readonly channels: Readonly<Record<PartName, Channel>>;
  private readonly rigs = new Map<StringPartName, { readonly key: string; readonly rig: Rig }>();
  private readonly kit: Kit;
  private readonly metronome: Metronome;
  private readonly limiter = new Limiter();
  private readonly mix = new Float64Array(BLOCK);
  private readonly part = new Float64Array(BLOCK);
  private readonly ready = new Float32Array(BLOCK);
  /** Samples of `ready` that are still to be given out. */
  private left = 0;
  private position = 0;

  /** @param rate Samples a second. */
  constructor(
    private readonly rate: number,
    mix: Mix = USUAL_MIX,
  ) {
    const channel = (name: PartName) => [name, new Channel(rate, mix[name])] as const;
    this.channels = Object.fromEntries(PART_NAMES.map(channel)) as Record<PartName, Channel>;
    this.kit = new Kit(rate);
    this.metronome = new Metronome(rate);
    this.channels.drums.source = this.kit;
    this.channels.click.source = this.metronome;
  }

  /** Strings of a part. What another instrument or tone sounded before is damped, not cut off. */
  setUp(part: StringPartName, { instrument, tone }: Strings): void {
    const key = JSON.stringify([instrument.tuning, instrument.capo, tone]);
    const known = this.rigs.get(part);
    if (known?.key === key) {
      known.rig.stop(this.position);
      return;
    }
    const rig = new Rig(instrument, tone, this.rate);
    this.rigs.set(part, { key, rig });
    this.channels[part].replace(rig, this.position);
  }

  /** Sounds to come, counted from sample `origin`; what would have begun already begins now. */
  play(what: PartSounds, origin = 0): void {
    const { position } = this;
    if (what.part === 'drums') this.kit.play(what.sounds, origin, position);
    else if (what.part === 'click') this.metronome.play(what.sounds, origin, position);
    else this.rigs.get(what.part)?.rig.play(what.sounds, origin, position);
  }

  /** @param level Decibels, reached without a click. */
  level(part: PartName, level: number): void {
    this.channels[part].level = level;
  }

  /** From sample `at` on nothing more begins and what sounds is damped. */
  stop(part?: PartName, at = this.position): void {
    for (const name of part === undefined ? PART_NAMES : [part]) {
      this.channels[name].source?.stop(Math.max(at, this.position));
    }
  }

  /** The next sample is the one at `position`; where samples were lost, what fell into the gap is late. */
  moveTo(position: number): void {
    if (position <= this.position - this.left) return;
    this.position = position;
    this.left = 0;
  }

  /** Fills `out` with the next samples, of any number. */
  render(out: Float32Array): void {
    for (let done = 0; done < out.length; ) {
      if (this.left === 0) this.renderBlock();
      const n = Math.min(this.left, out.length - done);
      const from = BLOCK - this.left;
      for (let i = 0; i < n; i++) out[done + i] = this.ready[from + i]!;
      this.left -= n;
      done += n;
    }
  }

  private renderBlock(): void {
    const { mix, part, channels, position } = this;
    mix.fill(0);
    for (const name of PART_NAMES) channels[name].addTo(mix, part, position);
    this.limiter.process(mix, this.ready);
    this.left = BLOCK;
    this.position += BLOCK;
  }

  /** How far the limiter holds the loudness down now, as a factor up to 1. */
  get reduction(): number {
    return this.limiter.reduction;
  }
}

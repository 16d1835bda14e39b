import { openMidi } from '../../core/phrase/instrument';
import type { Instrument } from '../../core/phrase/types';
import type { ToneName } from '../../core/sound/tone';
import type { Sound } from '../../core/sound/types';
import { BLOCK } from '../dsp/block';
import { WithoutConstant } from '../dsp/constant';
import { Convolver } from '../dsp/convolver';
import { Delay } from '../dsp/delay';
import { Queue } from '../dsp/queue';
import { responseOf } from '../dsp/response';
import type { Source } from '../source';
import { Drive } from './drive';
import { StringVoice, type TimedSound } from './string-voice';
import { TONE } from './tones';

/** Computed once: a rig may be set up while music plays. */
const RESPONSES = new Map<string, Float32Array>();

function bodyOf(tone: ToneName, rate: number): Float32Array {
  const key = `${tone} ${rate}`;
  const known = RESPONSES.get(key) ?? responseOf(TONE[tone].body, rate);
  RESPONSES.set(key, known);
  return known;
}

/** All strings of an instrument with what they sound through: drive, then body or cabinet. */
export class Rig implements Source {
  private readonly strings: readonly StringVoice[];
  private readonly level: WithoutConstant;
  private readonly drive: Drive | null;
  private readonly body: Convolver;
  private readonly gain: number;
  private readonly queue = new Queue<TimedSound>();
  /** The sample at which every string is damped. */
  private stopAt = Number.POSITIVE_INFINITY;

  /** @param rate Samples a second. */
  constructor(
    instrument: Instrument,
    tone: ToneName,
    private readonly rate: number,
  ) {
    const t = TONE[tone];
    const body = bodyOf(tone, rate);
    const late = new Delay(body, rate);
    this.strings = instrument.tuning.map(
      (_, i) => new StringVoice(t, openMidi(instrument, i + 1), rate, i + 1, late),
    );
    this.level = new WithoutConstant(rate);
    this.drive = t.drive > 0 ? new Drive(t.drive, rate) : null;
    this.body = new Convolver(body);
    this.gain = 0.55 * 10 ** (t.gain / 20);
  }

  /** Sounds to come, counted from sample `origin`; what would have begun before `now` begins then. */
  play(sounds: readonly Sound[], origin: number, now: number): void {
    for (const sound of sounds) {
      const start = origin + Math.round(sound.onset * this.rate);
      const end = start + Math.round(sound.length * this.rate);
      if (end > now) this.queue.add({ sound, start, end });
    }
  }

  stop(at: number): void {
    this.queue.dropFrom(at);
    this.stopAt = at;
  }

  run(out: Float64Array, position: number): boolean {
    out.fill(0);
    let sounds = false;
    for (let done = 0; done < BLOCK; ) {
      const now = position + done;
      if (this.stopAt <= now) {
        for (const s of this.strings) s.damp();
        this.stopAt = Number.POSITIVE_INFINITY;
      }
      for (let due = this.queue.due(now); due !== null; due = this.queue.due(now)) {
        this.strings[due.sound.string - 1]?.begin(due);
      }
      const until = Math.min(this.queue.next, this.stopAt) - now;
      const count = Math.min(BLOCK - done, until);
      for (const s of this.strings) if (s.run(out, done, count, now)) sounds = true;
      done += count;
    }
    if (sounds) this.level.process(out);
    else this.level.clear();
    if (this.drive?.process(out, !sounds) === true) sounds = true;
    if (!this.body.process(out, !sounds)) return false;
    for (let i = 0; i < BLOCK; i++) out[i] = out[i]! * this.gain;
    return true;
  }
}

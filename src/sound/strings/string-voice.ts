import { centsAt } from '../../core/sound/curve';
import type { Sound } from '../../core/sound/types';
import type { Delay } from '../dsp/delay';
import { CONTROL, LONGEST_PERIOD, type Loss, StringLoop } from './loop';
import { meeting } from './meeting';
import { Noise } from './noise';
import { LONGEST_PULSE, pluckPulse, pluckShape } from './pluck';
import type { Tone } from './tones';

/** A sound with its place in the stream. */
export interface TimedSound {
  readonly sound: Sound;
  /** First sample. */
  readonly start: number;
  /** The sample at which the string is damped. */
  readonly end: number;
}

/** A string that is damped dies away by 60 dB in so many seconds. */
const DAMPED = 0.052;
const SIXTY_DB = Math.log(1000);
/** What a hammer or a pull gives to a string that sounds may come so many seconds late; its pitch does not. */
const MOST_WAIT = 0.003;
/** Quieter than this for longer than any period, a string rests. */
const SILENCE = 1e-5;

/** How manners of sounding change the string's losses (ours): a factor at 0 Hz, one above. */
const MANNER_LOSS: Readonly<Record<Sound['manner'], readonly [low: number, high: number]>> = {
  open: [1, 1],
  palm: [18, 9],
  dead: [140, 60],
  harmonic: [1, 0.8],
  pinch: [1, 0.5],
  scrape: [140, 60],
};

/**
 * One string of the instrument. What is plucked begins on a loop of its own while the old one is damped,
 * so that nothing clicks; what is hammered, pulled or slid goes on with the loop that sounds.
 */
export class StringVoice {
  private readonly loops: readonly [StringLoop, StringLoop];
  private readonly states: readonly [LoopState, LoopState];
  private active: 0 | 1 = 0;
  private readonly noise: Noise;
  private readonly loss: Loss;

  constructor(
    private readonly tone: Tone,
    openMidi: number,
    private readonly rate: number,
    seed: number,
    /** What the strings sound through: what it holds back is moved so much sooner. */
    private readonly through: Delay | null = null,
  ) {
    this.loops = [new StringLoop(rate), new StringLoop(rate)];
    this.states = [new LoopState(), new LoopState()];
    this.noise = new Noise(rate, seed);
    const octaves = (openMidi - 40) / 12;
    this.loss = {
      low: tone.loss * tone.lossOctave ** octaves,
      high: tone.lossHigh * tone.lossHighOctave ** octaves,
      corner: tone.lossCorner,
    };
  }

  /** A sound begins; the samples that follow belong to it. */
  begin(timed: TimedSound): void {
    const { sound } = timed;
    const goesOn = sound.begin === 'hammered' || sound.begin === 'pulled' || sound.begin === 'slid';
    const now = this.states[this.active];
    if (goesOn && now.timed !== null) {
      this.goOn(now, timed);
      return;
    }
    now.damped = true;
    this.active = this.active === 0 ? 1 : 0;
    const next = this.states[this.active];
    this.loops[this.active].clear();
    next.start(timed);
    next.late = this.lateOf(sound);
    const peak = this.sizeOf(sound);
    if (sound.manner !== 'scrape') this.push(next, sound, 1, peak);
    this.noise.strike(sound, peak, this.tone);
  }

  /** A hand is laid on the string. */
  damp(): void {
    for (const s of this.states) s.damped = true;
  }

  /** The loop goes on at another pitch; a hammer or a pull gives it a little new movement. */
  private goOn(state: LoopState, timed: TimedSound): void {
    const { sound } = timed;
    const size = sound.begin === 'slid' ? 0 : sound.begin === 'hammered' ? 0.55 : 0.5;
    state.go(timed);
    state.late = this.lateOf(sound);
    if (size === 0) return;
    this.push(state, sound, 0.6, size * this.sizeOf(sound));
    this.meet(state, this.rate / hertzOf(sound.midi + centsAt(sound, 0) / 100));
  }

  /**
   * Puts the new movement where it meets the old one, upwards or downwards: against what goes round already
   * it would take the lowest partial away, and sound an octave up.
   */
  private meet(state: LoopState, period: number): void {
    const { pulse } = state;
    const until = this.loops[this.active].untilMeets(pulse, state.pushEnd, period);
    const { sign, wait } = meeting(until, period, Math.round(MOST_WAIT * this.rate));
    const end = Math.min(LONGEST_PULSE, state.pushEnd + wait);
    for (let i = end - 1; i >= 0; i--) pulse[i] = i < wait ? 0 : sign * pulse[i - wait]!;
    state.pushEnd = end;
  }

  /** Peak of the string's movement. */
  private sizeOf({ level, midi }: Sound): number {
    return 10 ** ((level + (this.tone.balance * (midi - 57)) / 12) / 20);
  }

  /** Samples by which what is between string and ear holds back a movement of its pitch. */
  private lateOf(sound: Sound): number {
    if (this.through === null) return 0;
    const hertz = hertzOf(sound.midi + centsAt(sound, 0) / 100);
    const { place, corner } = pluckShape(this.tone, {
      ...sound,
      hertz,
      rate: this.rate,
      harmonic: sound.manner === 'harmonic',
    });
    return this.through.of({ hertz, place, corner });
  }

  /** What the finger or pick puts into the string. */
  private push(state: LoopState, sound: Sound, softness: number, peak: number): void {
    const { tone, rate } = this;
    const hertz = hertzOf(sound.midi + centsAt(sound, 0) / 100);
    const harmonic = sound.manner === 'harmonic';
    const bright = sound.manner === 'pinch' ? 2.2 : sound.begin === 'tapped' ? 1.3 : 1;
    const shape = pluckShape(tone, { fret: sound.fret, level: sound.level, hertz, rate, harmonic });
    const corner = Math.min(16_000, shape.corner * bright * softness);
    state.pushEnd = pluckPulse(state.pulse, { ...shape, corner }, peak);
  }

  /**
   * Adds `n` samples from position `from` of the stream to `out`, from `at` on.
   * @returns Whether anything sounds.
   */
  run(out: Float64Array, at: number, n: number, from: number): boolean {
    this.runLoop(0, out, at, n, from);
    this.runLoop(1, out, at, n, from);
    const noise = this.noise.run(out, at, n);
    return noise || this.states[0].timed !== null || this.states[1].timed !== null;
  }

  private runLoop(which: 0 | 1, out: Float64Array, at: number, n: number, from: number): void {
    const state = this.states[which];
    const loop = this.loops[which];
    let done = 0;
    while (done < n && state.timed !== null) {
      if (state.left === 0) {
        const position = from + done;
        if (state.quiet) {
          state.rest();
          return;
        }
        const ahead = state.late - loop.ahead;
        loop.tune(state.hertz(position + ahead, this.rate), this.lossAt(state, position));
        state.left = CONTROL;
        state.most = 0;
      }
      const count = Math.min(n - done, state.left);
      const tap = this.tone.pickup === null ? 0 : this.tone.pickup * 2 ** (state.fret / 12);
      const most = loop.run(out, at + done, count, state.pulse, state.pushed, state.pushEnd, tap);
      state.most = Math.max(state.most, most);
      state.pushed += count;
      state.left -= count;
      done += count;
      if (state.left === 0) state.judge();
    }
  }

  private lossAt(state: LoopState, position: number): Loss {
    const { sound, end } = state.timed!;
    const damped = state.damped || position >= end;
    const [low, high] = MANNER_LOSS[sound.manner];
    return {
      low: damped ? SIXTY_DB / DAMPED : this.loss.low * low,
      high: this.loss.high * high,
      corner: this.loss.corner,
    };
  }
}

/** What one loop is doing. */
class LoopState {
  timed: TimedSound | null = null;
  damped = false;
  readonly pulse = new Float64Array(LONGEST_PULSE);
  pushed = 0;
  pushEnd = 0;
  /** Samples until pitch and loss are computed anew. */
  left = 0;
  most = 0;
  /** Samples for which nothing has moved. */
  still = 0;
  fret = 0;
  /** Samples by which a movement of pitch is begun before it is to be heard. */
  late = 0;

  start(timed: TimedSound): void {
    this.go(timed);
    this.damped = false;
    this.left = 0;
  }

  go(timed: TimedSound): void {
    this.timed = timed;
    this.pushed = 0;
    this.pushEnd = 0;
    this.still = 0;
    this.fret = timed.sound.fret;
  }

  hertz(position: number, rate: number): number {
    const { sound, start, end } = this.timed!;
    // A damped string keeps the pitch it had.
    const at = (Math.min(position, end) - start) / rate;
    return hertzOf(sound.midi + centsAt(sound, Math.max(0, at)) / 100);
  }

  /** At rest once nothing has moved for a whole period; between two pulses the line is silent too. */
  get quiet(): boolean {
    return this.still > LONGEST_PERIOD;
  }

  judge(): void {
    this.still = this.most < SILENCE ? this.still + CONTROL : 0;
  }

  rest(): void {
    this.timed = null;
  }
}

function hertzOf(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12);
}

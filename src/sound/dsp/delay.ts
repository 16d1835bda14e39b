import { RealFft } from './fft';

const SIZE = 4096;
const BINS = SIZE / 2 + 1;
/** Partials that tell an ear the pitch (common practice). */
const PARTIALS = 8;

/** What comes in, at the first partials. */
export interface Incoming {
  readonly hertz: number;
  /** Plucking point as a fraction of the length that sounds. */
  readonly place: number;
  /** Softness of the pick: corner of two lowpasses in hertz. */
  readonly corner: number;
}

/**
 * How late a response lets a movement of pitch be heard: its group delay (Oppenheim & Schafer, Discrete-Time
 * Signal Processing, transform analysis), as a mean over the partials of a plucked string, each by what
 * is heard of it. A resonance holds back what lies near it: a beginning comes through at once, and what
 * moves afterwards comes some milliseconds later.
 */
export class Delay {
  private readonly power = new Float64Array(BINS);
  /** The delay in samples, times the power. */
  private readonly held = new Float64Array(BINS);

  /** @param rate Samples a second. */
  constructor(
    response: Float32Array,
    private readonly rate: number,
  ) {
    const fft = new RealFft(SIZE);
    const x = new Float64Array(SIZE);
    x.set(response.subarray(0, SIZE));
    const [re, im] = [new Float64Array(BINS), new Float64Array(BINS)];
    fft.forward(x, re, im);
    // Weighted by its time a response has the spectrum that its delay is read from.
    const [timeRe, timeIm] = [new Float64Array(BINS), new Float64Array(BINS)];
    fft.forward(
      x.map((v, i) => v * i),
      timeRe,
      timeIm,
    );
    for (let k = 0; k < BINS; k++) {
      this.power[k] = re[k]! ** 2 + im[k]! ** 2;
      this.held[k] = timeRe[k]! * re[k]! + timeIm[k]! * im[k]!;
    }
  }

  /** Samples by which a movement of pitch is late. */
  of({ hertz, place, corner }: Incoming): number {
    let sum = 0;
    let all = 0;
    for (let k = 1; k <= PARTIALS; k++) {
      const bin = (k * hertz * SIZE) / this.rate;
      const i = Math.min(BINS - 2, Math.floor(bin));
      const part = Math.min(1, bin - i);
      // A partial tells the pitch by its number, and has so much less strength: only the pluck is left.
      const pluck = Math.sin(Math.PI * k * place) ** 2;
      const heard = pluck / (1 + ((k * hertz) / corner) ** 2) ** 2;
      sum += heard * (this.held[i]! + part * (this.held[i + 1]! - this.held[i]!));
      all += heard * (this.power[i]! + part * (this.power[i + 1]! - this.power[i]!));
    }
    return all > 0 ? sum / all : 0;
  }
}

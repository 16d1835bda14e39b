import { PitchDetector } from 'pitchy';
import type { Instrument } from '../../../core/phrase/types';
import { readingOf, steady, type TunerReading } from './reading';

/** Samples looked at: seven periods of the low E at 48 kHz. */
const WINDOW = 4096;
/** Milliseconds between two looks. */
const EVERY = 60;
/** Looks from which the middle one is taken. */
const KEEPS = 5;
/** Less clear is noise, from 0 to 1. */
const CLEAR = 0.92;
/** Quieter is silence; root mean square, full scale being 1. */
const QUIET = 0.004;

/**
 * Listens to the microphone and tells how far the string that sounds is from its pitch. Samples are
 * looked at and forgotten: nothing is recorded, nothing leaves the device.
 * @param tell Gets null while nothing clear is heard.
 * @returns a function that ends it and lets the microphone go.
 * @throws when there is no microphone, or it may not be used.
 */
export async function startTuner(
  instrument: Instrument,
  tell: (reading: TunerReading | null) => void,
): Promise<() => void> {
  const stream = await navigator.mediaDevices.getUserMedia({
    // What is made for speech would bend the pitch of a string.
    audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
  });
  const context = new AudioContext();
  const analyser = new AnalyserNode(context, { fftSize: WINDOW });
  context.createMediaStreamSource(stream).connect(analyser);
  const detector = PitchDetector.forFloat32Array(WINDOW);
  const samples = new Float32Array(WINDOW);
  let last: readonly TunerReading[] = [];
  const look = () => {
    analyser.getFloatTimeDomainData(samples);
    const power = samples.reduce((sum, v) => sum + v * v, 0) / WINDOW;
    const [hertz, clarity] =
      power < QUIET * QUIET ? [0, 0] : detector.findPitch(samples, context.sampleRate);
    const reading = clarity < CLEAR ? null : readingOf(hertz, instrument);
    last = reading === null ? [] : [...last, reading].slice(-KEEPS);
    tell(steady(last));
  };
  const timer = setInterval(look, EVERY);
  return () => {
    clearInterval(timer);
    for (const track of stream.getTracks()) track.stop();
    void context.close();
  };
}

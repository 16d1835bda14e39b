import { Rig } from '../strings/rig';
import { type ToStrings, WORKLET } from './messages';

/** What an AudioWorkletGlobalScope has (W3C Web Audio API 1.1, section 1.32). */
declare abstract class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;
declare const sampleRate: number;
declare const currentFrame: number;

/** The strings as an audio worklet: the same code as in files, computed block by block. */
class Strings extends AudioWorkletProcessor {
  private rig: Rig | null = null;
  /** Frame of the context at which the rig's stream began. */
  private began = 0;

  constructor() {
    super();
    this.port.onmessage = (e: MessageEvent<ToStrings>) => this.take(e.data);
  }

  private take(message: ToStrings): void {
    switch (message.kind) {
      case 'set up':
        this.rig = new Rig(message.instrument, message.tone, sampleRate);
        this.began = currentFrame;
        break;
      case 'play': {
        const { rig } = this;
        if (rig === null) return;
        const origin = message.origin - this.began;
        rig.schedule(message.sounds.map((s) => rig.timed(s, origin)));
        break;
      }
      case 'stop':
        this.rig?.stop();
    }
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const [output] = outputs;
    const first = output?.[0];
    if (first === undefined || this.rig === null) return true;
    this.rig.render(first);
    for (const channel of output!.slice(1)) channel.set(first);
    return true;
  }
}

registerProcessor(WORKLET, Strings);

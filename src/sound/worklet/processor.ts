import { Engine } from '../engine';
import { type ToStrings, WORKLET } from './messages';

/** What an AudioWorkletGlobalScope has (W3C Web Audio API 1.1, section 1.32). */
declare abstract class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;
declare const sampleRate: number;
declare const currentFrame: number;

/** The engine as an audio worklet: the same code as in files, computed block by block. */
class Strings extends AudioWorkletProcessor {
  private readonly engine = new Engine(sampleRate);
  /** Frame of the context at which the engine's stream began. */
  private began: number | null = null;

  constructor() {
    super();
    this.port.onmessage = (e: MessageEvent<ToStrings>) => this.take(e.data);
  }

  private take(message: ToStrings): void {
    const { engine } = this;
    this.began ??= currentFrame;
    const { began } = this;
    switch (message.kind) {
      case 'set up':
        engine.setUp(message.part, message);
        break;
      case 'play':
        engine.play(message, message.origin - began);
        break;
      case 'level':
        engine.level(message.part, message.level);
        break;
      case 'stop':
        engine.stop(message.part, message.at === undefined ? undefined : message.at - began);
    }
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    this.began ??= currentFrame;
    const [output] = outputs;
    const first = output?.[0];
    if (first === undefined) return true;
    this.engine.moveTo(currentFrame - this.began);
    this.engine.render(first);
    for (let i = 1; i < output!.length; i++) output![i]!.set(first);
    return true;
  }
}

registerProcessor(WORKLET, Strings);

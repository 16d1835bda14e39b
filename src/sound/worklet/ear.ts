/** What an AudioWorkletGlobalScope has (W3C Web Audio API 1.1, section 1.32). */
declare abstract class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare const currentFrame: number;
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;

/** Samples that are handed on at once: 43 ms at 48 kHz. */
const BLOCK = 2048;

/** Hands what comes in to the page, one channel, block by block, with the frame of the clock at which each ends. */
class Ear extends AudioWorkletProcessor {
  private block = new Float32Array(BLOCK);
  private filled = 0;

  process(inputs: Float32Array[][]): boolean {
    const channels = inputs[0] ?? [];
    const length = channels[0]?.length ?? 0;
    for (let i = 0; i < length; i++) {
      let sum = 0;
      for (const c of channels) sum += c[i]!;
      this.block[this.filled++] = sum / channels.length;
      if (this.filled < BLOCK) continue;
      const until = currentFrame + i + 1;
      this.port.postMessage({ samples: this.block, until }, [this.block.buffer]);
      this.block = new Float32Array(BLOCK);
      this.filled = 0;
    }
    return true;
  }
}

// The page names it by the same word.
registerProcessor('ear', Ear);

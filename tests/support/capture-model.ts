import { readFileSync } from 'node:fs';
import path from 'node:path';

/** The file of weights of the capture model. */
export function captureWeights(): Uint8Array {
  return readFileSync(
    path.resolve(import.meta.dirname, '../../src/sound/capture/model/weights.bin'),
  );
}

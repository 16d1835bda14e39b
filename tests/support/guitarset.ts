import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { readWav, type WavSound } from '../../src/io/wav/read';

const FOLDER = path.resolve(import.meta.dirname, '../../../shared/refs/data/guitarset');
const NAME = '00_BN1-129-Eb_solo';

export interface Jams {
  readonly annotations: readonly {
    readonly namespace: string;
    readonly annotation_metadata: { readonly data_source: string };
    readonly data:
      | readonly {
          readonly time: number;
          readonly duration: number;
          readonly value: number;
        }[]
      | {
          readonly time: readonly number[];
          readonly value: readonly { readonly frequency: number; readonly voiced: boolean }[];
        };
  }[];
}

/** A note as it was annotated by hand. */
export interface AnnotatedNote {
  readonly at: number;
  readonly end: number;
  readonly midi: number;
  readonly string: number;
}

/**
 * A recorded solo with what was annotated (GuitarSet: Xi, Bittner, Pauwels, Ye, Bello, ISMIR 2018; CC BY 4.0). Not shipped.
 * @returns why it is not there, in words, where it is absent.
 */
export function recordedSolo():
  | { readonly jams: Jams; readonly notes: readonly AnnotatedNote[]; readonly sound: WavSound }
  | string {
  const file = path.join(FOLDER, `${NAME}.jams`);
  if (!existsSync(file)) return `the recorded solo is not at ${path.relative('.', FOLDER)}`;
  const jams = JSON.parse(readFileSync(file, 'utf8')) as Jams;
  const sound = readWav(readFileSync(path.join(FOLDER, `${NAME}_mic.wav`)));
  if (!sound.ok) throw new Error(sound.problems[0]!.message);
  const notes = jams.annotations
    .flatMap((a) =>
      a.namespace === 'note_midi' && Array.isArray(a.data)
        ? a.data.map((d) => ({
            at: d.time,
            end: d.time + d.duration,
            midi: d.value,
            string: 6 - Number(a.annotation_metadata.data_source),
          }))
        : [],
    )
    .sort((a, b) => a.at - b.at);
  return { jams, notes, sound: sound.value };
}

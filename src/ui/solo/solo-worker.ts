import { layForm } from '../../core/form/lay';
import { standardForm } from '../../core/form/standard';
import type { Meta, Phrase, Tempo } from '../../core/phrase/types';
import { ok, type Result } from '../../core/result';
import { proposeSolos } from '../../core/solo/propose';
import type { PitchClass } from '../../core/theory/pitch';

/** What the page sends: everything a chorus is made of. */
export interface SoloAsked {
  readonly form: string;
  readonly tonic: PitchClass;
  readonly phrases: readonly Phrase[];
  readonly level: number | null;
  readonly chords: boolean;
  /** 0 for the best. */
  readonly seed: number;
  readonly id: string;
  readonly meta: Meta;
  readonly tempo: Tempo;
}

/** A chorus as the page shows it. */
export interface SoloMade {
  readonly phrase: Phrase;
  readonly parts: readonly {
    readonly firstBar: number;
    readonly lastBar: number;
    readonly id: string;
    readonly octaves: number;
    readonly why: readonly string[];
  }[];
  readonly empty: readonly { readonly bar: number; readonly why: string }[];
}

/** Makes one chorus, away from the page. */
export function makeSolo(asked: SoloAsked): Result<SoloMade> {
  const form = standardForm(asked.form);
  if (form === undefined) throw new RangeError(`no form ${asked.form}`);
  const laid = layForm(form, asked.tonic);
  if (!laid.ok) return laid;
  const options = {
    chords: asked.chords,
    ...(asked.seed === 0 ? {} : { seed: asked.seed }),
    ...(asked.level === null ? {} : { level: asked.level }),
  };
  const { id, meta, tempo } = asked;
  const made = proposeSolos({ form: laid.value, phrases: asked.phrases, options }, () => ({
    id,
    meta,
    tempo,
  }));
  if (!made.ok) return made;
  const solo = made.value[0]!;
  const parts = solo.parts.map(({ firstBar, lastBar, phrase, octaves, why }) => ({
    firstBar,
    lastBar,
    id: phrase.id,
    octaves,
    why,
  }));
  return ok({ phrase: solo.phrase, parts, empty: solo.empty });
}

self.onmessage = (e: MessageEvent<SoloAsked>) => {
  self.postMessage(makeSolo(e.data));
};

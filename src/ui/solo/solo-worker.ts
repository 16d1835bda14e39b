import { layForm } from '../../core/form/lay';
import { repeatForm } from '../../core/form/repeat';
import type { Form } from '../../core/form/types';
import { changesOf } from '../../core/move/changes';
import { shownTitle } from '../../core/phrase/record';
import type { Meta, Phrase, Tempo } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { alternatives } from '../../core/solo/alternatives';
import { Placer } from '../../core/solo/placer';
import { proposeSolos } from '../../core/solo/propose';
import type { Pin, SoloOptions, SoloTask } from '../../core/solo/types';
import type { SoloTaste } from '../../core/solo/wanted';
import type { PitchClass } from '../../core/theory/pitch';
import type { Held } from './bench';

/** Everything a solo is made of, but the phrases. */
export interface SoloAsked {
  readonly form: Form;
  readonly tonic: PitchClass;
  readonly choruses: number;
  readonly level: number | null;
  readonly chords: boolean;
  readonly fill: boolean;
  readonly taste: SoloTaste;
  /** 0 for the best. */
  readonly seed: number;
  readonly held: readonly Held[];
  readonly id: string;
  readonly meta: Meta;
  readonly tempo: Tempo;
}

export interface MadePart {
  readonly firstBar: number;
  readonly lastBar: number;
  readonly id: string;
  readonly title: string;
  readonly octaves: number;
  readonly why: readonly string[];
  /** What the move did beyond moving. */
  readonly changes: readonly string[];
}

/** A solo as the page shows it; no phrase where nothing lies on it. */
export interface SoloMade {
  readonly phrase: Phrase | null;
  readonly parts: readonly MadePart[];
  readonly empty: readonly { readonly bar: number; readonly why: string }[];
}

/** What else could stand in a place. */
export interface Other {
  readonly id: string;
  readonly title: string;
  /** Bars it covers. */
  readonly bars: number;
  readonly octaves: number;
  readonly why: readonly string[];
}

/** What the page sends. A list of phrases holds until the next. */
export type SoloQuestion =
  | { readonly kind: 'phrases'; readonly phrases: readonly Phrase[] }
  | { readonly kind: 'solo'; readonly number: number; readonly asked: SoloAsked }
  /** One of several to choose from, while another lies on the bars. */
  | { readonly kind: 'draw'; readonly number: number; readonly asked: SoloAsked }
  | {
      readonly kind: 'others';
      readonly number: number;
      readonly asked: SoloAsked;
      /** From 1. */
      readonly firstBar: number;
      readonly lastBar: number;
    };

export type SoloAnswer =
  | { readonly kind: 'solo' | 'draw'; readonly number: number; readonly made: Result<SoloMade> }
  | { readonly kind: 'others'; readonly number: number; readonly others: readonly Other[] };

/** Makes solos of one list of phrases, and remembers what it has moved for the form that was asked last. */
export class Studio {
  private readonly byId: ReadonlyMap<string, number>;
  private placer: { readonly name: string; readonly is: Placer } | null = null;

  constructor(private readonly phrases: readonly Phrase[]) {
    this.byId = new Map(phrases.map((p, i) => [p.id, i]));
  }

  solo(asked: SoloAsked): Result<SoloMade> {
    const task = this.taskOf(asked);
    if (!task.ok) return task;
    const { id, meta, tempo } = asked;
    const { form, options } = task.value;
    if (options.fill === false && !(options.pins ?? []).some((p) => p.index !== null)) {
      const empty = form.bars.map((_, i) => ({ bar: i + 1, why: 'nothing was put there' }));
      return ok({ phrase: null, parts: [], empty });
    }
    const made = proposeSolos(task.value, () => ({ id, meta, tempo }), this.placerOf(task.value));
    if (!made.ok) return made;
    const [solo] = made.value;
    if (solo === undefined) return fail({ message: 'no way leads through the form' });
    const parts = solo.parts.map(({ firstBar, lastBar, phrase, octaves, why, report }) => ({
      firstBar,
      lastBar,
      id: phrase.id,
      title: shownTitle(phrase.meta),
      octaves,
      why,
      changes: changesOf(report),
    }));
    return ok({ phrase: solo.phrase, parts, empty: solo.empty });
  }

  others(asked: SoloAsked, firstBar: number, lastBar: number): readonly Other[] {
    const task = this.taskOf({ ...asked, fill: true });
    if (!task.ok) return [];
    const place = { start: firstBar - 1, end: lastBar };
    const found = alternatives(task.value, place, MOST_OTHERS, this.placerOf(task.value));
    if (!found.ok) return [];
    return found.value.map(({ phrase, start, end, octaves, why }) => ({
      id: phrase.id,
      title: shownTitle(phrase.meta),
      bars: end - start,
      octaves,
      why,
    }));
  }

  private taskOf(asked: SoloAsked): Result<SoloTask> {
    const laid = layForm(asked.form, asked.tonic);
    if (!laid.ok) return laid;
    const form = repeatForm(laid.value, asked.choruses);
    const pins: Pin[] = [];
    for (const { bar, id, octaves } of asked.held) {
      const start = bar - 1;
      // What lies beyond the end of a form that has become shorter waits until it is longer again.
      if (start >= form.bars.length) continue;
      if (id === null) {
        pins.push({ start, index: null });
        continue;
      }
      const index = this.byId.get(id);
      // A phrase that has left the library leaves its bars to others.
      if (index !== undefined)
        pins.push({ start, index, ...(octaves === null ? {} : { octaves }) });
    }
    const options: SoloOptions = {
      chords: asked.chords,
      fill: asked.fill,
      taste: asked.taste,
      pins,
      ...(asked.seed === 0 ? {} : { seed: asked.seed }),
      ...(asked.level === null ? {} : { level: asked.level }),
    };
    return ok({ form, phrases: this.phrases, options });
  }

  private placerOf({ form, phrases }: SoloTask): Placer {
    const name = JSON.stringify(form);
    const is = this.placer?.name === name ? this.placer.is : new Placer(form, phrases);
    this.placer = { name, is };
    return is;
  }
}

const MOST_OTHERS = 8;

let studio = new Studio([]);

self.onmessage = ({ data }: MessageEvent<SoloQuestion>) => {
  if (data.kind === 'phrases') {
    studio = new Studio(data.phrases);
    return;
  }
  const { number } = data;
  const answer: SoloAnswer =
    data.kind !== 'others'
      ? { kind: data.kind, number, made: studio.solo(data.asked) }
      : {
          kind: 'others',
          number,
          others: studio.others(data.asked, data.firstBar, data.lastBar),
        };
  self.postMessage(answer);
};

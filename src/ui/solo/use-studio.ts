import { useEffect, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { fail, type Result } from '../../core/result';
import { NotThere, whyMissing } from '../shared/on-demand';
import type { Other, SoloAnswer, SoloAsked, SoloMade, SoloQuestion } from './solo-worker';

/** A place of which it is asked what else could stand there. Bars from 1. */
export interface PlaceAsked {
  /** With nothing held in the place. */
  readonly asked: SoloAsked;
  readonly firstBar: number;
  readonly lastBar: number;
}

/** The worker that lays phrases over forms; it stays while the page does. */
export function useStudioWorker(): StudioWorker {
  const worker = useMemo(() => new StudioWorker(), []);
  useEffect(() => () => worker.close(), [worker]);
  return worker;
}

export interface Made {
  /** Null while it is being made. */
  readonly now: Result<SoloMade> | null;
  /** What was made last, to be shown while the next is being made or where it cannot be. */
  readonly last: SoloMade | null;
  /** What that was asked for. */
  readonly lastAsked: SoloAsked | null;
}

/** The chorus that is asked for, made by the worker. */
export function useMade(
  worker: StudioWorker,
  phrases: readonly Phrase[] | null,
  asked: SoloAsked,
): Made {
  const [made, setMade] = useState<{ of: SoloAsked; is: Result<SoloMade> } | null>(null);
  const [last, setLast] = useState<{ of: SoloAsked; is: SoloMade } | null>(null);
  useEffect(() => {
    if (phrases === null) return;
    worker.ask(phrases, { kind: 'solo', number: 0, asked }, (answer) => {
      if (answer.kind !== 'solo') return;
      if (answer.made.ok) setLast({ of: asked, is: answer.made.value });
      setMade({ of: asked, is: answer.made });
    });
  }, [worker, phrases, asked]);
  return {
    now: made !== null && made.of === asked ? made.is : null,
    last: last?.is ?? null,
    lastAsked: last?.of ?? null,
  };
}

/** What else could stand in a place; null while it is being sought, or where nothing is asked. */
export function useOthers(
  worker: StudioWorker,
  phrases: readonly Phrase[] | null,
  place: PlaceAsked | null,
): readonly Other[] | null {
  const [others, setOthers] = useState<{ of: PlaceAsked; is: readonly Other[] } | null>(null);
  useEffect(() => {
    if (phrases === null || place === null) return;
    worker.ask(phrases, { kind: 'others', number: 0, ...place }, (answer) => {
      if (answer.kind === 'others') setOthers({ of: place, is: answer.others });
    });
  }, [worker, phrases, place]);
  return others !== null && others.of === place ? others.is : null;
}

type Numbered = Exclude<SoloQuestion, { kind: 'phrases' }>;
type Then = (answer: SoloAnswer) => void;

/** What lies on the bars goes before what could be taken instead of all of it, and that before what else could stand at one. */
const ORDER = ['solo', 'draw', 'others'] as const;

/** One question of a kind waits at most: a newer one takes its place. */
export class StudioWorker {
  private worker: Worker | null = null;
  private sent: readonly Phrase[] | null = null;
  private number = 0;
  private readonly asked = new Map<
    number,
    { readonly kind: Numbered['kind']; readonly run: Then }
  >();
  private readonly waiting = new Map<
    Numbered['kind'],
    { question: Numbered; phrases: readonly Phrase[]; run: Then }
  >();

  ask(phrases: readonly Phrase[], question: Numbered, run: Then): void {
    this.waiting.set(question.kind, { question, phrases, run });
    this.next();
  }

  close(): void {
    this.worker?.terminate();
    this.worker = null;
    this.sent = null;
    this.asked.clear();
    this.waiting.clear();
  }

  private next(): void {
    if (this.asked.size > 0) return;
    const kind = ORDER.find((k) => this.waiting.has(k));
    const ask = kind === undefined ? undefined : this.waiting.get(kind);
    if (kind === undefined || ask === undefined) return;
    this.waiting.delete(kind);
    const worker = this.worker ?? this.open();
    if (this.sent !== ask.phrases) {
      this.sent = ask.phrases;
      worker.postMessage({ kind: 'phrases', phrases: ask.phrases } satisfies SoloQuestion);
    }
    const number = ++this.number;
    this.asked.set(number, { kind, run: ask.run });
    worker.postMessage({ ...ask.question, number });
  }

  private open(): Worker {
    const worker = new Worker(new URL('./solo-worker.ts', import.meta.url), { type: 'module' });
    this.worker = worker;
    worker.onmessage = ({ data }: MessageEvent<SoloAnswer>) => {
      const then = this.asked.get(data.number);
      this.asked.delete(data.number);
      then?.run(data);
      this.next();
    };
    worker.onerror = async (e) => {
      e.preventDefault();
      const left = [...this.asked.values()];
      worker.terminate();
      this.worker = null;
      this.sent = null;
      this.asked.clear();
      // What is thrown inside has a message; a worker that did not come has none.
      const message =
        e.message !== '' && e.message !== undefined
          ? `the chorus could not be made: ${e.message}`
          : new NotThere('What lays phrases over forms', await whyMissing(), e).message;
      for (const { kind, run } of left) {
        if (kind === 'others') run({ kind, number: 0, others: [] });
        else run({ kind, number: 0, made: fail({ message }) });
      }
      this.next();
    };
    return worker;
  }
}

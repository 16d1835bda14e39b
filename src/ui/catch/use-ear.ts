import { useCallback, useEffect, useRef, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import type { ToneName } from '../../core/sound/tone';
import type { CaughtTake, FromEar, LiveNote, Round, ToEar } from './messages';
import { type MeterReading, meter } from './meter';
import { type Ear, openEar } from './microphone';
import { problemOf } from './problem-of';
import { useAlong } from './use-along';

export interface Sound {
  readonly samples: Float32Array;
  readonly rate: number;
}

export interface EarState {
  readonly listening: boolean;
  /** The loudest of the last moment, 0 to 1. */
  readonly level: number;
  /** It is or was cut off at its peaks a moment ago. */
  readonly clipped: boolean;
  /** Samples a second of what is listened to, as the device has them; null before anything was. */
  readonly rate: number | null;
  /** Nothing has come in for some seconds. */
  readonly silent: boolean;
  /** The notes that were played last, oldest first. */
  readonly live: readonly LiveNote[];
  /** Share of the recording that has been heard; null where nothing is at work. */
  readonly share: number | null;
  readonly take: CaughtTake | null;
  readonly sound: Sound | null;
  readonly problems: readonly Problem[];
  readonly slow: boolean;
  /** Something was listened to and can be kept, though the input may have gone. */
  readonly remembered: boolean;
}

const NOTHING: EarState = {
  listening: false,
  level: 0,
  clipped: false,
  rate: null,
  silent: false,
  live: [],
  share: null,
  take: null,
  sound: null,
  problems: [],
  slow: false,
  remembered: false,
};

/** What is said of an input that has just been opened. */
const FRESH = { problems: [], clipped: false, silent: false, live: [] } as const;

const SHOWN = 24;
const GONE = {
  message: 'the input has gone away',
  fix: 'Connect it again. What was heard can still be kept.',
} as const;

/** A worker that hears, and the microphone that feeds it. */
export function useEar() {
  const [state, setState] = useState(NOTHING);
  const ear = useRef<Ear | null>(null);
  /** Counts what is listened to: an input that comes when another was asked for since, or the page left, is let go. */
  const turn = useRef(0);
  const set = useCallback(
    (part: Partial<EarState>) => setState((now) => ({ ...now, ...part })),
    [],
  );
  const sounds = useAlong(ear);
  const { come, hear, leave, open } = sounds;
  const asks = useRef(0);
  const waiting = useRef(new Map<number, (samples: Float32Array | null) => void>());
  const rendered = useCallback((ask: number, samples: Float32Array | null) => {
    waiting.current.get(ask)?.(samples);
    waiting.current.delete(ask);
  }, []);
  /** Is called as soon as the part that was to be kept is there, before anything else comes of it. */
  const onFound = useRef(() => {});
  const found = useCallback(() => onFound.current(), []);
  const tell = useWorker(setState, come, rendered, found);
  const render = useCallback(
    (phrase: Phrase, tone: ToneName | null, rate: number) => {
      const ask = ++asks.current;
      tell({ kind: 'render', ask, phrase, tone, rate });
      return new Promise<Float32Array | null>((done) => waiting.current.set(ask, done));
    },
    [tell],
  );
  const close = useCallback(() => {
    turn.current++;
    leave();
    ear.current?.stop();
    ear.current = null;
  }, [leave]);
  const stop = useCallback(() => {
    close();
    set({ listening: false, level: 0, silent: false });
  }, [close, set]);
  const listen = useCallback(
    async (input: string) => {
      close();
      const mine = turn.current;
      const isOver = () => mine !== turn.current;
      const read = meter();
      const take = (block: Float32Array, until: number) => {
        if (isOver()) return;
        const reading = read(block, ear.current?.rate ?? 48_000);
        setState((now) => withLevel(now, reading));
        const samples = hear(block, until);
        tell({ kind: 'block', samples, sent: Date.now() }, [samples.buffer]);
      };
      const lost = () => {
        if (isOver()) return;
        stop();
        set({ problems: [GONE] });
      };
      try {
        const opened = await openEar(input, take, lost);
        if (isOver()) {
          opened.stop();
          return;
        }
        open(opened);
        ear.current = opened;
        tell({ kind: 'begin', rate: opened.rate });
        set({ ...FRESH, rate: opened.rate, listening: true, remembered: true });
      } catch (e) {
        if (isOver()) return;
        set({ listening: false, problems: [problemOf(e)] });
      }
    },
    [set, stop, tell, close, open, hear],
  );
  useLetGo(ear, turn);
  return { state, set, tell, render, listen, stop, sounds, onFound };
}

/** Lets the microphone go with the page, also one that is still to come. */
function useLetGo(ear: { current: Ear | null }, turn: { current: number }): void {
  useEffect(
    () => () => {
      turn.current++;
      ear.current?.stop();
      ear.current = null;
    },
    [ear, turn],
  );
}

export type UseEar = ReturnType<typeof useEar>;

type SetState = (next: (now: EarState) => EarState) => void;

/** Takes what was asked for by this number. @returns whether it is still waited for. */
type Come = (ask: number, round: Round | null) => boolean;

type Rendered = (ask: number, samples: Float32Array | null) => void;

/** The worker that hears, from the first message to the end of the page. @returns what tells it something. */
function useWorker(setState: SetState, come: Come, rendered: Rendered, found: () => void) {
  const worker = useRef<Worker | null>(null);
  useEffect(
    () => () => {
      worker.current?.terminate();
      worker.current = null;
    },
    [],
  );
  return useCallback(
    (message: ToEar, move: Transferable[] = []) => {
      worker.current ??= openWorker(setState, come, rendered, found);
      worker.current.postMessage(message, move);
    },
    [setState, come, rendered, found],
  );
}

/** The worker that hears; what it says goes into the state. */
function openWorker(setState: SetState, come: Come, rendered: Rendered, found: () => void): Worker {
  const set = (part: Partial<EarState>) => setState((now) => ({ ...now, ...part }));
  const made = new Worker(new URL('./catch-worker.ts', import.meta.url), { type: 'module' });
  made.onmessage = (e: MessageEvent<FromEar>) => {
    const m = e.data;
    if (m.kind === 'ready') set({ slow: m.arithmetic === 'plain' });
    else if (m.kind === 'live') {
      setState((now) => ({ ...now, live: withNotes(now.live, m.notes) }));
    } else if (m.kind === 'share') set({ share: m.share });
    else if (m.kind === 'sound') set({ sound: { samples: m.samples, rate: m.rate } });
    else if (m.kind === 'found') found();
    else if (m.kind === 'forgotten') setState((now) => ({ ...now, remembered: now.listening }));
    else if (m.kind === 'rendered') rendered(m.ask, m.samples);
    else if (m.kind === 'round') come(m.ask, m.round);
    else if (m.kind === 'no round') {
      if (come(m.ask, null)) set({ problems: m.problems });
    } else if (m.kind === 'taken') set({ take: m.take, share: null, problems: [] });
    else set({ problems: m.problems, share: null });
  };
  made.onerror = (e) => {
    e.preventDefault();
    const message = 'what hears could not be started';
    set({ share: null, problems: [{ message, fix: 'Load the page again.' }] });
  };
  return made;
}

/** What is shown with what is told now: a note that is told again takes its own place. */
function withNotes(live: EarState['live'], notes: EarState['live']): EarState['live'] {
  const anew = new Map(notes.map((n) => [n.id, n]));
  const shown = live.map((n) => anew.get(n.id) ?? n);
  const known = new Set(live.map((n) => n.id));
  return [...shown, ...notes.filter((n) => !known.has(n.id))].slice(-SHOWN);
}

/** The meter falls slowly. */
function withLevel(now: EarState, { peak, clipped, silent }: MeterReading): EarState {
  return { ...now, level: Math.max(peak, now.level * 0.8), clipped, silent };
}

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../core/result';
import type { CaughtTake, FromEar, LiveNote, ToEar } from './messages';
import { type Ear, openEar } from './microphone';

export interface Sound {
  readonly samples: Float32Array;
  readonly rate: number;
}

export interface EarState {
  readonly listening: boolean;
  /** The loudest of the last moment, 0 to 1. */
  readonly level: number;
  readonly clipped: boolean;
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
}

const NOTHING: EarState = {
  listening: false,
  level: 0,
  clipped: false,
  silent: false,
  live: [],
  share: null,
  take: null,
  sound: null,
  problems: [],
  slow: false,
};

const CLIPPED = 0.985;
const SILENT = 0.0016;
/** Seconds without sound after which it is said. */
const WAITS = 5;
const SHOWN = 24;

/** A worker that hears, and the microphone that feeds it. */
export function useEar() {
  const [state, setState] = useState(NOTHING);
  const worker = useRef<Worker | null>(null);
  const ear = useRef<Ear | null>(null);
  const set = useCallback(
    (part: Partial<EarState>) => setState((now) => ({ ...now, ...part })),
    [],
  );
  const tell = useCallback((message: ToEar, move: Transferable[] = []) => {
    worker.current ??= openWorker(setState);
    worker.current.postMessage(message, move);
  }, []);
  const stop = useCallback(() => {
    ear.current?.stop();
    ear.current = null;
    set({ listening: false, level: 0, silent: false });
  }, [set]);
  const listen = useCallback(
    async (input: string) => {
      ear.current?.stop();
      let rate = 48_000;
      let quiet = 0;
      const take = (block: Float32Array) => {
        const peak = peakOf(block);
        quiet = peak < SILENT ? quiet + block.length / rate : 0;
        const silent = quiet > WAITS;
        setState((now) => withLevel(now, peak, silent));
        tell({ kind: 'block', samples: block, sent: Date.now() }, [block.buffer]);
      };
      try {
        const opened = await openEar(input, take, () => {
          stop();
          const message = 'the input has gone away';
          set({
            problems: [{ message, fix: 'Connect it again. What was heard can still be kept.' }],
          });
        });
        rate = opened.rate;
        ear.current = opened;
        tell({ kind: 'begin', rate });
        set({ listening: true, problems: [], clipped: false, silent: false, live: [] });
      } catch (e) {
        set({
          listening: false,
          problems: [{ message: e instanceof Error ? e.message : String(e) }],
        });
      }
    },
    [set, stop, tell],
  );
  useEffect(
    () => () => {
      ear.current?.stop();
      worker.current?.terminate();
      worker.current = null;
    },
    [],
  );
  return { state, set, tell, listen, stop };
}

type SetState = (next: (now: EarState) => EarState) => void;

/** The worker that hears; what it says goes into the state. */
function openWorker(setState: SetState): Worker {
  const set = (part: Partial<EarState>) => setState((now) => ({ ...now, ...part }));
  const made = new Worker(new URL('./catch-worker.ts', import.meta.url), { type: 'module' });
  made.onmessage = (e: MessageEvent<FromEar>) => {
    const m = e.data;
    if (m.kind === 'ready') set({ slow: m.arithmetic === 'plain' });
    else if (m.kind === 'live') {
      setState((now) => ({ ...now, live: [...now.live, ...m.notes].slice(-SHOWN) }));
    } else if (m.kind === 'share') set({ share: m.share });
    else if (m.kind === 'sound') set({ sound: { samples: m.samples, rate: m.rate } });
    else if (m.kind === 'taken') set({ take: m.take, share: null, problems: [] });
    else set({ problems: m.problems, share: null });
  };
  made.onerror = (e) => {
    e.preventDefault();
    const message = 'what hears could not be started';
    set({ share: null, problems: [{ message, fix: 'Load the page again.' }] });
  };
  return made;
}

/** The loudest of a block, 0 to 1. */
function peakOf(block: Float32Array): number {
  let peak = 0;
  for (const v of block) peak = Math.max(peak, Math.abs(v));
  return peak;
}

/** The meter falls slowly; what was too loud once stays said. */
function withLevel(now: EarState, peak: number, silent: boolean): EarState {
  const level = Math.max(peak, now.level * 0.8);
  return { ...now, level, clipped: now.clipped || peak >= CLIPPED, silent };
}

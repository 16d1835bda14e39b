import { useCallback, useRef, useState } from 'react';
import type { Problem } from '../../core/result';
import { clickSound, delayOf } from '../../sound/capture/delay';
import type { Ear, TakeBlock } from './microphone';

const KEY = 'degreewise.capture-delay';
const CLICKS = 8;
/** Seconds from click to click, before the first, and after the last. */
const EVERY = 0.5;
const BEFORE = 0.4;
const AFTER = 0.6;
/** A delay beyond this is no delay of a device, in seconds. */
const MOST = 0.5;

/** The delay of this device in seconds; null while nobody has measured it. */
function keptDelay(): number | null {
  try {
    const kept = Number(localStorage.getItem(KEY) ?? Number.NaN);
    return kept >= -0.02 && kept <= MOST ? kept : null;
  } catch {
    return null;
  }
}

function keepDelay(seconds: number): void {
  try {
    localStorage.setItem(KEY, seconds.toFixed(5));
  } catch {
    // Storage is switched off for this address: it lasts as long as the page.
  }
}

export interface DelayTest {
  /** Seconds; null while nobody has measured it. */
  readonly seconds: number | null;
  readonly measuring: boolean;
  /** Why it could not be measured. */
  readonly problems: readonly Problem[];
  readonly measure: (ear: Ear) => void;
  /** Every block that comes in passes here. */
  readonly hear: TakeBlock;
  /** The input has gone away or is another one. */
  readonly leave: () => void;
}

interface Running {
  readonly rate: number;
  readonly clicks: readonly number[];
  readonly end: () => void;
  readonly blocks: { readonly samples: Float32Array; readonly until: number }[];
}

/** Plays clicks and listens for them: how long a sound takes through this device, kept on it. */
export function useDelay(): DelayTest {
  const [seconds, setSeconds] = useState(keptDelay);
  const [measuring, setMeasuring] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef<Running | null>(null);
  const leave = useCallback(() => {
    running.current?.end();
    running.current = null;
    setMeasuring(false);
  }, []);
  const measure = useCallback((ear: Ear) => {
    const from = ear.now() + BEFORE;
    const clicks = Array.from({ length: CLICKS }, (_, i) => from + i * EVERY);
    const ends = clicks.map((at) => ear.play(clickSound(ear.rate), at, false));
    running.current = {
      rate: ear.rate,
      clicks,
      end: () => {
        for (const end of ends) end();
      },
      blocks: [],
    };
    setMeasuring(true);
    setProblems([]);
  }, []);
  const hear = useCallback((block: Float32Array, until: number) => {
    const now = running.current;
    if (now === null) return;
    now.blocks.push({ samples: block.slice(), until });
    if (until < now.clicks.at(-1)! + AFTER) return;
    running.current = null;
    setMeasuring(false);
    const found = delayIn(now);
    if (!found.ok) setProblems(found.problems);
    else {
      setSeconds(found.value.seconds);
      keepDelay(found.value.seconds);
    }
  }, []);
  return { seconds, measuring, problems, measure, hear, leave };
}

/** The blocks as one recording, with the clicks counted from its beginning. */
function delayIn({ rate, clicks, blocks }: Running) {
  const first = blocks[0]!;
  const begin = first.until - first.samples.length / rate;
  const length = blocks.reduce((sum, b) => sum + b.samples.length, 0);
  const samples = new Float32Array(length);
  let at = 0;
  for (const b of blocks) {
    samples.set(b.samples, at);
    at += b.samples.length;
  }
  return delayOf(
    samples,
    rate,
    clicks.map((t) => t - begin),
  );
}

import { useCallback, useRef, useState } from 'react';
import type { Problem } from '../../core/result';
import { ClickTest } from './click-test';
import { delayFor, type InputName, type KeptDelay, withDelay } from './kept-delays';
import type { Ear } from './microphone';

const KEY = 'degreewise.capture-delays';

/** Where storage is switched off for this address it lasts as long as the window. */
let here: string | null = null;

function kept(): string | null {
  try {
    return localStorage.getItem(KEY) ?? here;
  } catch {
    return here;
  }
}

function keep(input: InputName, delay: KeptDelay): void {
  here = withDelay(kept(), input, delay);
  try {
    localStorage.setItem(KEY, here);
  } catch {
    // It is known here.
  }
}

export interface DelayTest {
  /** Of the input that is listened to; null while nobody has measured it. */
  readonly known: (KeptDelay & { readonly input: string }) | null;
  readonly measuring: boolean;
  /** Why it could not be measured. */
  readonly problems: readonly Problem[];
  readonly measure: (ear: Ear) => void;
  /** Every block that comes in passes here. @returns whether clicks are listened for in it. */
  readonly hear: (block: Float32Array, until: number) => boolean;
  /** Another input is listened to. */
  readonly open: (ear: Ear) => void;
  /** The input has gone away or is another one. */
  readonly leave: () => void;
}

/** Plays clicks and listens for them: how long a sound takes through this input, kept on the device. */
export function useDelay(): DelayTest {
  const [known, setKnown] = useState<DelayTest['known']>(null);
  const [measuring, setMeasuring] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef<{ readonly test: ClickTest; readonly input: InputName } | null>(null);
  const leave = useCallback(() => {
    running.current?.test.end();
    running.current = null;
    setMeasuring(false);
  }, []);
  const open = useCallback(({ input }: Ear) => {
    const delay = delayFor(kept(), input);
    setKnown(delay === null ? null : { ...delay, input: input.name });
    setProblems([]);
  }, []);
  const measure = useCallback((ear: Ear) => {
    running.current = { test: new ClickTest(ear), input: ear.input };
    setMeasuring(true);
    setProblems([]);
  }, []);
  const hear = useCallback((block: Float32Array, until: number) => {
    const now = running.current;
    if (now === null) return false;
    const found = now.test.hear(block, until);
    if (found === null) return true;
    running.current = null;
    setMeasuring(false);
    if (!found.ok) setProblems(found.problems);
    else {
      const delay = { seconds: found.value.seconds, at: Date.now() };
      setKnown({ ...delay, input: now.input.name });
      keep(now.input, delay);
    }
    return true;
  }, []);
  return { known, measuring, problems, measure, hear, open, leave };
}

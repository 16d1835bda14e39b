import { useEffect, useMemo } from 'react';
import { copyOf } from '../../core/edit/clip';
import { paste, pasteOverChord } from '../../core/edit/commands/putting';
import { cut } from '../../core/edit/commands/taking';
import { cannot } from '../../core/edit/outcome';
import { runCommand } from '../../core/edit/run';
import { barAt } from '../../core/phrase/time';
import { formatProblem } from '../../core/result';
import { encodePhrase } from '../../io/json';
import { writeTextTab } from '../../io/text-tab/write/write-text-tab';
import { type App, useApp } from '../frame/app-context';
import type { Writer } from '../frame/writing/writer';
import { NotThere, onDemand } from '../shared/on-demand';
import { copiedAs, hasCopied, rememberCopy } from './copied';

/** Our JSON on the clipboard, beside plain text for everything else. */
const OURS = 'application/x-degreewise-phrase+json';

/** Characters in a line of the plain text. */
const TEXT_WIDTH = 80;

const pasting = onDemand('What reads the text', () => import('../../io/quick/pasted'));

/** As it is, or so that over the chord at the cursor its notes are what they were over their own. */
export type Putting = 'as it is' | 'over the chord';

const COMMAND = { 'as it is': paste, 'over the chord': pasteOverChord } as const;

/** Copying, cutting and pasting for buttons; the keys go through the system. */
export interface Clipboard {
  readonly copy: () => void;
  readonly cut: () => void;
  readonly paste: (how: Putting) => Promise<void>;
  /** Something was copied in this window. */
  readonly copied: () => boolean;
}

/** The system's copy, cut and paste while the score has the focus. */
export function useClipboard(writer: Writer, scoreId: string): Clipboard {
  const app = useApp();
  const { take, run } = writer;
  useEffect(() => {
    const ours = () => document.activeElement?.id === scoreId;
    const onCopy = (e: ClipboardEvent) => {
      if (!ours() || e.clipboardData === null) return;
      e.preventDefault();
      if (put(e.clipboardData, app, take) && e.type === 'cut') run(cut);
    };
    const onPaste = (e: ClipboardEvent) => {
      if (!ours() || e.clipboardData === null) return;
      e.preventDefault();
      const text = e.clipboardData.getData(OURS) || e.clipboardData.getData('text/plain');
      void pasteText(text, 'as it is', app, { take, run });
    };
    document.addEventListener('copy', onCopy);
    document.addEventListener('cut', onCopy);
    document.addEventListener('paste', onPaste);
    return () => {
      document.removeEventListener('copy', onCopy);
      document.removeEventListener('cut', onCopy);
      document.removeEventListener('paste', onPaste);
    };
  }, [app, take, run, scoreId]);
  return useMemo(() => {
    const through = (command: 'copy' | 'cut') => {
      document.getElementById(scoreId)?.focus({ preventScroll: true });
      // Fires the system's own event, which needs no permission.
      document.execCommand(command);
    };
    return {
      copied: hasCopied,
      copy: () => through('copy'),
      cut: () => through('cut'),
      paste: async (how) => {
        let text: string;
        try {
          text = await navigator.clipboard.readText();
        } catch {
          take(() => cannot(`the browser does not give the clipboard: ${INSTEAD[how]}`), NOTE);
          return;
        }
        await pasteText(text, how, app, { take, run });
      },
    };
  }, [app, take, run, scoreId]);
}

/** What helps where the page may not read the clipboard; the key for the chord reads it as well. */
const INSTEAD: Readonly<Record<Putting, string>> = {
  'as it is': 'press the keys instead',
  'over the chord': 'let this page read it, and try again',
};

const NOTE = { command: 'take.paste', label: 'Put in from the clipboard' } as const;

/** Puts what is chosen on the clipboard; false where nothing is. */
function put(data: DataTransfer, app: App, take: Writer['take']): boolean {
  let there = false;
  take(
    (s) => {
      const copy = copyOf(s, app.newId(), app.now());
      if (copy === null) return cannot('no note is chosen');
      const text = writeTextTab(copy, { width: TEXT_WIDTH, degrees: 'chord' });
      data.setData(OURS, encodePhrase(copy));
      data.setData('text/plain', text);
      rememberCopy(text, copy);
      there = true;
      return { kind: 'done', state: s, say: 'copied' };
    },
    { command: 'take.copy', label: 'Copy' },
  );
  return there;
}

/**
 * Puts in what a text says: what was copied here, our JSON, plain tablature of six lines,
 * or quick text. What was not understood is told; the reader is fetched when it is needed.
 */
async function pasteText(
  text: string,
  how: Putting,
  app: App,
  { take, run }: Hands,
): Promise<void> {
  if (text.trim() === '') {
    take(() => cannot('there is no text on the clipboard'), NOTE);
    return;
  }
  const copied = copiedAs(text);
  if (copied !== null) {
    run(COMMAND[how], copied);
    return;
  }
  const reader = await pasting.get().catch((reason: NotThere) => reason);
  if (reader instanceof NotThere) {
    take(() => cannot(`${reader.message[0]?.toLowerCase()}${reader.message.slice(1)}`), NOTE);
    return;
  }
  let ignored: readonly string[] = [];
  const outcome = take((s) => {
    const { key, tempo, feel, instrument } = s.phrase;
    const { meter } = barAt(s.phrase, s.selection.cursor.onset).bar;
    const here = { key, tempo, feel, instrument, meter };
    const read = reader.readPasted(text, { id: app.newId(), now: app.now() }, here);
    if (!read.ok) {
      return cannot(read.problems.map((p) => formatProblem(p).replace(/\.$/u, '')).join('; '));
    }
    ({ ignored } = read.value);
    return runCommand(s, COMMAND[how], read.value.phrase);
  }, NOTE);
  if (outcome.kind === 'done' && ignored.length > 0) {
    app.notices.trouble('Not everything in the text was understood.', ignored);
  }
}

type Hands = Pick<Writer, 'take' | 'run'>;

import { useEffect, useId, useRef, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { formatProblem } from '../../../core/result';
import { DEGREE_VIEWS, type DegreeView } from '../../../publish/degree-labels';
import { fileStem } from '../../../publish/file-names';
import { type Format, type Look, USUAL_LOOK } from '../../../publish/format';
import { FORMATS, formatRow, PUBLISH_FORMATS, type PublishFormat } from '../../../publish/formats';
import {
  leftOut,
  type Named,
  publish,
  publishApart,
  publishLibrary,
} from '../../../publish/publish';
import { NotThere, onDemand } from '../../shared/on-demand';
import { saveFile } from '../../shared/save-file';
import { count } from '../../shared/words';
import { useApp } from '../app-context';
import { Choice } from './choice';
import { SoundFields } from './sound-fields';
import { BROWSER_TOOLS } from './tools';
import './export.css';

/** Milliseconds between two words on how far it has come. */
const TELL = 100;

type ExportChoice = Look & {
  readonly format: PublishFormat;
  /** Every key of the rounds a file of its own. */
  readonly apart: boolean;
};

const STAVES: Readonly<Record<ExportChoice['staves'], string>> = {
  both: 'staff and tab',
  staff: 'staff',
  tab: 'tab',
};

const DEGREES: Readonly<Record<DegreeView, string>> = {
  chord: 'against the chord',
  key: 'against the key',
  off: 'none',
};

/** What writes each format, and what packs several files: fetched ahead, and asked for before it is used. */
const WRITERS = new Map(
  PUBLISH_FORMATS.map((f) => {
    const { name, writer, left } = formatRow(f);
    return [f, onDemand(`What writes ${name}`, () => Promise.all([writer(), left?.()]))];
  }),
);
const rounds = onDemand('What goes through the keys', () => import('../../../publish/apart'));
const packing = onDemand('What packs files', () => import('fflate'));

interface Props {
  readonly phrases: readonly Phrase[];
  readonly onClose: () => void;
}

/** Asks for a format and saves one file with the phrases. */
export function ExportDialog({ phrases, onClose }: Props) {
  const { notices } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  const [choice, setChoice] = useState<ExportChoice>(LAST.choice);
  const [done, setDone] = useState<number | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const stop = useRef<AbortController | null>(null);
  const id = useId();
  useEffect(() => {
    dialog.current?.showModal();
    return () => stop.current?.abort();
  }, []);
  const save = async () => {
    const abort = new AbortController();
    stop.current = abort;
    setTrouble(null);
    setDone(0);
    LAST.choice = choice;
    try {
      await Promise.all([WRITERS.get(choice.format)?.get(), packing.get()]);
      // Told some times a second: drawing it for each of many phrases would take longer than they do.
      let told = 0;
      const onPhrase = (n: number) => {
        if (performance.now() - told < TELL) return;
        told = performance.now();
        setDone(n);
      };
      const progress = { onPhrase, signal: abort.signal };
      const apart = row.asks.includes('rounds') ? await partsOf(phrases, choice) : null;
      const library = phrases.length > 1 && formatRow(choice.format).several === 'library';
      const file = library
        ? await publishLibrary(phrases, (piece) => new Blob([piece]), progress)
        : apart !== null && choice.apart
          ? await publishApart(
              apart.takes,
              phrases.length === 1 ? fileStem(phrases[0]!.meta.title) : 'phrases',
              choice.format,
              { ...choice, rounds: { kind: 'same' } },
              BROWSER_TOOLS,
              progress,
            )
          : await publish(phrases, choice.format, choice, BROWSER_TOOLS, progress);
      const left = [
        ...(await leftOut(phrases, choice.format, abort.signal)),
        ...(apart?.left ?? []),
      ];
      saveFile(file);
      dialog.current?.close();
      notices.done(
        `Saved as ${file.name}.${left.length === 0 ? '' : ` Not kept: ${left.join(', ')}.`}`,
      );
    } catch (reason) {
      setDone(null);
      if (!abort.signal.aborted) setTrouble(inWords(reason));
    }
  };
  const set = (part: Partial<ExportChoice>) => setChoice({ ...choice, ...part });
  const row = formatRow(choice.format);
  const what = count(phrases.length, 'phrase');
  return (
    <dialog ref={dialog} className="export" aria-labelledby={`${id}-title`} onClose={onClose}>
      <form
        method="dialog"
        onSubmit={(e) => {
          e.preventDefault();
          void save();
        }}
      >
        <h2 id={`${id}-title`}>Export {what}</h2>
        <fieldset className="formats">
          <legend>As</legend>
          {PUBLISH_FORMATS.map((f) => (
            <label key={f} className="format">
              <input
                type="radio"
                name="format"
                value={f}
                checked={choice.format === f}
                onChange={() => set({ format: f })}
              />
              <span>
                {FORMATS[f].name}{' '}
                <span className="quiet">
                  {FORMATS[f].purpose} (.{f})
                </span>
              </span>
            </label>
          ))}
        </fieldset>
        <div className="filter-row">
          {row.asks.includes('staves') && (
            <Choice
              label="Show"
              value={choice.staves}
              words={STAVES}
              values={['both', 'staff', 'tab']}
              onChange={(staves) => set({ staves })}
            />
          )}
          {row.asks.includes('degrees') && (
            <Choice
              label="Degrees"
              value={choice.degrees}
              words={DEGREES}
              values={DEGREE_VIEWS}
              onChange={(degrees) => set({ degrees })}
            />
          )}
        </div>
        {row.asks.includes('speed') && (
          <SoundFields choice={choice} bits={row.asks.includes('bits')} set={set} />
        )}
        {row.asks.includes('legend') && (
          <label className="format">
            <input
              type="checkbox"
              checked={choice.legend}
              onChange={(e) => set({ legend: e.target.checked })}
            />
            <span>
              With the signs explained <span className="quiet">under the music</span>
            </span>
          </label>
        )}
        {row.loses !== null && <p className="quiet">{row.loses}</p>}
        {phrases.length > 1 && <p className="quiet">{TOGETHER[row.several]}</p>}
        <p role="status">{done !== null && `Writing ${done + 1} of ${phrases.length} …`}</p>
        {trouble !== null && <p role="alert">Nothing was saved. {trouble}</p>}
        <p className="buttons">
          <button type="submit" className="primary" disabled={done !== null}>
            Export
          </button>
          <button type="button" onClick={() => dialog.current?.close()}>
            {done === null ? 'Close' : 'Stop'}
          </button>
        </p>
      </form>
    </dialog>
  );
}

/** Something is wrong with the keys that were typed; the message says what. */
class WrongKeys extends Error {
  override readonly name = 'WrongKeys';
}

/** Every phrase in every key of the rounds; null where there are none. @throws WrongKeys */
async function partsOf(phrases: readonly Phrase[], choice: ExportChoice) {
  if (choice.rounds.kind === 'same') return null;
  const { takenApart } = await rounds.get();
  const takes: Named[] = [];
  const left: string[] = [];
  for (const phrase of phrases) {
    const apart = takenApart(phrase, choice.rounds);
    if (!apart.ok) throw new WrongKeys(`${apart.problems.map(formatProblem).join('. ')}.`);
    const stem = fileStem(phrase.meta.title);
    for (const t of apart.value.takes) takes.push({ stem: `${stem}-${t.name}`, phrase: t.phrase });
    left.push(...apart.value.left);
  }
  return { takes, left };
}

function inWords(reason: unknown): string {
  if (reason instanceof NotThere || reason instanceof WrongKeys) return reason.message;
  const message = reason instanceof Error ? reason.message : String(reason);
  return `The program says: ${message}. Try again, or choose another format.`;
}

/** What was chosen last, as long as the window is open. */
const LAST: { choice: ExportChoice } = {
  choice: { ...USUAL_LOOK, format: 'musicxml', degrees: 'chord', apart: false },
};

const TOGETHER: Readonly<Record<Format['several'], string>> = {
  library: 'They are written to one file, as a library.',
  text: 'They are written to one text, one after the other.',
  archive: 'They are written to one zip archive, a file for each.',
};

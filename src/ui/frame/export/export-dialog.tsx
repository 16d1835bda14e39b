import { useEffect, useId, useRef, useState } from 'react';
import { DEGREE_VIEWS, type DegreeView } from '../../../publish/degree-labels';
import { type Format, USUAL_LOOK } from '../../../publish/format';
import { FORMATS, formatRow, PUBLISH_FORMATS, type PublishFormat } from '../../../publish/formats';
import { pause } from '../../../storage/pieces';
import { saveFile } from '../../shared/save-file';
import { count } from '../../shared/words';
import { useApp } from '../app-context';
import { BeneathFields, useBeneath } from './beneath';
import { Choice } from './choice';
import { namesOf, notesOf, useCollectionsOf } from './collections-along';
import { SoundFields } from './sound-fields';
import type { ToExport } from './to-export';
import { type ExportChoice, exportTrouble, writeChoice } from './write-choice';
import './export.css';

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

interface Props {
  readonly what: ToExport;
  readonly onClose: () => void;
}

/** Asks for a format and saves one file with the phrases. */
export function ExportDialog({ what, onClose }: Props) {
  const { notices, store } = useApp();
  const collections = useCollectionsOf(what.ids);
  const [along, setAlong] = useState(true);
  const dialog = useRef<HTMLDialogElement>(null);
  const [choice, setChoice] = useState<ExportChoice>(LAST.choice);
  const beneath = useBeneath(what);
  const [done, setDone] = useState<number | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const stop = useRef<AbortController | null>(null);
  const id = useId();
  useEffect(() => {
    dialog.current?.showModal();
    // The browser would take the first one, and arrows would go from there.
    dialog.current?.querySelector<HTMLElement>('input:checked')?.focus();
    return () => stop.current?.abort();
  }, []);
  const save = async () => {
    const abort = new AbortController();
    stop.current = abort;
    setTrouble(null);
    setDone(0);
    LAST.choice = choice;
    try {
      const tell = { onPhrase: setDone, signal: abort.signal };
      const asked = { ...choice, beneath: beneath.of };
      const { file, left } = await writeChoice(store, what, asked, tell, along ? collections : []);
      saveFile(file);
      // What the browser is told of the file, and all that is shown once the dialog is gone, are two tasks.
      await pause();
      dialog.current?.close();
      notices.done(savedWords(file.name, left, what.left ?? []));
    } catch (reason) {
      setDone(null);
      if (!abort.signal.aborted) setTrouble(exportTrouble(reason));
    }
  };
  const set = (part: Partial<ExportChoice>) => setChoice({ ...choice, ...part });
  const row = formatRow(choice.format);
  const many = what.ids.length;
  return (
    <dialog ref={dialog} className="export" aria-labelledby={`${id}-title`} onClose={onClose}>
      <form
        method="dialog"
        onSubmit={(e) => {
          e.preventDefault();
          void save();
        }}
      >
        <h2 id={`${id}-title`}>Export {count(many, 'phrase')}</h2>
        <Formats chosen={choice.format} onChoose={(format) => set({ format })} />
        <Asked choice={choice} set={set} />
        <BeneathFields of={beneath} asked={row.asks.includes('beneath')} />
        {row.loses !== null && <p className="quiet">{row.loses}</p>}
        {many > 1 && row.several === 'text' && (
          <label className="format">
            <input
              type="checkbox"
              checked={choice.each}
              onChange={(e) => set({ each: e.target.checked })}
            />
            <span>A file for each phrase</span>
          </label>
        )}
        {many > 1 && (
          <p className="quiet">
            {TOGETHER[row.several === 'text' && choice.each ? 'archive' : row.several]}
          </p>
        )}
        {many > 1 && row.several === 'library' && collections.length > 0 && (
          <label className="format">
            <input type="checkbox" checked={along} onChange={(e) => setAlong(e.target.checked)} />
            <span>
              With the collections they are in{' '}
              <span className="quiet">
                {namesOf(collections)}, each with these phrases only{notesOf(collections)}
              </span>
            </span>
          </label>
        )}
        <p role="status">{done !== null && `Writing ${done + 1} of ${many} …`}</p>
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

function savedWords(name: string, left: readonly string[], unmade: readonly string[]): string {
  const also = (how: string, some: readonly string[], between: string) =>
    some.length === 0 ? '' : ` ${how}: ${some.join(between)}.`;
  return `Saved as ${name}.${also('Not kept', left, ', ')}${also('Left out', unmade, '; ')}`;
}

/** What was chosen last, as long as the window is open. */
const LAST: { choice: ExportChoice } = {
  choice: { ...USUAL_LOOK, format: 'musicxml', degrees: 'chord', apart: false, each: false },
};

const TOGETHER: Readonly<Record<Format['several'], string>> = {
  library: 'They are written to one file, as a library.',
  text: 'They are written to one text, one after the other.',
  archive: 'They are written to one zip archive, a file for each.',
};

function Formats({
  chosen,
  onChoose,
}: {
  readonly chosen: PublishFormat;
  readonly onChoose: (format: PublishFormat) => void;
}) {
  return (
    <fieldset className="formats">
      <legend>As</legend>
      {PUBLISH_FORMATS.map((f) => (
        <label key={f} className="format">
          <input
            type="radio"
            name="format"
            value={f}
            checked={chosen === f}
            onChange={() => onChoose(f)}
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
  );
}

/** What the format asks besides. */
function Asked({
  choice,
  set,
}: {
  readonly choice: ExportChoice;
  readonly set: (part: Partial<ExportChoice>) => void;
}) {
  const { asks } = formatRow(choice.format);
  return (
    <>
      <div className="filter-row">
        {asks.includes('staves') && (
          <Choice
            label="Show"
            value={choice.staves}
            words={STAVES}
            values={['both', 'staff', 'tab']}
            onChange={(staves) => set({ staves })}
          />
        )}
        {asks.includes('degrees') && (
          <Choice
            label="Degrees"
            value={choice.degrees}
            words={DEGREES}
            values={DEGREE_VIEWS}
            onChange={(degrees) => set({ degrees })}
          />
        )}
      </div>
      {asks.includes('speed') && (
        <SoundFields choice={choice} bits={asks.includes('bits')} set={set} />
      )}
      {asks.includes('legend') && (
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
    </>
  );
}

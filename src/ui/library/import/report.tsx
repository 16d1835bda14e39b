import { useEffect, useRef, useState } from 'react';
import { shownTitle } from '../../../core/phrase/record';
import { LESSONS } from '../../../io/kinds/kinds';
import { useApp } from '../../frame/app-context';
import { type CameIn, type FileOutcome, newThings } from '../../frame/importer';
import { addressOf } from '../../frame/route';
import { canBeTakenOut, takeOutAgain } from '../../frame/take-out';
import { capital, count } from '../../shared/words';
import { HowItDiffers } from './how-it-differs';
import { ReadAgain } from './read-again';
import {
  canBeReadAgain,
  FIRST_PLAIN,
  isPlain,
  listedFiles,
  listedPhrases,
  summaryOf,
  toldOfOthers,
} from './summary';

/** So many remarks of one file are listed before the rest is folded away. */
const FIRST_REMARKS = 8;

/** What came in of each file and what did not. */
export function Report({ files }: { readonly files: readonly FileOutcome[] }) {
  const app = useApp();
  const { importer } = app;
  const heading = useRef<HTMLHeadingElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: each report is read from its heading.
  useEffect(() => heading.current?.focus(), [files]);
  const added = newThings(files);
  const [all, setAll] = useState(false);
  const listed = listedFiles(files, all);
  return (
    <section className="import" aria-labelledby="import-heading">
      <h2 id="import-heading" ref={heading} tabIndex={-1}>
        {summaryOf(files)}
      </h2>
      <ul className="import-files">
        {listed.map((i) => (
          // Two files may have one name.
          <li key={i} className={saysNothing(files[i]!) ? 'plain' : undefined}>
            <FileReport file={files[i]!} />
            {canBeReadAgain(files[i]!) && <ReadAgain index={i} name={files[i]!.name} />}
          </li>
        ))}
      </ul>
      {listed.length < files.length && (
        <p>
          What did not come in as it was comes first.{' '}
          <button type="button" onClick={() => setAll(true)}>
            List all {files.length} files
          </button>
        </p>
      )}
      <p className="buttons">
        {canBeTakenOut(files) && (
          <button
            type="button"
            onClick={() => {
              importer.dismiss();
              void takeOutAgain(app, files);
            }}
          >
            Take {added.length > 1 ? 'them' : 'it'} out again
          </button>
        )}
        <button type="button" onClick={importer.dismiss}>
          Close
        </button>
      </p>
    </section>
  );
}

/** Files that brought a phrase and nothing to say stand beside each other. */
const saysNothing = (f: FileOutcome) =>
  f.kind === 'in' && isPlain(f) && f.phrases.length === 1 && f.others.length === 0;

function FileReport({ file }: { readonly file: FileOutcome }) {
  const listed = file.kind === 'out' ? [] : listedPhrases(file.phrases);
  return (
    <>
      <h3>{file.name}</h3>
      {file.kind === 'out' ? (
        <>
          <p>Nothing of it was brought in:</p>
          <List items={file.reasons} />
        </>
      ) : (
        <>
          <ul className="came-in">
            {listed.map((p) => (
              <li key={p.id}>
                <a href={addressOf({ page: 'phrase', id: p.id, query: {} })}>
                  {p.title.trim() === '' ? 'Untitled' : p.title}
                </a>
                {HOW[p.how]}
                {p.from !== undefined && (
                  <>
                    :{' '}
                    <a href={addressOf({ page: 'compare', a: p.from, b: p.id, query: {} })}>
                      see what differs and choose
                    </a>
                    <HowItDiffers of={p} />
                  </>
                )}
                {p.long && (
                  <>
                    {' '}
                    is long:{' '}
                    <a href={addressOf({ page: 'cut', id: p.id, query: {} })}>
                      cut it into phrases
                    </a>
                  </>
                )}
              </li>
            ))}
          </ul>
          {file.phrases.length > listed.length && (
            <p>… and {count(file.phrases.length - listed.length, 'phrase')} more.</p>
          )}
          {toldOfOthers(file).map((line) => (
            <p key={line}>{line}</p>
          ))}
          <LessonLinks others={file.others} />
          <KeptBeside others={file.others} />
          {file.versions > 0 && <p>{count(file.versions, 'earlier version')} came with them.</p>}
          {file.remarks.length > 0 && (
            <>
              <p>
                {count(file.remarks.length, 'thing is', 'things are')} not just as written in the
                file:
              </p>
              <List items={file.remarks} />
            </>
          )}
        </>
      )}
    </>
  );
}

/** Ways to the lessons of a file: who brings one in wants to open it. */
function LessonLinks({ others }: { readonly others: readonly CameIn[] }) {
  const lessons = others.filter((o) => o.kind.name === LESSONS.name).slice(0, FIRST_PLAIN);
  if (lessons.length === 0) return null;
  return (
    <ul className="came-in">
      {lessons.map(({ id, title }) => (
        <li key={id}>
          <a href={addressOf({ page: 'lesson', id, query: {} })}>
            {title.trim() === '' ? 'Lesson without a title' : title}
          </a>
        </li>
      ))}
    </ul>
  );
}

/** What came in beside another of its kind, and how the two differ. */
function KeptBeside({ others }: { readonly others: readonly CameIn[] }) {
  const copied = others.filter((o) => o.how === 'copied').slice(0, FIRST_PLAIN);
  if (copied.length === 0) return null;
  return (
    <ul className="came-in">
      {copied.map((o) => (
        <li key={o.id}>
          {capital(o.kind.noun)} “{shownTitle(o)}”{HOW.copied}
          <HowItDiffers of={o} />
        </li>
      ))}
    </ul>
  );
}

const HOW: Readonly<Record<CameIn['how'], string>> = {
  added: '',
  same: ' was here already',
  joined: ' was here already, and has what it lacked',
  older: ' is an earlier version of the one that is here, which stays',
  copied: ' came in beside the one that is here, which differs',
};

function List({ items }: { readonly items: readonly string[] }) {
  const rest = items.slice(FIRST_REMARKS);
  const lines = (some: readonly string[]) => (
    <ul>
      {some.map((text, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the same sentence may come twice; the list never changes.
        <li key={i}>{text}</li>
      ))}
    </ul>
  );
  return (
    <>
      {lines(items.slice(0, FIRST_REMARKS))}
      {rest.length > 0 && (
        <details>
          <summary>{rest.length} more</summary>
          {lines(rest)}
        </details>
      )}
    </>
  );
}

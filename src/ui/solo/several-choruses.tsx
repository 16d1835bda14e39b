import { useId, useMemo, useState } from 'react';
import { barSpans } from '../../core/phrase/time';
import type { Phrase } from '../../core/phrase/types';
import { degreeText, usualView } from '../../publish/degree-labels';
import { HearThis } from '../frame/listen/hear-this';
import { analysisOf } from '../score/analysis';
import { count, problemText } from '../shared/words';
import { layOf } from './asked';
import { octaveWords } from './bar-panel';
import type { Drawn, Several } from './several';
import type { MadePart, SoloMade } from './solo-worker';
import type { SeveralSteps } from './use-several';

/** Id of the button that asks for them. */
const ASKS = 'ask-for-several';
const COUNTS = [2, 3, 4, 5, 6] as const;

/** How many choruses are wanted to choose from, and the button that asks for them. */
export function AskForSeveral({ several }: { readonly several: SeveralSteps }) {
  const [wanted, setWanted] = useState<number>(3);
  return (
    <span className="ask-several">
      <button id={ASKS} type="button" onClick={() => several.ask(wanted)}>
        Propose {wanted} to choose from
      </button>
      <select
        aria-label="How many to choose from"
        value={wanted}
        onChange={(e) => setWanted(Number(e.target.value))}
      >
        {COUNTS.map((n) => (
          <option key={n}>{n}</option>
        ))}
      </select>
    </span>
  );
}

interface Props {
  readonly several: SeveralSteps;
  /** What lies on the bars. */
  readonly lies: SoloMade | null;
  readonly onTake: (seed: number) => void;
}

/** Choruses beside each other, each as its phrases in order: to be heard, and one of them taken. */
export function SeveralChoruses({ several, lies, onTake }: Props) {
  const id = useId();
  const { now, works } = several;
  if (now === null) return null;
  return (
    <section className="choruses" aria-labelledby={id}>
      <h2 id={id}>Choruses to choose from</h2>
      <p role="status">{statusOf(now, works)}</p>
      <ol className="several-side">
        {now.found.map((d, i) => (
          <OneOfSeveral key={d.seed} drawn={d} number={i + 1} lies={lies} onTake={onTake} />
        ))}
      </ol>
      <p className="buttons">
        {works ? (
          <button type="button" onClick={several.stop}>
            That is enough
          </button>
        ) : now.refused === null ? (
          <button type="button" onClick={() => several.more(MORE)}>
            {MORE} more
          </button>
        ) : null}
        <button
          type="button"
          onClick={() => {
            // They are taken out of the page with what has the focus.
            document.getElementById(ASKS)?.focus();
            several.close();
          }}
        >
          Put them away
        </button>
      </p>
    </section>
  );
}

const MORE = 3;

function statusOf({ found, wanted, refused }: Several, works: boolean): string {
  if (refused?.ok === false) return refused.problems.map(problemText).join(' ');
  if (found.length === 0 && !works) return 'No chorus was made.';
  const made = count(found.length, 'chorus', 'choruses');
  if (works) return `Making ${wanted} … ${made} so far.`;
  if (found.length < wanted) return `Only ${made} that differ: more phrases would give more.`;
  return `${made}. What is pinned stands in each.`;
}

function OneOfSeveral(props: {
  readonly drawn: Drawn;
  readonly number: number;
  readonly lies: SoloMade | null;
  readonly onTake: (seed: number) => void;
}) {
  const { drawn, number, lies, onTake } = props;
  const { made, seed } = drawn;
  const id = useId();
  const name = seed === 0 ? `${number}, the best` : String(number);
  const taken = lies !== null && layOf(lies) === layOf(made);
  const phrase = made.phrase!;
  return (
    <li aria-labelledby={id} className={taken ? 'several-one several-taken' : 'several-one'}>
      <h3 id={id}>
        <span className="unseen">Chorus </span>
        {name}
        {taken ? <span className="quiet">, on the bars now</span> : null}
      </h3>
      <ol className="several-parts">
        {made.parts.map((p) => (
          <PartLine key={p.firstBar} part={p} phrase={phrase} lies={taken ? null : lies} />
        ))}
      </ol>
      {made.empty.length === 0 ? null : (
        <p className="quiet">Empty: {made.empty.map((e) => e.bar).join(', ')}.</p>
      )}
      <details>
        <summary>
          Why<span className="unseen"> these in chorus {number}</span>
        </summary>
        <ul>
          {made.parts.map((p) => (
            <li key={p.firstBar}>
              {barsOf(p)}: {[...octaveWords(p.octaves), ...p.why].join('; ') || 'it opens'}.
            </li>
          ))}
        </ul>
      </details>
      <p className="buttons several-doings">
        <HearThis phrase={phrase} what={`chorus ${number}`} />
        <button
          type="button"
          // Not disabled: the focus would be lost with the press that takes it.
          aria-disabled={taken}
          onClick={() => {
            if (!taken) onTake(seed);
          }}
        >
          {taken ? 'Taken' : 'Take it'}
          <span className="unseen">: chorus {number}</span>
        </button>
      </p>
    </li>
  );
}

/** `3–4 Third Rung`, and its degrees; with a word where the same stands on the bars now. */
function PartLine(props: {
  readonly part: MadePart;
  readonly phrase: Phrase;
  readonly lies: SoloMade | null;
}) {
  const { part, phrase, lies } = props;
  const degrees = useMemo(() => degreesOf(phrase, part), [phrase, part]);
  const same = lies?.parts.some(
    (p) => p.firstBar === part.firstBar && p.id === part.id && p.octaves === part.octaves,
  );
  return (
    <li className="several-part">
      <span className="several-bars">
        <span className="unseen">{part.firstBar === part.lastBar ? 'Bar ' : 'Bars '}</span>
        {barsOf(part)}
      </span>{' '}
      <span className="several-title">
        {part.title}
        {same === true ? <span className="quiet">, as now</span> : null}
      </span>{' '}
      <span className="several-degrees">
        <span className="unseen">Degrees: </span>
        {degrees}
      </span>
    </li>
  );
}

const barsOf = ({ firstBar, lastBar }: MadePart) =>
  firstBar === lastBar ? String(firstBar) : `${firstBar}–${lastBar}`;

/** So many are enough to know a phrase by. */
const MOST_DEGREES = 10;

function degreesOf(phrase: Phrase, { firstBar, lastBar }: MadePart): string {
  const spans = barSpans(phrase);
  const from = spans.find((s) => s.number === firstBar)?.start ?? 0;
  const to = spans.find((s) => s.number === lastBar)?.end ?? phrase.length;
  const analysis = analysisOf(phrase);
  const view = usualView(analysis);
  const all = analysis.readings
    .filter(({ at }) => at.event.onset >= from && at.event.onset < to)
    .flatMap((r) => degreeText(r, view) ?? []);
  const some = all.slice(0, MOST_DEGREES).join(' ');
  return all.length > MOST_DEGREES ? `${some} …` : some;
}

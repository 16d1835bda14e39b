import { useCallback, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { variedTitle } from '../../core/vary/child';
import { reportOf } from '../../core/vary/report';
import { type App, useActions, useApp } from '../frame/app-context';
import { childOf, keepAsNew } from '../frame/keep-as-new';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import type { RouteOf } from '../frame/route';
import type { Look } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { SILENT, Sounding } from '../score/sounding';
import { capital } from '../shared/words';
import { effortInWords, marksOf, noteCounts } from './result-words';
import { canGoOn, goneOn, type VaryForm, type VaryMade } from './vary-form';

interface ResultsProps {
  readonly phrase: Phrase;
  readonly form: VaryForm;
  /** Null while it is being made, and where nothing comes of it. */
  readonly made: VaryMade | null;
  readonly look: Look;
  readonly route: RouteOf<'vary'>;
  readonly onGo: (form: VaryForm) => void;
}

/** The phrase, and under it what was made of it; one of them is chosen, and heard. */
export function Results(props: ResultsProps) {
  const { phrase, form, made, look, route, onGo } = props;
  const app = useApp();
  const shown = useShown(phrase, form, made);
  const [asked, setAsked] = useState<number | null>(null);
  const chosen = Math.min(asked ?? (shown.length > 1 ? 1 : 0), shown.length - 1);
  const player = usePlayer(shown[chosen]!.phrase);
  const [busy, setBusy] = useState(false);
  const keep = useCallback(
    (n: number) => {
      const it = shown[n];
      if (it === undefined || n === 0 || busy) return;
      setBusy(true);
      void keepResult(app, phrase, it.phrase, form, route).finally(() => setBusy(false));
    },
    [app, phrase, shown, form, route, busy],
  );
  useResultActions(chosen, shown.length, setAsked, keep);
  return (
    <>
      <ListenBar player={player}>
        <fieldset className="hear-which">
          <legend className="unseen">What is heard</legend>
          {shown.map((s, n) => (
            <label key={s.name}>
              <input
                type="radio"
                name="hear-result"
                checked={n === chosen}
                onChange={() => setAsked(n)}
              />
              <span>{s.name}</span>
            </label>
          ))}
        </fieldset>
      </ListenBar>
      <ol className="results">
        {shown.map((s, n) => (
          <li key={s.name} className={n === chosen ? 'chosen' : undefined}>
            <div className="result-head">
              <h3>{n === 0 ? 'As it is' : `${n}. ${capital(s.reason)}`}</h3>
              {s.lines.map((l) => (
                <p key={l} className="quiet">
                  {l}
                </p>
              ))}
            </div>
            <Sounding value={n === chosen ? player.heard : SILENT}>
              <ScoreView
                phrase={s.phrase}
                label={n === 0 ? 'Notes as they are' : `Notes of result ${n}`}
                staves={look.staves}
                degrees={look.degrees}
                changed={s.marks}
                tempo={n === 0}
              />
            </Sounding>
            {n === 0 ? null : (
              <ResultButtons
                n={n}
                chosen={n === chosen}
                busy={busy}
                onKeep={() => keep(n)}
                onHear={() => setAsked(n)}
                onGo={canGoOn(form) && form.how !== null ? () => onGo(goneOn(form, n)) : null}
              />
            )}
          </li>
        ))}
      </ol>
    </>
  );
}

/** What can be done with a result. */
function ResultButtons(props: {
  readonly n: number;
  readonly chosen: boolean;
  readonly busy: boolean;
  readonly onKeep: () => void;
  readonly onHear: () => void;
  /** Null where nothing more can be made of it. */
  readonly onGo: (() => void) | null;
}) {
  const { n, chosen, busy, onKeep, onHear, onGo } = props;
  return (
    <p className="buttons">
      <button
        type="button"
        className={chosen ? 'primary' : ''}
        aria-disabled={busy}
        onClick={onKeep}
      >
        Keep it<span className="unseen">: result {n}</span>
      </button>
      <button type="button" onClick={onHear} aria-pressed={chosen}>
        Hear this one<span className="unseen">: result {n}</span>
      </button>
      {onGo === null ? null : (
        <button type="button" onClick={onGo}>
          Go on from it<span className="unseen">: result {n}</span>
        </button>
      )}
    </p>
  );
}

/** @param count Of what is shown, the phrase itself among it. */
function useResultActions(
  chosen: number,
  count: number,
  setAsked: (n: number) => void,
  keep: (n: number) => void,
): void {
  useActions(
    useMemo(
      () => [
        {
          id: 'vary.next',
          title: 'Hear the next one',
          group: 'Listen',
          words: 'compare switch result original',
          key: 'Alt+X',
          run: () => setAsked((chosen + 1) % count),
        },
        {
          id: 'vary.keep',
          title: 'Keep the chosen result as a new phrase',
          group: 'This phrase',
          words: 'save variation',
          key: 'Alt+K',
          ...(chosen === 0 ? { blocked: 'no result is chosen' } : {}),
          run: () => keep(chosen),
        },
      ],
      [chosen, count, setAsked, keep],
    ),
  );
}

interface Shown {
  /** For the row of what is heard. */
  readonly name: string;
  readonly phrase: Phrase;
  readonly reason: string;
  readonly lines: readonly string[];
  readonly marks: ReadonlySet<string>;
}

const NONE: ReadonlySet<string> = new Set();

/** The phrase and its results; while no variation is chosen, what the steps before have made. */
function useShown(phrase: Phrase, form: VaryForm, made: VaryMade | null): readonly Shown[] {
  return useMemo(() => {
    const first: Shown = { name: 'as it is', phrase, reason: '', lines: [], marks: NONE };
    const shownOf = (p: Phrase, n: number, reason: string, gaveWay: readonly string[]): Shown => {
      const report = reportOf(phrase, p, gaveWay);
      const lost = gaveWay.length === 0 ? [] : [`Had to give way: ${gaveWay.join(', ')}.`];
      const lines = [`${noteCounts(report)} ${effortInWords(report)}`, ...lost];
      return { name: String(n), phrase: p, reason, lines, marks: marksOf(report) };
    };
    if (made === null) return [first];
    if (form.how === null && form.done.length > 0)
      return [first, shownOf(made.from, 1, 'so far', [])];
    return [
      first,
      ...made.varied.map((v, i) =>
        shownOf(v.phrase, i + 1, v.reasons.join('; '), v.report.gaveWay),
      ),
    ];
  }, [phrase, form, made]);
}

async function keepResult(
  app: App,
  parent: Phrase,
  result: Phrase,
  form: VaryForm,
  route: RouteOf<'vary'>,
): Promise<void> {
  const how = [...form.done.map((d) => d.id), ...(form.how === null ? [] : [form.how])];
  await keepAsNew(app, childOf(app, parent, result, variedTitle(parent, how)), route);
}

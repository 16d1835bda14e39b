import { useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import { FIRST_CHOICE, type NeckChoice, readNeck, writeNeck } from '../frame/neck/neck-choice';
import { NeckOnPaper } from '../frame/neck/neck-figures-on-demand';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { PAPER_NAMES, type Paper, readPaper, usualPaper } from '../shared/paper';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { feelName, keyName, laneName, levelName, meterName, tempoName } from '../shared/words';
import './print.css';
import { SignLegend } from './sign-legend';

/** Width of the music in px of 1/96 inch: the paper without its margins. */
const MUSIC = { a4: 660, letter: 682 } as const;

/** Height of a staff space on paper, a usual printed size (1.85 mm). */
const PRINT_SIZE = 7;

/** `#/print/ID`: one sheet of paper, and how it is set. */
export function PrintPage({ route }: { readonly route: RouteOf<'print'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {({ phrase }) => <PrintSheet phrase={phrase} route={route} />}
    </PhraseOrReason>
  );
}

function PrintSheet({
  phrase,
  route,
}: {
  readonly phrase: Phrase;
  readonly route: RouteOf<'print'>;
}) {
  usePageTitle(titleOf(phrase));
  const usual = useMemo(() => usualView(analyse(phrase)), [phrase]);
  const look = useMemo(() => readLook(route.query, usual), [route.query, usual]);
  const paper = readPaper(route.query.paper);
  const withNotes = route.query.notes !== 'no';
  // `yes` is what the address said before there was a choice.
  const neck = route.query.neck === 'yes' ? FIRST_CHOICE : readNeck(route.query);
  // What was chosen beside the score comes back when the neck is wanted again.
  const [chosen] = useState(neck ?? FIRST_CHOICE);
  const set = (next: { look?: Look; paper?: Paper; notes?: boolean; neck?: boolean }) => {
    const p = next.paper ?? paper;
    const query = {
      ...writeLook(next.look ?? look, usual),
      ...(p === usualPaper() ? {} : { paper: p }),
      ...((next.notes ?? withNotes) ? {} : { notes: 'no' }),
      ...writeNeck((next.neck ?? neck !== null) ? chosen : null),
    };
    navigate({ ...route, query }, 'replace');
  };
  return (
    <article className={`print-page paper-${paper}`}>
      <div className="page print-controls">
        <p className="way-back">
          <a href={addressOf({ page: 'phrase', id: route.id, query: {} })}>{titleOf(phrase)}</a>
        </p>
        <button type="button" className="primary" onClick={() => window.print()}>
          Print, or save as PDF
        </button>
        <label>
          Paper{' '}
          <select value={paper} onChange={(e) => set({ paper: readPaper(e.target.value) })}>
            {Object.entries(PAPER_NAMES).map(([id, name]) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <LookFields look={look} onChange={(next) => set({ look: next })} />
        <label className="check">
          <input
            type="checkbox"
            checked={neck !== null}
            onChange={(e) => set({ neck: e.target.checked })}
          />{' '}
          The neck
        </label>
        {phrase.meta.notes === undefined ? null : (
          <label className="check">
            <input
              type="checkbox"
              checked={withNotes}
              onChange={(e) => set({ notes: e.target.checked })}
            />{' '}
            Notes for students
          </label>
        )}
      </div>
      <div className="sheet-frame">
        <Sheet phrase={phrase} look={look} width={MUSIC[paper]} withNotes={withNotes} neck={neck} />
      </div>
    </article>
  );
}

/** What is printed, and nothing else. */
function Sheet(props: {
  readonly phrase: Phrase;
  readonly look: Look;
  readonly width: number;
  readonly withNotes: boolean;
  /** Null without one. */
  readonly neck: NeckChoice | null;
}) {
  const { phrase, look } = props;
  const { meta } = phrase;
  const facts = [
    keyName(phrase.key),
    laneName(phrase),
    meterName(phrase),
    tempoName(phrase.tempo),
    feelName(phrase.feel),
    ...(phrase.instrument.capo > 0 ? [`capo ${phrase.instrument.capo}`] : []),
    ...(meta.level === undefined ? [] : [`level ${levelName(meta.level)}`]),
  ];
  return (
    <div className="sheet">
      <header>
        <h1>{titleOf(phrase)}</h1>
        {meta.styleOf === undefined ? null : <p>in the style of {meta.styleOf}</p>}
        <p className="sheet-facts">
          {facts.map((f) => (
            <span key={f}>{f}</span>
          ))}
        </p>
      </header>
      <ScoreView
        phrase={phrase}
        label={`Notes of ${titleOf(phrase)}`}
        staves={look.staves}
        degrees={look.degrees}
        width={props.width}
        size={PRINT_SIZE}
      />
      {props.neck === null ? null : (
        <NeckOnPaper
          phrase={phrase}
          degrees={look.degrees === 'key' ? 'key' : 'chord'}
          choice={props.neck}
        />
      )}
      {props.withNotes && meta.notes !== undefined ? (
        <section className="sheet-notes" aria-labelledby="sheet-notes">
          <h2 id="sheet-notes">Notes</h2>
          {meta.notes.split('\n').map((line, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: lines of a text have no other identity
            <p key={i}>{line}</p>
          ))}
        </section>
      ) : null}
      <SignLegend phrase={phrase} look={look} width={props.width} size={PRINT_SIZE} />
      <footer>
        <p>
          Warm up, take breaks, keep the volume moderate; stop when it hurts and ask a teacher or
          clinician.
        </p>
        {meta.source === undefined ? null : <p>{meta.source}</p>}
      </footer>
    </div>
  );
}

import { lazy, memo, Suspense, useCallback, useDeferredValue, useEffect, useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import { useApp, usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { addressOf, type RouteOf } from '../frame/route';
import { SaveState } from '../frame/save-state';
import { analysisOf } from '../score/analysis';
import { readLook } from '../score/look-fields';
import { titleOf } from '../shared/facts';
import '../shared/pages.css';
import { editsOf } from '../frame/edits';
import { useExport } from '../frame/export/use-export';
import { writeCopy } from '../frame/new-phrase';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { navigate } from '../frame/use-route';
import { useSettled } from '../shared/use-settled';
import { useClipboard } from './clipboard';
import { type PageDoings, useWriteActions } from './list-actions';
import { OfferRow } from './offer-row';
import { PageRow } from './page-row';
import { fetchNeck } from './parts/fetch-neck';
import { PartsOnDemand } from './parts/parts-on-demand';
import { PenLine } from './pen-line';
import { TitleField } from './title-field';
import { warningsOf } from './warnings';
import { WhereLine } from './where-line';
import './write.css';
import { WriteScore } from './write-score';
import { useWriter } from './writer';

/** `#/phrase/ID/write`: the page of the workbook, open for writing. */
export function WritePage({ route }: { readonly route: RouteOf<'write'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <WriteSheet key={route.id} draft={draft} route={route} />}
    </PhraseOrReason>
  );
}

/** Not part of the first drawing of the page; drawn again only when it can be. */
const TouchRow = memo(
  lazy(() => import('./parts/touch-row').then((m) => ({ default: m.TouchRow }))),
);

const Neck = memo(lazy(fetchNeck));

/** What is offered and warned of waits until nobody types for so long, in milliseconds. */
const PAUSE = 90;

const SCORE = 'write-score';
const TITLE = 'write-title';
const WHERE = 'write-where';

function WriteSheet({ draft, route }: { readonly draft: Draft; readonly route: RouteOf<'write'> }) {
  const writer = useWriter(draft);
  const { phrase } = writer.state;
  const title = titleOf(phrase);
  usePageTitle(`Write in ${title}`);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  const toScore = useCallback(() => {
    document.getElementById(SCORE)?.focus({ preventScroll: true });
  }, []);
  const toTitle = useCallback(() => document.getElementById(TITLE)?.focus(), []);
  // Typing begins without a click.
  useEffect(toScore, [toScore]);
  // What may come a moment after the note itself.
  const later = useDeferredValue(writer);
  // What may come when the hand rests.
  const resting = useSettled(writer, PAUSE);
  const settled = resting.state;
  const warnings = useMemo(() => warningsOf(settled.phrase), [settled.phrase]);
  const clipboard = useClipboard(writer, SCORE);
  const { open: openExport, dialog: exporting } = useExport();
  const app = useApp();
  const { id } = phrase;
  const doings = useMemo((): PageDoings => {
    /** As it stands at that moment, saved or not. */
    const withPhrase = (use: (p: Phrase) => void) => () => {
      const now = editsOf(app).phrase(id);
      if (now !== null) use(now);
    };
    return {
      onTitle: toTitle,
      toPrint: () => navigate({ page: 'print', id, query: {} }),
      onExport: withPhrase((p) => openExport([p])),
      onCopy: withPhrase((p) => void writeCopy(app, p)),
    };
  }, [app, id, openExport, toTitle]);
  const { ask, dialog: asking } = useWriteActions(resting, clipboard, toScore, doings);
  // Under a finger the keys belong to the score; with a mouse they are seldom wanted.
  const coarse = useMemo(() => matchMedia('(pointer: coarse)').matches, []);
  const touchKeys = (
    <Suspense fallback={null}>
      <TouchRow writer={resting} />
    </Suspense>
  );
  return (
    <article className="page write-page">
      <header className="write-head">
        <h1 className="unseen">Write in {title}</h1>
        <TitleField draft={{ ...draft, phrase }} id={TITLE} onDone={toScore} />
        <a className="button" href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>
          Done
        </a>
      </header>
      <WriteScore
        writer={writer}
        clipboard={clipboard}
        onAsk={ask}
        warnings={warnings}
        spoken={settled.phrase}
        staves={look.staves === 'tab' ? 'tab' : 'both'}
        degrees={look.degrees}
        whereId={WHERE}
        id={SCORE}
      />
      {coarse ? touchKeys : null}
      <Suspense fallback={null}>
        <Neck writer={later} onDone={toScore} />
      </Suspense>
      <PartsOnDemand writer={later} onDone={toScore} />
      <div className="write-foot">
        <WhereLine writer={writer} warnings={warnings} id={WHERE} />
        <div className="write-tools">
          <PenLine writer={writer} onDone={toScore} />
          <SaveState draft={draft} brief onDone={toScore} />
        </div>
        <OfferRow
          state={settled}
          run={resting.run}
          why={resting.why}
          clipboard={clipboard}
          onDone={toScore}
        />
      </div>
      {coarse ? null : touchKeys}
      <PageRow doings={doings} />
      {asking}
      {exporting}
    </article>
  );
}

import { memo, useCallback, useDeferredValue, useEffect, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { handKeysOver } from '../frame/keys-ahead';
import { HEARD } from '../frame/listen/playing';
import { addressOf, type RouteOf } from '../frame/route';
import { SaveState } from '../frame/save-state';
import { typeNow } from '../frame/type-now';
import { navigate } from '../frame/use-route';
import { analysisOf } from '../score/analysis';
import { readLook } from '../score/look-fields';
import { Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { warningsOf } from '../frame/writing/warnings';
import { WhereLine } from '../frame/writing/where-line';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { useSettled } from '../shared/use-settled';
import { type Clipboard, useClipboard } from './clipboard';
import { useWriteActions } from './list-actions';
import { OfferRow } from './offer-row';
import { PageRow } from './page-row';
import { PartsOnDemand } from './parts/parts-on-demand';
import { PenLine } from './pen-line';
import { TitleField } from './title-field';
import { useDoings } from './use-doings';
import { useHeightTold } from './use-height-told';
import './write.css';
import { WriteScore } from '../frame/writing/write-score';
import type { Writer } from '../frame/writing/writer';
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
  partOnDemand(
    onDemand('The keys for touch', () => import('./parts/touch-row').then((m) => m.TouchRow)),
    <div className="touch-waiting" />,
  ),
);

const WriteSound = memo(
  partOnDemand(
    onDemand('Listening while one writes', () =>
      import('./parts/write-sound').then((m) => m.WriteSound),
    ),
    // Its room in the head, so that the score does not jump when it comes.
    <p className="write-sound" />,
  ),
);

const Neck = memo(
  partOnDemand(
    onDemand('The neck', () => import('./parts/neck').then((m) => m.Neck)),
    <div className="neck-waiting" />,
  ),
);

const FromParts = memo(
  partOnDemand(
    onDemand('What it is made of', () =>
      import('../frame/made-of/from-parts').then((m) => m.FromParts),
    ),
  ),
);

/** What is offered and warned of waits until nobody types for so long, in milliseconds. */
const PAUSE = 90;

const toWrite = (id: string) => ({ page: 'write', id, query: {} }) as const;

const SCORE = 'write-score';
const TITLE = 'write-title';
const WHERE = 'write-where';

function WriteSheet({ draft, route }: { readonly draft: Draft; readonly route: RouteOf<'write'> }) {
  const writer = useWriter(draft);
  const { phrase } = writer.state;
  usePageTitle(`Write in ${titleOf(phrase)}`);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  const toScore = useCallback(() => {
    document.getElementById(SCORE)?.focus({ preventScroll: true });
  }, []);
  const toTitle = useCallback(() => document.getElementById(TITLE)?.focus(), []);
  // Typing begins without a click, and without waiting for the page.
  useEffect(() => {
    toScore();
    handKeysOver(typeNow);
  }, [toScore]);
  // What may come a moment after the note itself.
  const later = useDeferredValue(writer);
  // What may come when the hand rests.
  const resting = useSettled(writer, PAUSE);
  const settled = resting.state;
  const warnings = useMemo(() => warningsOf(settled.phrase), [settled.phrase]);
  const clipboard = useClipboard(writer, SCORE);
  const onKey = (name: string) => takeOwn(name, clipboard);
  const { doings, exporting } = useDoings(phrase.id, toTitle);
  const { ask, dialog: asking } = useWriteActions(resting, clipboard, toScore, doings);
  const [choosing, setChoosing] = useChoosing(phrase);
  // Under a finger the keys belong to the score; with a mouse they are seldom wanted.
  const coarse = useMemo(() => matchMedia('(pointer: coarse)').matches, []);
  const touchKeys = <TouchRow writer={resting} choosing={choosing} setChoosing={setChoosing} />;
  const foot = useHeightTold<HTMLDivElement>('--write-foot');
  return (
    <article className="page write-page">
      <WriteHead draft={{ ...draft, phrase }} writer={later} onDone={toScore} />
      <Sounding value={HEARD}>
        <WriteScore
          writer={writer}
          onKey={onKey}
          onAsk={ask}
          choosing={choosing}
          warnings={warnings}
          spoken={settled.phrase}
          staves={look.staves === 'tab' ? 'tab' : 'both'}
          degrees={look.degrees}
          whereId={WHERE}
          id={SCORE}
        />
      </Sounding>
      <Neck writer={later} onDone={toScore} />
      {settled.phrase.parts === undefined ? null : (
        <FromParts phrase={settled.phrase} changedOnly />
      )}
      <PartsOnDemand writer={later} onDone={toScore} />
      <div className="write-foot" ref={foot}>
        <WhereLine writer={writer} warnings={warnings} id={WHERE} />
        <div className="write-tools">
          <PenLine writer={writer} onDone={toScore} />
          <SaveState draft={draft} brief onDone={toScore} elsewhere={toWrite} />
        </div>
        <OfferRow
          state={settled}
          run={resting.run}
          why={resting.why}
          clipboard={clipboard}
          onAsk={ask}
          onDone={toScore}
        />
        {coarse ? touchKeys : null}
      </div>
      {coarse ? null : touchKeys}
      <PageRow doings={doings} />
      {asking}
      {exporting}
    </article>
  );
}

interface WriteHeadProps {
  readonly draft: Draft;
  readonly writer: Writer;
  readonly onDone: () => void;
}

function WriteHead({ draft, writer, onDone }: WriteHeadProps) {
  const { phrase } = draft;
  return (
    <header className="write-head">
      <h1 className="unseen">Write in {titleOf(phrase)}</h1>
      <TitleField draft={draft} id={TITLE} onDone={onDone} />
      <WriteSound writer={writer} scoreId={SCORE} onDone={onDone} />
      <a className="button" href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>
        Done
      </a>
    </header>
  );
}

/** Choosing by touch ends with the next edit: what is tapped afterwards is a place again. */
function useChoosing(phrase: Phrase) {
  const [choosing, setChoosing] = useState(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: every edit counts.
  useEffect(() => setChoosing(false), [phrase]);
  return [choosing, setChoosing] as const;
}

/** Keys that are the page's own. @returns whether this is one. */
function takeOwn(name: string, clipboard: Clipboard): boolean {
  if (name === 'Ctrl+V' || name === 'Ctrl+Shift+V') void clipboard.paste('over the chord');
  else if (name === '?') navigate({ page: 'keys', query: {} });
  else return false;
  return true;
}

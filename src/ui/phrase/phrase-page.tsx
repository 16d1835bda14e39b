import { useCallback, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import { useApp, usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { useExport } from '../frame/export/use-export';
import { useGive } from '../frame/give/use-give';
import { BandChoice } from '../frame/listen/band-choice';
import { ListenBar } from '../frame/listen/listen-bar';
import { StretchFields, useStretch } from '../frame/listen/stretch-fields';
import { usePlayer, useStep } from '../frame/listen/use-player';
import { makeLesson } from '../frame/make-lesson';
import { type NeckChoice, readNeck, writeNeck } from '../frame/neck/neck-choice';
import { NeckSection } from '../frame/neck/neck-section';
import { RecordingOf } from '../frame/recording/recording-of';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { analysisOf } from '../score/analysis';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import { SILENT, Sounding } from '../score/sounding';
import { quickChords } from '../shared/destinations';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { PracticePanel } from '../frame/practice/panel-on-demand';
import { usePracticeActions } from '../frame/practice/practice-actions';
import { PracticeScore } from '../frame/practice/practice-score';
import { Facts, titleOf } from '../shared/facts';
import { About } from './about';
import { Family } from './family';
import { OtherPlaces } from './other-places';
import { usePhraseActions } from './phrase-actions';
import './phrase.css';

/** `#/phrase/ID`: the phrase as a page of a workbook, and what is said about it. */
export function PhrasePage({ route }: { readonly route: RouteOf<'phrase'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <PhraseSheet key={route.id} draft={draft} route={route} />}
    </PhraseOrReason>
  );
}

function PhraseSheet({
  draft,
  route,
}: {
  readonly draft: Draft;
  readonly route: RouteOf<'phrase'>;
}) {
  const { phrase } = draft;
  const title = titleOf(phrase);
  usePageTitle(title);
  const { open: openExport, dialog } = useExport();
  const exportIt = useCallback(() => openExport([phrase]), [openExport, phrase]);
  const { open: give, dialog: giving } = useGive(phrase);
  usePhraseActions(draft, exportIt, give);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  const neck = readNeck(route.query);
  const bars = useStretch(phrase);
  const player = usePlayer(phrase, bars.stretch);
  const moved = (useStep()?.take.goal ?? null) !== null;
  const [practiceOpen, setPracticeOpen] = useState(route.query.practise === 'yes');
  usePracticeActions(player, bars.stretch, practiceOpen, setPracticeOpen);
  const show = (next: Look, nextNeck: NeckChoice | null) =>
    navigate({ ...route, query: { ...writeLook(next, usual), ...writeNeck(nextNeck) } }, 'replace');
  return (
    <article className="page phrase-page">
      <header>
        <h1>{title}</h1>
        {phrase.meta.styleOf === undefined ? null : (
          <p className="style-of">in the style of {phrase.meta.styleOf}</p>
        )}
        <Facts phrase={phrase} />
      </header>
      <PracticeScore phrase={phrase} player={player} staves={look.staves} degrees={look.degrees} />
      <ListenBar
        player={player}
        more={
          <button
            type="button"
            aria-expanded={practiceOpen}
            onClick={() => setPracticeOpen(!practiceOpen)}
          >
            Practise it
          </button>
        }
      >
        <StretchFields of={bars} />
        <BandChoice player={player} />
      </ListenBar>
      {practiceOpen ? (
        <PracticePanel phrase={phrase} player={player} stretch={bars.stretch} />
      ) : null}
      <div className="look-row">
        <LookFields look={look} onChange={(next) => show(next, neck)} />
        {/* The neck shows the phrase as it was written. */}
        <Sounding value={moved ? SILENT : player.heard}>
          <NeckBeside
            draft={draft}
            degrees={look.degrees === 'key' ? 'key' : 'chord'}
            neck={neck}
            onChoose={(next) => show(look, next)}
          />
        </Sounding>
      </div>
      <MoveLinks phrase={phrase} neck={neck} onExport={exportIt} onGive={give} />
      <RecordingOf phrase={phrase} />
      <OtherPlaces draft={draft} route={route} />
      <About draft={draft} route={route} />
      <Family phrase={phrase} />
      {dialog}
      {giving}
    </article>
  );
}

/** The neck of the phrase: what is moved on it or put in from it is an edit of the phrase. */
function NeckBeside(props: {
  readonly draft: Draft;
  readonly degrees: 'key' | 'chord';
  readonly neck: NeckChoice | null;
  readonly onChoose: (next: NeckChoice | null) => void;
}) {
  const { draft, degrees, neck, onChoose } = props;
  const app = useApp();
  return (
    <NeckSection
      phrase={draft.phrase}
      degrees={degrees}
      choice={neck}
      onChoose={onChoose}
      onShape={(next, words) => {
        editPhrase(app, draft, next, 'shape');
        app.notices.done(words);
      }}
      onMoved={(next, place) => {
        editPhrase(app, draft, next, 'place on the neck');
        app.notices.done(`The note is played on ${place} now.`);
      }}
    />
  );
}

/** The nearest moves one tap away, and the page for all others. */
function MoveLinks(props: {
  readonly phrase: Phrase;
  /** Goes along to the paper where it is shown. */
  readonly neck: NeckChoice | null;
  readonly onExport: () => void;
  readonly onGive: () => void;
}) {
  const { phrase, neck, onExport, onGive } = props;
  const app = useApp();
  const chords = useMemo(() => quickChords(phrase), [phrase]);
  const { id } = phrase;
  return (
    <nav className="move-links" aria-label="What to do with this phrase">
      <a className="button strong" href={addressOf({ page: 'write', id, query: {} })}>
        Write in it
      </a>
      <a className="button strong" href={addressOf({ page: 'move', id, query: {} })}>
        Move it
      </a>
      <span aria-hidden="true">over</span>
      {chords.map((c) => (
        <a
          key={c.text}
          className="button"
          href={addressOf({ page: 'move', id, query: { to: c.text } })}
        >
          <span className="unseen">Move it over </span>
          {c.label} {c.detail === c.label ? null : <small>{c.detail}</small>}
        </a>
      ))}
      <span className="move-links-rest">
        <a className="button" href={addressOf({ page: 'vary', id, query: {} })}>
          Vary it
        </a>
        <a className="button" href={addressOf({ page: 'library', query: { like: id } })}>
          More like this
        </a>
        <a className="button" href={addressOf({ page: 'solo', query: { lay: id } })}>
          Lay it on a form
        </a>
        <button type="button" onClick={() => void makeLesson(app, [phrase])}>
          Make a lesson of it
        </button>
        <a className="button" href={addressOf({ page: 'print', id, query: writeNeck(neck) })}>
          Print it
        </a>
        <button type="button" onClick={onExport}>
          Export it
        </button>
        <button type="button" onClick={onGive}>
          Give it as a link
        </button>
      </span>
    </nav>
  );
}

import { useCallback, useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import type { Action } from '../frame/actions';
import { useActions, useApp, usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editsOf, nextSteps, redoWords, undoWords, useHistory } from '../frame/edits';
import { useExport } from '../frame/export/use-export';
import { removePhrases } from '../frame/keep-and-remove';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { analysisOf } from '../score/analysis';
import { LookFields, readLook, writeLook } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { Sounding } from '../score/sounding';
import { quickChords } from '../shared/destinations';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { Facts, titleOf } from '../shared/facts';
import { About } from './about';
import { Family } from './family';
import { OtherPlaces } from './other-places';
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
  usePhraseActions(draft, exportIt);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  const player = usePlayer(phrase);
  return (
    <article className="page phrase-page">
      <header>
        <h1>{title}</h1>
        {phrase.meta.styleOf === undefined ? null : (
          <p className="style-of">in the style of {phrase.meta.styleOf}</p>
        )}
        <Facts phrase={phrase} />
      </header>
      <Sounding value={player.heard}>
        <ScoreView
          phrase={phrase}
          label={`Notes of ${title}`}
          staves={look.staves}
          degrees={look.degrees}
        />
      </Sounding>
      <ListenBar player={player} />
      <LookFields
        look={look}
        onChange={(next) => navigate({ ...route, query: writeLook(next, usual) }, 'replace')}
      />
      <MoveLinks phrase={phrase} onExport={exportIt} />
      <OtherPlaces draft={draft} route={route} />
      <About draft={draft} />
      <Family phrase={phrase} />
      {dialog}
    </article>
  );
}

/** The nearest moves one tap away, and the page for all others. */
function MoveLinks(props: { readonly phrase: Phrase; readonly onExport: () => void }) {
  const { phrase, onExport } = props;
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
        <a className="button" href={addressOf({ page: 'print', id, query: {} })}>
          Print it
        </a>
        <button type="button" onClick={onExport}>
          Export it
        </button>
      </span>
    </nav>
  );
}

/** What can be done here, for the list of everything that can be done. */
function usePhraseActions(draft: Draft, exportIt: () => void): void {
  const app = useApp();
  const { phrase } = draft;
  const { undo, redo } = nextSteps(useHistory(phrase.id));
  const actions = useMemo((): readonly Action[] => {
    const { id } = phrase;
    const group = 'This phrase';
    const to = (page: 'write' | 'move' | 'print') => () => navigate({ page, id, query: {} });
    return [
      {
        id: 'phrase.write',
        title: 'Write in it',
        group,
        words: 'edit change notes',
        run: to('write'),
      },
      {
        id: 'phrase.move',
        title: 'Move it to a chord, a key, a lane, a step, an octave or another beat',
        group,
        words: 'transpose',
        run: to('move'),
      },
      ...quickChords(phrase).map((c) => ({
        id: `phrase.move.${c.text}`,
        title: `Move it over ${c.label} (${c.detail})`,
        group,
        run: () => navigate({ page: 'move', id, query: { to: c.text } }),
      })),
      {
        id: 'phrase.print',
        title: 'Print it or make a PDF',
        group,
        words: 'paper',
        run: to('print'),
      },
      {
        id: 'phrase.export',
        title: 'Export it as a file',
        group,
        words: 'musicxml mxl svg png text json download save picture',
        run: exportIt,
      },
      {
        id: 'phrase.remove',
        title: 'Remove it from the library',
        group,
        words: 'delete throw away',
        run: () => {
          navigate({ page: 'library', query: {} });
          void removePhrases(app, [id]);
        },
      },
      {
        id: 'phrase.undo',
        title: undo === null ? 'Undo' : undoWords(undo),
        find: 'Undo',
        group,
        words: 'back',
        ...(undo === null ? { blocked: 'nothing to undo' } : {}),
        run: () => editsOf(app).undo(id),
      },
      {
        id: 'phrase.redo',
        title: redo === null ? 'Do again' : redoWords(redo),
        find: 'Do again',
        group,
        words: 'redo forward',
        ...(redo === null ? { blocked: 'nothing was undone' } : {}),
        run: () => editsOf(app).redo(id),
      },
    ];
  }, [app, phrase, undo, redo, exportIt]);
  useActions(actions);
}

import { useDeferredValue, useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { Facts, titleOf } from '../shared/facts';
import { Destinations } from './destinations-form';
import { HowFields } from './how-fields';
import { KeepBar } from './keep-bar';
import './move.css';
import { type MoveForm, readMoveForm, writeMoveForm } from './move-form';
import { ResultView } from './result-view';
import { runMove } from './run-move';

/** `#/phrase/ID/move?…`: choose where, see what becomes of every note, keep it or let it go. */
export function MovePage({ route }: { readonly route: RouteOf<'move'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <Moving key={route.id} draft={draft} route={route} />}
    </PhraseOrReason>
  );
}

function Moving({ draft, route }: { readonly draft: Draft; readonly route: RouteOf<'move'> }) {
  const { phrase } = draft;
  usePageTitle(`Move ${titleOf(phrase)}`);
  const form = useMemo(() => readMoveForm(route.query), [route.query]);
  const usual = useUsualView(phrase);
  const look = useMemo(() => readLook(route.query, usual), [route.query, usual]);
  const go = (next: MoveForm, nextLook: Look, how: 'push' | 'replace') =>
    navigate(
      {
        page: 'move',
        id: route.id,
        query: { ...writeMoveForm(next), ...writeLook(nextLook, usual) },
      },
      how,
    );
  // Typing is on screen at once; the music follows as soon as there is time.
  const asked = useDeferredValue(form);
  const outcome = useMemo(() => runMove(phrase, asked), [phrase, asked]);
  return (
    <article className="page move-page">
      <header>
        <p className="way-back">
          <a href={addressOf({ page: 'phrase', id: route.id, query: {} })}>{titleOf(phrase)}</a>
        </p>
        <h1>Move {titleOf(phrase)}</h1>
        <Facts phrase={phrase} />
      </header>
      <section aria-labelledby="where">
        <h2 id="where">Where to</h2>
        <Destinations
          phrase={phrase}
          goal={form.goal}
          problems={outcome.kind === 'problems' ? outcome.problems : []}
          onChange={(goal, how) => go({ ...form, goal }, look, how)}
        />
      </section>
      {form.goal === null ? null : (
        <HowFields phrase={phrase} form={form} onChange={(next) => go(next, look, 'replace')} />
      )}
      {asked.goal === null ? (
        <p className="quiet">
          Choose where the phrase goes; it stays as it is until you keep the result.
        </p>
      ) : (
        <ResultView
          phrase={phrase}
          goal={asked.goal}
          outcome={outcome}
          look={look}
          applied={asked.adapt}
          lookFields={<LookFields look={look} onChange={(next) => go(form, next, 'replace')} />}
          onApply={(adapt) => go({ ...form, adapt }, look, 'replace')}
        >
          {outcome.kind === 'moved' ? (
            <KeepBar draft={draft} moved={outcome.phrase} goal={asked.goal} route={route} />
          ) : null}
        </ResultView>
      )}
    </article>
  );
}

function useUsualView(phrase: Phrase) {
  return useMemo(() => usualView(analyse(phrase)), [phrase]);
}

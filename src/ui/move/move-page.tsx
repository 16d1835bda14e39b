import { type ReactNode, useDeferredValue, useMemo } from 'react';
import type { Goal } from '../../core/move/goal';
import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { usePlacesOfKept } from '../frame/phrase-places';
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
import { type MoveForm, movedOn, readMoveForm, writeMoveForm } from './move-form';
import { goalInWords, stepsInWords } from './move-words';
import { OverWhat } from './over-what';
import { ResultView } from './result-view';
import { runMove } from './run-move';
import { Several } from './several';
import { StepsDone } from './steps-done';
import { useInSight } from './use-in-sight';
import { WaysOut } from './ways-out';

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
  const dialogs = usePlacesOfKept(phrase, 'move');
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
  const here = useMemo(() => hereOf(phrase, form), [phrase, form]);
  useInSight(asked, outcome.kind === 'moved');
  const goals = [...asked.done.map((d) => d.goal), ...(asked.goal === null ? [] : [asked.goal])];
  const overChords = goals.some(needsChord);
  const over = <OverWhat draft={draft} />;
  return (
    <article className="page move-page">
      <Head phrase={phrase} id={route.id} />
      <section aria-labelledby="where">
        <h2 id="where" tabIndex={-1}>
          {form.done.length === 0 ? 'Where to' : 'And from there'}
        </h2>
        <StepsDone phrase={phrase} form={form} onChange={(next) => go(next, look, 'push')} />
        <Destinations
          phrase={here}
          goal={form.goal}
          problems={outcome.kind === 'problems' ? outcome.problems : []}
          onChange={(goal, how) => go({ ...form, goal }, look, how)}
        />
      </section>
      {form.goal === null ? null : (
        <HowFields phrase={here} form={form} onChange={(next) => go(next, look, 'replace')} />
      )}
      {goals.length === 0 ? (
        <p className="quiet">
          Choose where the phrase goes; it stays as it is until you keep the result.
        </p>
      ) : (
        <Outcome
          draft={draft}
          route={route}
          form={asked}
          goals={goals}
          outcome={outcome}
          look={look}
          onLook={(next) => go(form, next, 'replace')}
          onForm={(next, how) => go(next, look, how)}
          onApply={(adapt) => go({ ...form, adapt }, look, 'replace')}
          asked={overChords ? over : null}
        />
      )}
      <Several phrase={phrase} here={here} form={asked} asked={overChords ? null : over} />
      {dialogs}
    </article>
  );
}

/** What becomes of the phrase, and what can be done with that. */
function Outcome(props: {
  readonly draft: Draft;
  readonly route: RouteOf<'move'>;
  /** What the outcome is of. */
  readonly form: MoveForm;
  readonly goals: readonly Goal[];
  readonly outcome: ReturnType<typeof runMove>;
  readonly look: Look;
  readonly onLook: (look: Look) => void;
  readonly onForm: (form: MoveForm, how: 'push' | 'replace') => void;
  readonly onApply: (adapt: boolean) => void;
  /** What the phrase does not say and the move would need; null where it says all. */
  readonly asked: ReactNode;
}) {
  const { draft, form, goals, outcome, look, onLook, onForm } = props;
  const { phrase } = draft;
  return (
    <ResultView
      phrase={phrase}
      goals={goals}
      outcome={outcome}
      look={look}
      applied={form.adapt}
      lookFields={<LookFields look={look} onChange={onLook} />}
      onApply={props.onApply}
      asked={props.asked}
    >
      <WaysOut
        phrase={phrase}
        form={form}
        outcome={outcome}
        onChange={(next) => onForm(next, 'push')}
      />
      {outcome.kind === 'moved' ? (
        <KeepBar
          draft={draft}
          moved={outcome.phrase}
          to={outcome.to}
          what={whatIn(phrase, goals)}
          route={props.route}
        >
          {form.goal === null ? null : (
            <button type="button" onClick={() => onForm(movedOn(form), 'push')}>
              Move on from here
            </button>
          )}
        </KeepBar>
      ) : null}
    </ResultView>
  );
}

function Head({ phrase, id }: { readonly phrase: Phrase; readonly id: string }) {
  return (
    <header>
      <p className="way-back">
        <a href={addressOf({ page: 'phrase', id: id, query: {} })}>{titleOf(phrase)}</a>
      </p>
      <h1>Move {titleOf(phrase)}</h1>
      <Facts phrase={phrase} />
    </header>
  );
}

/** The phrase as the moves that go before have left it; the phrase itself where they cannot be. */
function hereOf(phrase: Phrase, form: MoveForm): Phrase {
  if (form.done.length === 0) return phrase;
  const { goal: _, ...before } = form;
  const outcome = runMove(phrase, { ...before, goal: null });
  return outcome.kind === 'moved' ? outcome.phrase : phrase;
}

/** Over chords a note moves by what it is against its own. */
function needsChord(goal: Goal): boolean {
  return goal.kind === 'chord' || goal.kind === 'lane';
}

/** Where it is now, in words that follow 'is now'. */
function whatIn(phrase: Phrase, goals: readonly Goal[]): string {
  const [only, more] = goals;
  return only !== undefined && more === undefined
    ? goalInWords(phrase, only)
    : `moved ${stepsInWords(phrase, goals)}`;
}

function useUsualView(phrase: Phrase) {
  return useMemo(() => usualView(analyse(phrase)), [phrase]);
}

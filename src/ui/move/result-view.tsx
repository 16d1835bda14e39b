import { type ReactNode, useMemo } from 'react';
import type { Goal } from '../../core/move/goal';
import type { Phrase } from '../../core/phrase/types';
import { HearBoth } from '../frame/listen/hear-both';
import type { Look } from '../score/look-fields';
import { ScorePair } from '../score/score-pair';
import { capital, count, problemText } from '../shared/words';
import { MoveNeck } from './move-neck';
import { stepsInWords } from './move-words';
import { ReportList } from './report-list';
import { type ReportInWords, reportInWords } from './report-words';
import type { Outcome } from './run-move';

interface ResultViewProps {
  readonly phrase: Phrase;
  /** The moves, one after the other. */
  readonly goals: readonly Goal[];
  readonly outcome: Outcome;
  readonly look: Look;
  readonly lookFields: ReactNode;
  /** Whether the suggestions are applied. */
  readonly applied: boolean;
  readonly onApply: (adapt: boolean) => void;
  /** What the phrase does not say and the move would need; null where it says all. */
  readonly asked: ReactNode;
  /** What can be done with the result. */
  readonly children: ReactNode;
}

/** The result under the original, bar under bar, with what changed and why. */
export function ResultView(props: ResultViewProps) {
  const { phrase, goals, outcome } = props;
  const words = useMemo(() => wordsOf(outcome), [outcome]);
  const upper = useMemo(() => ({ phrase, caption: 'before' }), [phrase]);
  const lower = useMemo(
    () =>
      outcome.kind === 'moved' && words !== null
        ? { phrase: outcome.phrase, caption: 'after', changed: words.marked }
        : null,
    [outcome, words],
  );
  return (
    <section aria-labelledby="result" className="result">
      <div className="result-head">
        <h2 id="result">Before and after</h2>
        <p role="status">{summary(phrase, goals, outcome, words)}</p>
      </div>
      {props.asked}
      {lower === null || words === null ? null : (
        <>
          <HearBoth
            upper={{ phrase, name: 'before', title: 'Hear it as it is before the move' }}
            lower={{
              phrase: lower.phrase,
              name: 'after',
              title: 'Hear it as it is after the move',
            }}
            first="lower"
          >
            <ScorePair
              upper={upper}
              lower={lower}
              staves={props.look.staves}
              degrees={props.look.degrees}
            />
          </HearBoth>
          {props.lookFields}
          <MoveNeck
            before={phrase}
            after={lower.phrase}
            degrees={props.look.degrees === 'key' ? 'key' : 'chord'}
          />
          {words.marked.size === 0 ? null : (
            <p className="quiet mark-legend">
              <span className="mark">Framed</span> notes changed by more than the move itself: see
              below.
            </p>
          )}
          {props.children}
          <Suggestions words={words} applied={props.applied} onApply={props.onApply} />
          <ReportList words={words} />
        </>
      )}
    </section>
  );
}

function wordsOf(outcome: Outcome): ReportInWords | null {
  if (outcome.kind !== 'moved') return null;
  return reportInWords(outcome.phrase, outcome.report);
}

function summary(
  phrase: Phrase,
  goals: readonly Goal[],
  outcome: Outcome,
  words: ReportInWords | null,
): string {
  if (outcome.kind === 'nothing') return 'Say how far, and the result stands here.';
  if (outcome.kind === 'problems' || words === null) {
    const problems = outcome.kind === 'problems' ? outcome.problems : [];
    return `Not moved yet. ${problems.map(problemText).join(' ')}`;
  }
  const lost =
    words.general.filter((g) => g.lost).length +
    words.notes.filter((n) => n.reasons.some((r) => r.lost)).length;
  const parts = [
    `Moved ${stepsInWords(phrase, goals)}.`,
    words.marked.size === 0 ? '' : `${capital(count(words.marked.size, 'note'))} framed.`,
    lost === 0 ? '' : `${capital(count(lost, 'wish', 'wishes'))} could not be kept.`,
    words.unplayable.length === 0
      ? 'It can be played as it stands.'
      : 'It cannot be played as it stands.',
  ];
  return parts.filter((t) => t !== '').join(' ');
}

/** What *hold* would change; done only when asked for, and taken back as easily. */
function Suggestions(props: {
  readonly words: ReportInWords;
  readonly applied: boolean;
  readonly onApply: (adapt: boolean) => void;
}) {
  const { suggestions } = props.words;
  if (props.applied) {
    return (
      <section aria-labelledby="suggestions" className="suggestions">
        <h3 id="suggestions">Suggestions are applied</h3>
        <p>
          What they changed is named under each note below.{' '}
          <button type="button" onClick={() => props.onApply(false)}>
            Take them back
          </button>
        </p>
        <SuggestionList words={props.words} />
      </section>
    );
  }
  if (suggestions.length === 0) return null;
  return (
    <section aria-labelledby="suggestions" className="suggestions">
      <h3 id="suggestions">Suggested for this chord</h3>
      <SuggestionList words={props.words} />
      {suggestions.some((s) => s.canApply) ? (
        <button type="button" onClick={() => props.onApply(true)}>
          Apply the suggestions
        </button>
      ) : null}
    </section>
  );
}

function SuggestionList({ words }: { readonly words: ReportInWords }) {
  if (words.suggestions.length === 0) return null;
  return (
    <ul>
      {words.suggestions.map((s) => (
        <li key={s.id}>{s.text}</li>
      ))}
    </ul>
  );
}

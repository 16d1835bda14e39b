import { addressOf } from '../frame/route';
import { focusPage } from '../shared/focus-page';
import { count } from '../shared/words';
import { laidOnForm, MOST_LAID } from './lay-on-form';

interface Props {
  /** Ids in the order they are shown. */
  readonly chosen: readonly string[];
  readonly onOrder: () => void;
  readonly onLesson: () => void;
  readonly onExport: () => void;
  readonly onRemove: () => void;
  readonly onClear: () => void;
}

/** What can be done with the phrases that are chosen. */
export function ChoiceBar({ chosen, onOrder, onLesson, onExport, onRemove, onClear }: Props) {
  const [a, b] = chosen;
  if (a === undefined) return null;
  // Both take this row away.
  const then = (go: () => void) => () => {
    focusPage();
    go();
  };
  return (
    <section className="choice-bar" aria-label="What to do with the chosen phrases">
      <p role="status">{count(chosen.length, 'phrase')} chosen</p>
      <div className="buttons">
        {chosen.length === 2 && b !== undefined ? (
          <a className="button" href={addressOf({ page: 'compare', a, b, query: {} })}>
            Compare the two
          </a>
        ) : (
          <span className="quiet">Choose two to compare them</span>
        )}
        {chosen.length === 1 && (
          <a className="button" href={addressOf({ page: 'library', query: { like: a } })}>
            More like this
          </a>
        )}
        <button type="button" onClick={onOrder}>
          Put in order …
        </button>
        <button type="button" onClick={onLesson}>
          Make a lesson
        </button>
        {chosen.length <= MOST_LAID && (
          <a className="button" href={addressOf(laidOnForm(chosen))}>
            Lay on a form
          </a>
        )}
        <button type="button" onClick={onExport}>
          Export
        </button>
        <button type="button" onClick={then(onRemove)}>
          Remove
        </button>
        <button type="button" onClick={then(onClear)}>
          Choose none
        </button>
      </div>
    </section>
  );
}

import { MOST_UNKEPT, type UnkeptHead } from '../../storage/unkept';
import { momentName } from '../shared/moment';
import type { UnkeptHere } from './use-unkept';

/** What was caught on earlier visits of the page and is not in the library yet. */
export function NotKeptYet(props: { readonly unkept: UnkeptHere; readonly busy: boolean }) {
  const { others, elsewhere, goOn, throwAway } = props.unkept;
  if (others.length === 0) return null;
  return (
    <section aria-labelledby="catch-unkept" className="catch-unkept">
      <h2 id="catch-unkept">Not kept yet</h2>
      <p className="quiet">
        Notes that were caught before, without their sound, on this device alone. The last{' '}
        {MOST_UNKEPT} stay here; beyond that those go first in which nothing was corrected.
      </p>
      <ul>
        {others.map((head) => (
          <li key={head.id}>
            <span>
              {head.title}
              {/* Of one that is damaged the day may be lost. */}
              {head.at === 0 ? '' : `, ${momentName(head.at)}`}: {sizeOf(head)}
            </span>
            {elsewhere.has(head.id) ? (
              <span className="quiet">Open in another window.</span>
            ) : (
              <span className="buttons">
                <button
                  type="button"
                  disabled={props.busy}
                  aria-label={`Go on with ${head.title}`}
                  onClick={() => void goOn(head.id)}
                >
                  Go on
                </button>
                <button
                  type="button"
                  aria-label={`Throw away ${head.title}`}
                  onClick={() => void throwAway(head.id)}
                >
                  Throw away
                </button>
              </span>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** `3 phrases, 2 corrected, 1 kept`. */
function sizeOf({ phrases, corrected, open }: UnkeptHead): string {
  const parts = [`${phrases} ${phrases === 1 ? 'phrase' : 'phrases'}`];
  if (corrected > 0) parts.push(`${corrected} corrected`);
  if (open < phrases) parts.push(`${phrases - open} kept`);
  return parts.join(', ');
}

import type { NoteId } from '../../core/phrase/types';
import type { EngravedSystem } from '../../engrave/page/system';

/** One thing that is said of some notes. */
export interface SignRow {
  readonly sign: string;
  readonly word: string;
  readonly notes: ReadonlySet<NoteId>;
}

/**
 * Under one line of music a row for each thing that is said of notes in it: the word at the left, and
 * the sign under each note it is said of. It takes room of its own, so that nothing of the music is
 * covered; places are shares of the line, which may be shown smaller than it was drawn.
 */
export function SignRows(props: {
  readonly line: EngravedSystem;
  readonly rows: readonly SignRow[];
}) {
  const { line, rows } = props;
  return rows.map(({ sign, word, notes }) => {
    const places = placesOf(line, notes);
    return places.length === 0 ? null : (
      <p className="sign-row" key={word}>
        <span className="sign-word">{word}</span>
        {places.map((x) => (
          <span className="sign-at" key={x} style={{ left: `${(100 * x) / line.width}%` }}>
            {sign}
          </span>
        ))}
      </p>
    );
  });
}

/** Where the notes begin in a line, each place once; notes struck together share one. */
function placesOf(line: EngravedSystem, notes: ReadonlySet<NoteId>): readonly number[] {
  const first = new Map<NoteId, number>();
  for (const n of line.hits.notes) {
    if (!notes.has(n.id)) continue;
    const middle = (n.x0 + n.x1) / 2;
    first.set(n.id, Math.min(first.get(n.id) ?? Number.POSITIVE_INFINITY, middle));
  }
  const sorted = [...first.values()].sort((a, b) => a - b);
  return sorted.filter((x, i) => i === 0 || x - sorted[i - 1]! >= NEAR);
}

/** Signs nearer than so many px of the drawing are one. */
const NEAR = 6;

import { bendNext } from '../../../core/edit/commands/bends';
import type { PartProps } from '../part-props';
import './bend-shape.css';
import { BendBoard } from './bend-shape-board';
import { bentNotes } from './bend-shape-notes';

/** So many bends are drawn at a time; more would be a wall. */
const MOST = 6;

/** The shape of each bend that is chosen, drawn over the length of its note. */
export function BendShape({ writer, onDone }: Pick<PartProps, 'writer' | 'onDone'>) {
  const { state } = writer;
  const bent = bentNotes(state);
  if (bent.length === 0) {
    const { reading } = state.pen;
    const key = bendNext.keys.find((k) => k.reading === undefined || k.reading.includes(reading));
    return (
      <div className="bend-shapes">
        <p>
          No bent note is chosen. In the score, go to a note and press <kbd>{key?.key}</kbd> to bend
          it.
        </p>
      </div>
    );
  }
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the key is for whatever in it has the focus.
    <div className="bend-shapes" onKeyDown={(e) => (e.key === 'Escape' ? onDone() : undefined)}>
      <p className="quiet">
        Drag a point, or the dashed line for another width; tap the curve for a new point. By key:
        arrows move what has the focus, <kbd>Delete</kbd> takes a point out, <kbd>Escape</kbd> goes
        back to the score.
      </p>
      <div className="bend-boards">
        {bent.slice(0, MOST).map((b) => (
          <BendBoard key={b.note.id} writer={writer} bent={b} />
        ))}
      </div>
      {bent.length > MOST ? (
        <p>
          The first {MOST} of {bent.length} bends. Choose fewer notes to see the others.
        </p>
      ) : null}
    </div>
  );
}

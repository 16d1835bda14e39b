import type { ComponentProps } from 'react';
import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';
import { FIRST_CHOICE, type NeckChoice } from './neck-choice';

const NeckPanel = partOnDemand(
  onDemand('The neck', () => import('./neck-panel').then((m) => m.default)),
  <p className="quiet" role="status">
    One moment …
  </p>,
);

type PanelProps = ComponentProps<typeof NeckPanel>;

interface NeckSectionProps extends Omit<PanelProps, 'choice' | 'onChoose'> {
  /** Null while the neck is put away. */
  readonly choice: NeckChoice | null;
  readonly onChoose: (choice: NeckChoice | null) => void;
}

/** The neck beside a score: brought out and put away, fetched when it is first seen. */
export function NeckSection({ choice, onChoose, ...panel }: NeckSectionProps) {
  return (
    <section className="neck-panel" aria-label="Neck">
      <button
        type="button"
        aria-expanded={choice !== null}
        onClick={() => onChoose(choice === null ? FIRST_CHOICE : null)}
      >
        {choice === null ? 'Show the neck' : 'Put the neck away'}
      </button>
      {choice === null ? null : <NeckPanel {...panel} choice={choice} onChoose={onChoose} />}
    </section>
  );
}

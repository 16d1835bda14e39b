import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';

const load = () => import('./neck-figures');

/** The phrase on necks, fetched when it is first shown. */
export const NeckFigures = partOnDemand(
  onDemand('The picture of the neck', () => load().then((m) => m.NeckFigures)),
);

/** Before and after a move, fetched likewise. */
export const NeckPair = partOnDemand(
  onDemand('The picture of the neck', () => load().then((m) => m.NeckPair)),
);

/** On paper, as it was chosen beside the score. */
export const NeckOnPaper = partOnDemand(
  onDemand('The picture of the neck', () => import('./neck-on-paper').then((m) => m.NeckOnPaper)),
);

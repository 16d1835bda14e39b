import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';

/** Everything about practising a phrase; it comes when it is opened. */
export const PracticePanel = partOnDemand(
  onDemand('The panel for practising', () =>
    import('./practice-panel').then((m) => m.PracticePanel),
  ),
);

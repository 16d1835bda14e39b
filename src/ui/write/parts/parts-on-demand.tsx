import { lazy, memo, type ReactNode, Suspense, type ToggleEvent, useState } from 'react';
import type { PartProps } from '../part-props';
import './parts.css';

const BendShape = lazy(() => import('./bend-shape').then((m) => ({ default: m.BendShape })));
const ChordLane = lazy(() => import('./chord-lane').then((m) => ({ default: m.ChordLane })));
const FrameRows = lazy(() => import('./frame-rows').then((m) => ({ default: m.FrameRows })));
const MidiIn = lazy(() => import('./midi-in').then((m) => ({ default: m.MidiIn })));
const QuickText = lazy(() => import('./quick-text').then((m) => ({ default: m.QuickText })));

/** What is not needed for each note: fetched when it is opened first, kept while it is folded. */
export const PartsOnDemand = memo(function PartsOnDemand(
  props: Pick<PartProps, 'writer' | 'onDone'>,
) {
  return (
    <div className="parts">
      <Part title="Shape of the bend" resting>
        {<BendShape {...props} />}
      </Part>
      <Part title="Chords">{<ChordLane {...props} />}</Part>
      <Part title="Metre, key, tempo and instrument">{<FrameRows {...props} />}</Part>
      <Part title="As text">{<QuickText {...props} />}</Part>
      <Part title="From a MIDI instrument">{<MidiIn {...props} />}</Part>
    </div>
  );
});

interface FoldedProps {
  readonly title: string;
  readonly children: ReactNode;
  /** It has nothing to keep while it is folded, and then is not there. */
  readonly resting?: boolean;
}

function Part({ title, children, resting = false }: FoldedProps) {
  const [open, setOpen] = useState(false);
  const onToggle = (e: ToggleEvent<HTMLDetailsElement>) => {
    const { open: now } = e.currentTarget;
    setOpen((was) => now || (was && !resting));
  };
  return (
    <details className="part" onToggle={onToggle}>
      <summary>{title}</summary>
      {open ? (
        <Suspense fallback={<p className="quiet">One moment.</p>}>{children}</Suspense>
      ) : null}
    </details>
  );
}

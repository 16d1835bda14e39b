import { lazy, memo, type ReactNode, Suspense, useState } from 'react';
import type { PartProps } from '../part-props';
import './parts.css';

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
      <Part title="Chords">{<ChordLane {...props} />}</Part>
      <Part title="Metre, key, tempo and instrument">{<FrameRows {...props} />}</Part>
      <Part title="As text">{<QuickText {...props} />}</Part>
      <Part title="From a MIDI instrument">{<MidiIn {...props} />}</Part>
    </div>
  );
});

function Part({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  const [open, setOpen] = useState(false);
  return (
    <details className="part" onToggle={(e) => setOpen((was) => was || e.currentTarget.open)}>
      <summary>{title}</summary>
      {open ? (
        <Suspense fallback={<p className="quiet">One moment.</p>}>{children}</Suspense>
      ) : null}
    </details>
  );
}

import { type ComponentType, memo, type ReactNode, type ToggleEvent, useState } from 'react';
import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';
import type { PartProps } from '../part-props';
import { PART_IDS } from './open-part';
import './parts.css';

const part = <P extends object>(what: string, load: () => Promise<ComponentType<P>>) =>
  partOnDemand(onDemand(what, load), <p className="quiet">One moment.</p>);

const BendShape = part('The drawing of the bend', () =>
  import('./bend-shape').then((m) => m.BendShape),
);
const ChordLane = part('The row of chords', () => import('./chord-lane').then((m) => m.ChordLane));
const FrameRows = part('This part', () => import('./frame-rows').then((m) => m.FrameRows));
const MidiIn = part('What listens to MIDI', () => import('./midi-in').then((m) => m.MidiIn));
const QuickText = part('The field for text', () => import('./quick-text').then((m) => m.QuickText));

/** What is not needed for each note: fetched when it is opened first, kept while it is folded. */
export const PartsOnDemand = memo(function PartsOnDemand(
  props: Pick<PartProps, 'writer' | 'onDone'>,
) {
  return (
    <div className="parts">
      <Part id={PART_IDS.bend} title="Shape of the bend" resting>
        {<BendShape {...props} />}
      </Part>
      <Part title="Chords">{<ChordLane {...props} />}</Part>
      <Part title="Metre, key, tempo and instrument">{<FrameRows {...props} />}</Part>
      <Part id={PART_IDS.text} title="As text">
        {<QuickText {...props} />}
      </Part>
      <Part id={PART_IDS.midi} title="From a MIDI instrument">
        {<MidiIn {...props} />}
      </Part>
    </div>
  );
});

/** Milliseconds within which what was unfolded has come. */
const COMES = 600;

/**
 * Scrolls as little as brings all of it into sight, also as it grows by what is fetched; no longer once
 * the focus has gone elsewhere, where something else is to be seen.
 */
function showWhole(part: HTMLElement): void {
  const observer = new ResizeObserver(() => part.scrollIntoView({ block: 'nearest' }));
  observer.observe(part);
  const over = new AbortController();
  const stop = () => {
    observer.disconnect();
    over.abort();
  };
  const left = ({ relatedTarget }: FocusEvent) => {
    if (!(relatedTarget instanceof Node && part.contains(relatedTarget))) stop();
  };
  part.addEventListener('focusout', left, { signal: over.signal });
  setTimeout(stop, COMES);
}

interface FoldedProps {
  /** Of a part that the list of everything opens. */
  readonly id?: string;
  readonly title: string;
  readonly children: ReactNode;
  /** It has nothing to keep while it is folded, and then is not there. */
  readonly resting?: boolean;
}

function Part({ id, title, children, resting = false }: FoldedProps) {
  const [open, setOpen] = useState(false);
  const onToggle = (e: ToggleEvent<HTMLDetailsElement>) => {
    const { open: now } = e.currentTarget;
    setOpen((was) => now || (was && !resting));
    if (now) showWhole(e.currentTarget);
  };
  return (
    <details className="part" id={id} onToggle={onToggle}>
      <summary>{title}</summary>
      {open ? children : null}
    </details>
  );
}

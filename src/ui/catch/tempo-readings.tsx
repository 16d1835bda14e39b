import { useState } from 'react';
import type { TempoReading } from '../../core/heard/tempo';
import { isCompound } from '../../core/phrase/time';
import type { CaughtTake } from './messages';
import { useKeys } from './use-keys';

/** In which tempo what was caught is to be written; `found` is the one that was found without being told. */
export interface ReadAs extends TempoReading {
  readonly found: boolean;
}

/** How the recording may be read besides, by one key that goes round: twice as fast, in three. */
export function OtherReading(props: {
  readonly take: CaughtTake;
  readonly onRead: (as: ReadAs) => void;
}) {
  const { take, onRead } = props;
  const now: TempoReading = { bpm: take.bpm, threes: isCompound(take.meter) };
  // What was found stays on offer while another reading is tried; a tempo of the player's own ends that.
  const [round, setRound] = useState<readonly TempoReading[]>([]);
  const own = take.readings.length > 0 ? [now, ...take.readings] : round;
  const at = own.findIndex((r) => isSame(r, now));
  const next = at < 0 ? undefined : own[(at + 1) % own.length];
  const read = () => {
    if (next === undefined) return;
    setRound(own);
    onRead({ ...next, found: isSame(next, own[0]!) });
  };
  useKeys({ r: next === undefined ? null : read });
  if (next === undefined) return null;
  return (
    <button type="button" aria-keyshortcuts="r" onClick={read}>
      Read it {readingWords(now, next)} (R)
    </button>
  );
}

function isSame(a: TempoReading, b: TempoReading): boolean {
  return a.threes === b.threes && Math.abs(a.bpm / b.bpm - 1) < 0.005;
}

/** Whether the same recording is read in one tempo and metre in both. */
export function isOneReading(a: Read, b: Read): boolean {
  return (
    Math.abs(a.bpm / b.bpm - 1) < 0.005 &&
    a.meter.beats === b.meter.beats &&
    a.meter.beatType === b.meter.beatType
  );
}

type Read = Pick<CaughtTake, 'bpm' | 'meter'>;

/** How one reading differs from another, in words. */
export function readingWords(from: TempoReading, to: TempoReading): string {
  const share = to.bpm / from.bpm;
  const near = (x: number) => Math.abs(share / x - 1) < 0.03;
  if (to.threes === from.threes && near(2)) return 'twice as fast';
  if (to.threes === from.threes && near(0.5)) return 'half as fast';
  const bpm = Math.round(to.bpm);
  if (to.threes === from.threes) return `with ${bpm} beats a minute`;
  return to.threes ? `in three, ${bpm} beats a minute` : `in two, ${bpm} beats a minute`;
}

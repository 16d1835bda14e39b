import { motionOfHeard } from '../../core/heard/motion';
import type { HeardNote } from '../../core/heard/types';
import type { Ticks } from '../../core/phrase/types';
import { pitchOfMidi } from '../../core/theory/pitch';
import { matchStrings } from '../musicxml/read/place';
import type { HeardEvent } from './lines';
import type { Take } from './take';

/** A note that was heard where every string that has it was taken. */
export interface CrowdedOut {
  readonly onset: Ticks;
  readonly note: HeardNote;
}

/**
 * Lines that the strings of the instrument can sound: of what is struck while more sounds than they have room for, the
 * notes that were heard least surely are left out. A band that leaks into the microphone is heard as such.
 */
export function withoutCrowd(
  take: Pick<Take, 'instrument' | 'off'>,
  lines: Take['lines'],
): { readonly lines: Take['lines']; readonly out: readonly CrowdedOut[] } {
  const out: CrowdedOut[] = [];
  const kept = new Map<HeardEvent, HeardEvent | null>();
  const order = lines
    .flatMap((line, voice) => line.map((event) => ({ event, voice })))
    .sort((a, b) => a.event.onset - b.event.onset);
  // Events of one line do not overlap, so only the last of the other one can still sound.
  const last: { readonly end: Ticks; readonly strings: readonly number[] }[] = [];
  for (const { event, voice } of order) {
    const other = last[1 - voice];
    const held = new Set(other !== undefined && other.end > event.onset ? other.strings : []);
    const bySure = [...event.notes].sort((a, b) => b.confidence - a.confidence);
    let found = strings(bySure, held, take);
    while (found === null) {
      out.push({ onset: event.onset, note: bySure.pop()! });
      found = strings(bySure, held, take);
    }
    const notes = event.notes.filter((n) => bySure.includes(n));
    const same = notes.length === event.notes.length;
    kept.set(event, same ? event : notes.length === 0 ? null : { ...event, notes });
    last[voice] = { end: event.end, strings: found };
  }
  const left = lines.map((l) => l.flatMap((e) => kept.get(e) ?? []));
  return { lines: left.filter((l) => l.length > 0), out };
}

function strings(
  notes: readonly HeardNote[],
  held: ReadonlySet<number>,
  { instrument, off }: Pick<Take, 'instrument' | 'off'>,
): readonly number[] | null {
  const named = notes.map((n, i) => ({
    id: `${i}`,
    pitch: pitchOfMidi(motionOfHeard(n, off).midi, 'sharp'),
  }));
  const found = matchStrings(named, held, instrument);
  return found === null ? null : [...found.values()].map((p) => p.string);
}

import { fretFor, playableFrets } from '../../phrase/instrument';
import type { PitchedNote, Place } from '../../phrase/types';
import { formatPitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { placesFor } from '../choose-place';
import { defineCommand } from '../command';
import { cannot } from '../outcome';
import type { EditState } from '../state';
import { freshIds, writeNotes } from '../write';

/** Pitches struck together on an instrument, with their strings where it tells them. */
export type StruckGiven = readonly { readonly midi: number; readonly string?: number }[];

/** What was struck on a MIDI instrument; the cursor goes on. */
export const writeStruck = defineCommand<StruckGiven>({
  id: 'write.struck',
  group: 'Writing notes',
  title: 'Write what was struck on an instrument',
  ask: {
    kind: 'given',
    is: isStruck,
    some: () => [
      [{ midi: 64 }],
      [
        { midi: 60, string: 3 },
        { midi: 64, string: 2 },
      ],
      [{ midi: 20 }],
      [],
    ],
  },
  apply: (s, struck) => {
    if (struck.length === 0) return cannot('nothing was struck');
    const ids = freshIds(s, struck.length);
    const notes: PitchedNote[] = [];
    // The strings that are told come first; the others go where there is room.
    const order = [...struck].sort(
      (a, b) => Number(b.string !== undefined) - Number(a.string !== undefined),
    );
    for (const [i, { midi, string }] of order.entries()) {
      const pitch = spellAt(s.phrase, s.selection.cursor.onset, midi);
      const told = string === undefined ? null : placeOn(s, string, midi);
      const place =
        told ?? placesFor(s, midi).find((p) => notes.every((n) => n.string !== p.string)) ?? null;
      if (place === null || notes.some((n) => n.string === place.string)) {
        return cannot(`the instrument has no free string for ${formatPitch(pitch)}`);
      }
      notes.push({ kind: 'pitched', id: ids[i]!, pitch, ...place });
    }
    const names = notes.map((n) => formatPitch(n.pitch)).join(', ');
    return writeNotes(s, notes, 'on', names);
  },
});

function placeOn(s: EditState, string: number, midi: number): Place | null {
  const { instrument } = s.phrase;
  if (!(string >= 1 && string <= instrument.tuning.length)) return null;
  const fret = fretFor(instrument, string, midi);
  return fret === null || fret > playableFrets(instrument) ? null : { string, fret };
}

function isStruck(x: unknown): x is StruckGiven {
  return (
    Array.isArray(x) &&
    x.length <= 16 &&
    x.every((n: unknown) => {
      if (typeof n !== 'object' || n === null) return false;
      const { midi, string } = n as Record<string, unknown>;
      const inRange =
        typeof midi === 'number' && Number.isInteger(midi) && midi >= 0 && midi <= 127;
      return inRange && (string === undefined || Number.isInteger(string));
    })
  );
}

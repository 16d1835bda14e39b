import { HARMONIC_NODES, openMidi, playableFrets } from '../phrase/instrument';
import type { Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { midiOf, type Pitch } from '../theory/pitch';
import type { Mends } from './mend';
import { nameOfPitch } from './naming';

/** A thumb over the neck belongs to its string; on another the search decides anew. */
export function withoutThumb(n: PitchedNote, mends: Mends): PitchedNote {
  if (n.finger !== 'T') return n;
  mends.add(n.id, 'M12', 'the thumb was taken off: the note may lie on another string');
  const { finger: _, ...rest } = n;
  return rest;
}

/**
 * M11: natural harmonics are sought again on the nodes, on their own string first, then on those that
 * no other note of the moment takes; else the note becomes an artificial harmonic, and it is told why.
 */
export function placeHarmonic(
  p: Phrase,
  n: PitchedNote,
  string: number,
  event: PhraseEvent,
  mends: Mends,
): PitchedNote {
  const all = p.instrument.tuning.map((_, i) => i + 1);
  const taken = new Set(event.notes.filter((x) => x.id !== n.id).map((x) => x.string));
  const free = n.pinned === true ? [] : all.filter((s) => s !== string && !taken.has(s));
  for (const s of [string, ...free]) {
    const node = nodeOn(p, n, s);
    if (node !== null) {
      return { ...n, string: s, fret: node.fret, harmonic: { kind: 'natural', above: node.above } };
    }
  }
  const stopped: Pitch = { ...n.pitch, octave: n.pitch.octave - 1 };
  const other = all.find((s) => nodeOn(p, n, s) !== null);
  const why =
    other === undefined
      ? 'no string has a node that sounds it'
      : n.pinned === true
        ? `its node is on string ${other}, and it is pinned to string ${string}`
        : `its node is on string ${other}, where another note lies`;
  const named = (p: Pitch) => nameOfPitch(p) + p.octave;
  const text = `an artificial harmonic over ${named(stopped)}, which sounds ${named(n.pitch)}: ${why}`;
  mends.add(n.id, 'M11', text);
  return { ...n, pitch: stopped, string, harmonic: { kind: 'artificial', above: 12 } };
}

/** The node of a string that sounds a note's pitch, the nearest to its fret; null where there is none. */
function nodeOn(p: Phrase, n: PitchedNote, string: number) {
  const nodes = Object.entries(HARMONIC_NODES)
    .map(([fret, above]) => ({ fret: Number(fret), above }))
    .filter((x) => x.fret <= playableFrets(p.instrument))
    .filter((x) => openMidi(p.instrument, string) + x.above === midiOf(n.pitch))
    .sort((a, b) => Math.abs(a.fret - n.fret) - Math.abs(b.fret - n.fret));
  return nodes[0] ?? null;
}

import { openMidi } from '../../src/core/phrase/instrument';
import type { Note, Phrase, PhraseEvent } from '../../src/core/phrase/types';
import { secondsPerTick } from '../../src/core/sound/perform';
import { midiOf } from '../../src/core/theory/pitch';

/**
 * Notes for which the fretting hand leaves where it is although they lie under it: up to `MOST` notes in a row, plain
 * ones, that other strings have nearer to the notes before and behind. It knows nothing of the weights of the search
 * (`neck/weights.ts`): a hand covers four frets, one finger a fret (*common practice*), and what a step goes beyond
 * them is its way.
 */
export interface Waste {
  /** Numbers of the first and the last event of the first voice. */
  readonly from: number;
  readonly to: number;
  /** Frets of way that other places would save, to them and back. */
  readonly frets: number;
}

const MOST = 3;
const HAND = 4;
/** With more time than this from one to the next a hand may lie anew (*ours*). */
const SECONDS = 1;

export function wastesOf(p: Phrase): readonly Waste[] {
  const perTick = secondsPerTick(p.tempo);
  const events = p.voices[0].events;
  /** Events at which the hand presses anything; at others it stays. */
  const at = events.flatMap((e, i) => (e.notes.some(pressed) ? [i] : []));
  const places = at.map((i) => events[i]!.notes.filter(pressed).map((n) => n.fret));
  const way = (now: readonly (readonly number[])[], from: number, to: number) => {
    let sum = 0;
    for (let k = Math.max(1, from); k <= Math.min(at.length - 1, to); k++) {
      if ((events[at[k]!]!.onset - events[at[k - 1]!]!.onset) * perTick > SECONDS) continue;
      const both = [...now[k - 1]!, ...now[k]!];
      const own = Math.max(span(now[k - 1]!), span(now[k]!), HAND);
      sum += Math.max(0, span(both) - own);
    }
    return sum;
  };
  const found: Waste[] = [];
  const taken = new Set<number>();
  for (let length = 1; length <= MOST; length++) {
    for (let k = 0; k + length <= at.length; k++) {
      const run = at.slice(k, k + length);
      if (run.some((i, n) => taken.has(i) || (n > 0 && i !== run[n - 1]! + 1))) continue;
      if (!mayMove(events, run)) continue;
      const now = way(places, k, k + length);
      if (now === 0) continue;
      let least = now;
      for (const other of elsewhere(
        p,
        run.map((i) => events[i]!),
      )) {
        const frets = [
          ...places.slice(0, k),
          ...other.map((f) => [f]),
          ...places.slice(k + length),
        ];
        least = Math.min(least, way(frets, k, k + length));
      }
      if (least >= now) continue;
      found.push({ from: run[0]!, to: run.at(-1)!, frets: now - least });
      for (const i of run) taken.add(i);
    }
  }
  return found.sort((a, b) => a.from - b.from);
}

/** Frets that some places lie over, both ends counted. */
const span = (frets: readonly number[]) => Math.max(...frets) - Math.min(...frets) + 1;

const pressed = (n: Note) =>
  n.kind === 'pitched' && n.fret > 0 && n.harmonic?.kind !== 'natural' && n.attack !== 'tap';

/** Whether a run can lie elsewhere and nothing that stays hangs on it. */
function mayMove(events: readonly PhraseEvent[], run: readonly number[]): boolean {
  const after = events[run.at(-1)! + 1];
  const hangs = (e: PhraseEvent) =>
    e.notes.some((n) => n.kind === 'pitched' && n.attack !== undefined);
  return (
    run.every((i) => isPlain(events[i]!)) &&
    !hangs(events[run[0]!]!) &&
    (after === undefined || !hangs(after))
  );
}

function isPlain({ notes: [note, ...more], graces, rake }: PhraseEvent): boolean {
  if (more.length > 0 || graces !== undefined || rake !== undefined || note.kind === 'dead')
    return false;
  const { bend, harmonic, pinned, slideIn, slideOut, letRing } = note;
  return [bend, harmonic, pinned, slideIn, slideOut, letRing].every((x) => x === undefined);
}

/** The frets of every other way to lay some notes; no higher than they lie, and not far up the low strings. */
function elsewhere(p: Phrase, run: readonly PhraseEvent[]): readonly (readonly number[])[] {
  const { instrument: i } = p;
  const highest = Math.max(17, ...run.map((e) => e.notes[0].fret));
  let ways: { string: number; fret: number }[][] = [[]];
  for (const {
    notes: [note],
  } of run) {
    if (note.kind !== 'pitched') return [];
    const places = i.tuning.flatMap((_, s) => {
      const fret = midiOf(note.pitch) - openMidi(i, s + 1);
      const low = s >= 4 && fret > Math.max(15, note.fret);
      return fret > 0 && fret <= highest && !low ? [{ string: s + 1, fret }] : [];
    });
    ways = ways.flatMap((w) =>
      places
        .filter(({ string }) => note.attack === undefined || w.at(-1)?.string === string)
        .map((place) => [...w, place]),
    );
  }
  return ways.map((w) => w.map(({ fret }) => fret));
}

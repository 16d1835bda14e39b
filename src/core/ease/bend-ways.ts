import type { FingeringProblem } from '../neck/problem';
import type { Bend, Phrase, PitchedNote } from '../phrase/types';
import { bendSemitones, mapNotes, notesOf } from '../phrase/walk';
import { midiOf, type Pitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import { spellAt } from '../understand/spell';
import { harmonyOf, isInScale } from '../vary/harmony';
import { nameOf, pitchName } from './names';
import { freeAround } from './place-ways';
import type { Spot } from './spots';
import type { Proposal } from './types';

type WidthBend = Extract<Bend, { readonly target: Pitch }>;

/** Less of a bend: from a nearer fret to the same pitch, none at all, or narrower to a lower pitch. */
export function bendWays(p: Phrase, problem: FingeringProblem, spot: Spot): readonly Proposal[] {
  const bent = notesOf(p).flatMap(({ note, onset }) =>
    spot.noteIds.includes(note.id) && note.kind === 'pitched' && note.bend !== undefined
      ? [{ note, onset, bend: note.bend }]
      : [],
  );
  return bent.flatMap(({ note, onset, bend }) => {
    const free = freeAround(p, problem, [spot.moments[0] - 1, spot.moments[1] + 1]);
    const as = (what: string, next: PitchedNote): Proposal => ({
      kind: 'bend',
      what,
      phrase: mapNotes(p, (at) => (at.note.id === note.id ? next : at.note)),
      free,
    });
    if (bend.shape === 'curl') return [uncurled(note)].map((x) => as(x.what, x.note));
    return [
      ...nearer(p, onset, note, bend).map((x) => as(x.what, x.note)),
      ...unbent(note, bend).map((x) => as(x.what, x.note)),
      ...narrower(p, onset, note, bend).map((x) => as(x.what, x.note)),
    ];
  });
}

interface Way {
  readonly what: string;
  readonly note: PitchedNote;
}

const WIDTHS: Readonly<Record<number, string>> = {
  1: 'semitone',
  2: 'whole tone',
  3: 'tone and a half',
};

function widthName(semitones: number): string {
  return WIDTHS[semitones] ?? 'step of two tones';
}

/** The same pitch is reached, from a start that lies nearer. */
function nearer(p: Phrase, onset: number, n: PitchedNote, bend: WidthBend): readonly Way[] {
  const width = bendSemitones(n);
  return Array.from({ length: Math.max(0, Math.ceil(width) - 1) }, (_, k): Way => {
    const semitones = width - 1 - k;
    const pitch = spellAt(p, onset, midiOf(bend.target) - semitones);
    const what = `bend a ${widthName(semitones)} to ${pitchName(bend.target)} instead of a ${widthName(width)}`;
    return { what, note: at(n, pitch) };
  });
}

/** The target played without a bend; where the bend was heard to rise, slid into from its start. */
function unbent(n: PitchedNote, bend: WidthBend): readonly Way[] {
  // What falls back again needs the bend, or a note more.
  if (bend.shape === 'bend-release' || bend.shape === 'pre-bend-release') return [];
  const { bend: _, slideIn: __, ...rest } = n;
  const plain: PitchedNote = at(rest, bend.target);
  const semitones = bendSemitones(n);
  const name = pitchName(bend.target);
  const slid: Way = {
    what: `slide up to ${name} from ${pitchName(n.pitch)} instead of bending`,
    note: { ...plain, slideIn: { kind: 'interval', from: 'below', semitones } },
  };
  const ways: Way[] = [{ what: `fret ${name} instead of bending to it`, note: plain }];
  return bend.shape === 'bend' && n.attack === undefined ? [slid, ...ways] : ways;
}

/** A lower pitch is reached: those between that are at home over the chord (M4), the nearest first. */
function narrower(p: Phrase, onset: number, n: PitchedNote, bend: WidthBend): readonly Way[] {
  const owner = analyse(p).byId.get(n.id)?.owner ?? null;
  const harmony = harmonyOf(p.key, owner?.chord ?? null);
  const ways: Way[] = [];
  for (let midi = midiOf(bend.target) - 1; midi > midiOf(n.pitch); midi--) {
    const target = spellAt(p, onset, midi);
    if (!isInScale(harmony, target)) continue;
    const semitones = midi - midiOf(n.pitch);
    const what = `bend a ${widthName(semitones)} only, instead of a ${widthName(bendSemitones(n))}`;
    ways.push({ what, note: { ...n, bend: { ...bend, target } } });
  }
  return ways;
}

/** The quarter tone is no pitch of the staff: without it the note is still what it was. */
function uncurled(n: PitchedNote): Way {
  const { bend: _, ...note } = n;
  return { what: `play ${nameOf(n)} without the quarter tone up`, note };
}

/** The note fretted at another pitch, for now on its string. */
function at<N extends PitchedNote>(n: N, pitch: Pitch): N {
  return { ...n, pitch, fret: n.fret + midiOf(pitch) - midiOf(n.pitch) };
}

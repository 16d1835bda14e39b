import { positionOf } from '../phrase/time';
import { placeWords } from '../phrase/time-words';
import type { Phrase } from '../phrase/types';
import { type Degree, degreeSign, sameDegree } from '../theory/degree';
import { sameReading } from './report';
import type { Adaptation, MoveReport, NoteReport } from './request';

/** What a move did beyond moving, in sentences without full stops, each once. */
export function changesOf(report: MoveReport): readonly string[] {
  const notes = report.notes.flatMap((n) => n.adaptations.map((a) => a.text));
  return [...new Set([...report.general.map((a) => a.text), ...notes])];
}

/** One sentence without a full stop of what a move changed. */
export interface MoveChange {
  readonly text: string;
  /** What the notes and their signs are, or the octave and the place on the neck. */
  readonly about: 'notes' | 'hand';
}

/** So many places are told by their beats; more are told by their bars. */
const MOST_BEATS = 2;

/**
 * What a move changed and where, for a page that has the music: `♯4 becomes 7: it keeps its distance
 * from E, where it leads (bar 2, beat 4)`. Every note whose degree over its chord is another has its
 * sentence; what only says that something stayed as it was has none.
 * @param moved What the move has made.
 */
export function changesAt(moved: Phrase, report: MoveReport): readonly MoveChange[] {
  const places = new Map<string, { readonly about: MoveChange['about']; readonly at: number[] }>();
  const plain = new Set<string>();
  for (const n of report.notes) {
    const unsaid = unsaidDegrees(n);
    for (const a of n.adaptations) {
      const text = textAt(a, n, unsaid);
      if (text === null) continue;
      const known = places.get(text);
      if (known === undefined) places.set(text, { about: aboutOf(a), at: [n.onset] });
      else known.at.push(n.onset);
    }
    if (n.adaptations.some(bringsDegrees)) continue;
    for (const text of unsaid) plain.add(text);
  }
  const general = new Map(report.general.map((a) => [a.text, aboutOf(a)]));
  const anew = `read over the chords here, ${[...plain].join(', ')}`;
  return [
    ...[...general].map(([text, about]): MoveChange => ({ text, about })),
    ...(plain.size === 0 ? [] : [{ text: anew, about: 'notes' } as const]),
    ...[...places].map(([text, { about, at }]): MoveChange => {
      return { text: `${text} (${placesInWords(moved, at)})`, about };
    }),
  ];
}

/** M7 and M12 say where on the neck a phrase went; whoever has its tablature sees that. */
const aboutOf = ({ rule }: Adaptation): MoveChange['about'] =>
  rule === 'M7' || rule === 'M12' ? 'hand' : 'notes';

/** `R becomes 5` of where a note starts and of what is heard of it, where no sentence of its own names that. */
function unsaidDegrees({ before, after, adaptations }: NoteReport): readonly string[] {
  const pairs = [
    [before.chordDegree, after.chordDegree],
    [before.target?.chordDegree ?? null, after.target?.chordDegree ?? null],
  ] as const;
  return pairs.flatMap(([was, is]) => {
    if (was === null || is === null || sameDegree(was, is)) return [];
    if (adaptations.some((a) => tells(a, was, is))) return [];
    return [`${degreeSign(was)} becomes ${degreeSign(is)}`];
  });
}

function tells({ degrees }: Adaptation, was: Degree, is: Degree): boolean {
  return degrees !== undefined && sameDegree(degrees[0], was) && sameDegree(degrees[1], is);
}

/** It keeps its degree of the key, so that its degree over the chord follows from where it stands. */
const staysWithKey = (a: Adaptation): boolean => a.rule === 'M5' && !a.fallback;

/** The degrees of its note are what they are for this reason: M10 may put the start of a bend elsewhere. */
const bringsDegrees = (a: Adaptation): boolean => staysWithKey(a) || a.rule === 'M10';

/** A sentence for the page; null for what has not changed anything. */
function textAt(a: Adaptation, n: NoteReport, unsaid: readonly string[]): string | null {
  if (a.kept === true || (staysWithKey(a) && sameReading(n.before, n.after))) return null;
  if (unsaid.length === 0 || !bringsDegrees(a)) return a.text;
  return `${unsaid.join(' and ')}, ${a.text}`;
}

/** `bar 2, beat 3 and`, or `bars 1, 2 and 4`. */
function placesInWords(p: Phrase, onsets: readonly number[]): string {
  const each = [...new Set(onsets)];
  if (each.length <= MOST_BEATS) return each.map((at) => placeWords(p, at)).join('; ');
  const bars = [...new Set(each.map((at) => positionOf(p, at).bar))].sort((a, b) => a - b);
  const counted = bars.filter((b) => b > 0);
  const word = counted.length === 1 ? 'bar' : 'bars';
  const parts = counted.map((b, i) => (i === 0 ? `${word} ${b}` : String(b)));
  return inList(counted.length < bars.length ? ['pickup', ...parts] : parts);
}

/** `bar 1`, `bars 1, 2 and 4`. */
function inList(parts: readonly string[]): string {
  const last = parts.at(-1)!;
  return parts.length === 1 ? last : `${parts.slice(0, -1).join(', ')} and ${last}`;
}

import type { ChordSymbol, Key, Phrase } from '../phrase/types';
import { type Degree, degreeSemitones, formatDegree } from '../theory/degree';
import { formatKey } from '../theory/key';
import { analyse } from '../understand/analyse';
import { foldText } from './fold';
import { feelName, LEVEL_WORDS } from './level-and-feel';
import { techniquesIn } from './technique-words';

/**
 * Raised whenever `factsOf` says anything else of any phrase: what is kept of older facts is then
 * read anew.
 */
export const FACTS_VERSION = 1;

/** What is looked for, shown and ordered in a library, read once from a phrase. */
export interface PhraseFacts {
  readonly id: string;
  readonly title: string;
  readonly styleOf: string | null;
  readonly tags: readonly string[];
  readonly level: 1 | 2 | 3 | 4 | 5 | null;
  readonly key: Key;
  /** Each symbol of the lane once, in the order it first sounds; without N.C. */
  readonly chords: readonly ChordSymbol[];
  /**
   * Each degree that is heard, once, from R upwards: against the owner chord (D2), of a bend its
   * start and its target (D5). Against the key where there is no chord.
   */
  readonly degrees: readonly Degree[];
  /** Whether it is for a guitar of six strings; the rest is for those who play something else. */
  readonly guitar: boolean;
  /** Full bars. */
  readonly bars: number;
  /** ISO 8601 in UTC. */
  readonly created: string;
  readonly modified: string;
  /** Everything that words are looked for in, folded (`foldText`). */
  readonly text: string;
}

const known = new WeakMap<Phrase, PhraseFacts>();

/** The facts of a phrase; remembered as long as the phrase itself. */
export function factsOf(p: Phrase): PhraseFacts {
  const before = known.get(p);
  if (before !== undefined) return before;
  const facts = readFacts(p);
  known.set(p, facts);
  return facts;
}

function readFacts(p: Phrase): PhraseFacts {
  const { meta } = p;
  const chords = [...new Set(p.chords.flatMap((c) => (c.symbol === null ? [] : [c.symbol])))];
  const written = [meta.title, meta.styleOf, meta.source, meta.notes, ...meta.tags];
  const words = [
    ...written,
    p.instrument.name,
    formatKey(p.key),
    p.key.mode,
    ...chords,
    meta.level === undefined ? undefined : `level ${meta.level}, ${LEVEL_WORDS[meta.level - 1]}`,
    feelName(p.feel),
    ...techniquesIn(p),
  ];
  return {
    id: p.id,
    title: meta.title,
    styleOf: meta.styleOf ?? null,
    tags: meta.tags,
    level: meta.level ?? null,
    key: p.key,
    chords,
    degrees: degreesIn(p),
    guitar: p.instrument.tuning.length === 6,
    bars: p.bars.length,
    created: meta.created,
    modified: meta.modified,
    text: foldText(words.filter((w) => w !== undefined).join('\n')),
  };
}

function degreesIn(p: Phrase): readonly Degree[] {
  const found = new Map<string, Degree>();
  for (const r of analyse(p).readings) {
    for (const x of [r.start, r.heard]) {
      const d = x.chordDegree ?? x.keyDegree;
      found.set(formatDegree(d), d);
    }
  }
  return [...found.values()].sort(byHeight);
}

/** From R upwards; of two names for one semitone the lower number first (♯2 before ♭3). */
export function byHeight(a: Degree, b: Degree): number {
  return degreeSemitones(a) - degreeSemitones(b) || a.number - b.number;
}

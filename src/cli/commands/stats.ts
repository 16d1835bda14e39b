import { factsOf } from '../../core/library/facts';
import { feelName } from '../../core/library/level-and-feel';
import { AlikeIndex } from '../../core/search/alike/alike';
import { alikeLine } from '../../core/search/alike/line';
import { sheetOf } from '../../core/search/catalogue/sheet';
import { define } from '../../core/search/define/define';
import { TECHNIQUE_NAMES } from '../../core/search/query/technique-names';
import { formatDegree } from '../../core/theory/degree';
import { formatKey } from '../../core/theory/key';
import { apartOf } from '../../io/kinds/file-kinds';
import type { Thing } from '../../io/kinds/kind';
import { earlierWords, playedWords } from '../earlier-words';
import type { Shell } from '../shell';
import { count } from '../words';
import type { Collected } from './find';

/** Below it two phrases are called nearly the same: one or two notes of twenty differ. */
const NEARLY = 0.05;
/** Shorter lines are alike by chance. */
const LEAST_NOTES = 5;

type Counts = Readonly<Record<string, number>>;

/** What a collection holds, as `--json` tells it. */
interface Stats {
  readonly phrases: number;
  readonly notes: number;
  readonly bars: number;
  /** Earlier versions that files have with them. */
  readonly earlier: number;
  /** Phrases of which files say how they were played before they were written. */
  readonly played: number;
  readonly keys: Counts;
  readonly levels: Counts;
  readonly feels: Counts;
  /** Phrases that have it. */
  readonly degrees: Counts;
  readonly techniques: Counts;
  readonly tags: Counts;
  readonly alike: readonly {
    readonly titles: readonly [string, string];
    readonly unlikeness: number;
  }[];
}

/** Tells what files and folders hold, and what in them is nearly the same in whatever key. */
export function tellStats(
  shell: Shell,
  json: boolean,
  all: readonly Collected[],
  others: readonly Thing[] = [],
): void {
  const { versions, played } = apartOf(others);
  const stats: Stats = { ...statsOf(all), earlier: versions.length, played: played.length };
  if (json) {
    shell.print(`${JSON.stringify(stats, null, 2)}\n`);
    return;
  }
  const { phrases, notes, bars } = stats;
  if (phrases === 0) {
    shell.remark('No phrase was found there. Name files or folders that hold phrases.\n');
    return;
  }
  shell.print(`${count(phrases, 'phrase')}, ${count(bars, 'bar')}, ${count(notes, 'note')}\n`);
  if (versions.length > 0) shell.print(`with ${earlierWords(versions)}\n`);
  if (played.length > 0) shell.print(`with ${playedWords(played)}\n`);
  for (const name of ['keys', 'levels', 'feels', 'degrees', 'techniques', 'tags'] as const) {
    const items = Object.entries(stats[name]).map(([item, n]) => `${item} ${n}`);
    if (items.length > 0) shell.print(`${name}: ${items.join(', ')}\n`);
  }
  for (const { titles, unlikeness } of stats.alike) {
    const how = unlikeness === 0 ? 'the same in any key' : 'nearly the same';
    shell.print(`${how}: ${titles.map((t) => `'${t}'`).join(' and ')}\n`);
  }
}

function statsOf(all: readonly Collected[]): Omit<Stats, 'earlier' | 'played'> {
  const counts = {
    keys: new Map<string, number>(),
    levels: new Map<string, number>(),
    feels: new Map<string, number>(),
    degrees: new Map<string, number>(),
    techniques: new Map<string, number>(),
    tags: new Map<string, number>(),
  };
  const add = (to: Map<string, number>, name: string) => to.set(name, (to.get(name) ?? 0) + 1);
  let [notes, bars] = [0, 0];
  for (const { phrase: p } of all) {
    const facts = factsOf(p);
    notes += p.voices.flatMap((v) => v.events.flatMap((e) => e.notes)).length;
    bars += facts.bars;
    add(counts.keys, formatKey(p.key));
    if (facts.level !== null) add(counts.levels, String(facts.level));
    add(counts.feels, feelName(p.feel));
    for (const d of facts.degrees) add(counts.degrees, formatDegree(d));
    for (const t of new Set(facts.tags)) add(counts.tags, t);
    for (const technique of TECHNIQUE_NAMES) {
      if (define({ kind: 'with', technique }, p).holds) add(counts.techniques, technique);
    }
  }
  const sorted = (m: Map<string, number>): Counts =>
    Object.fromEntries([...m].sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1)));
  return {
    phrases: all.length,
    notes,
    bars,
    keys: sorted(counts.keys),
    levels: sorted(counts.levels),
    feels: sorted(counts.feels),
    degrees: sorted(counts.degrees),
    techniques: sorted(counts.techniques),
    tags: sorted(counts.tags),
    alike: alikeIn(all),
  };
}

function alikeIn(all: readonly Collected[]): Stats['alike'] {
  const index = new AlikeIndex();
  const lines = all.map((c) => alikeLine(sheetOf(c.phrase)));
  const found: Stats['alike'][number][] = [];
  for (const [i, line] of lines.entries()) {
    if (line.pitches.length < LEAST_NOTES) continue;
    for (const { number, unlikeness } of index.find(line, 3)) {
      if (unlikeness > NEARLY) continue;
      const titles = [all[number]!.phrase.meta.title, all[i]!.phrase.meta.title] as const;
      found.push({ titles, unlikeness });
    }
    index.put(i, line);
  }
  return found;
}

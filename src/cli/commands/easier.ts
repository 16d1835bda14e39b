import { type Playability, playabilityOf } from '../../core/ease/easier';
import type { EasierWay, HardSpot } from '../../core/ease/types';
import type { Phrase } from '../../core/phrase/types';
import { wrapText } from '../../io/text/char-width';
import { gainText, keptText, STEP_WORDS, spotPlace } from '../../io/text/playability';
import type { Source } from '../input';
import { listNotes } from '../note-list';
import type { Shell } from '../shell';

/** Prints what is hard in every phrase of a file, and easier ways to play it. */
export function printEasier(shell: Shell, source: Source, first: boolean): void {
  source.phrases.forEach((p, i) => {
    const found = playableOf(shell, source, p);
    if (found === null) return;
    if (!first || i > 0) shell.print('\n');
    const said = [
      headText(p, found),
      ...found.spots.flatMap((s) => spotLines(p, s)),
      ...placeLines(found),
    ];
    const text = said.flatMap((line) => wrapped(line, shell.width)).join('\n');
    shell.print(`${shell.ascii ? plainSigns(text) : text}\n`);
  });
}

/** Null where no reckoning is possible, which is said. */
function playableOf(shell: Shell, source: Source, p: Phrase): Playability | null {
  const found = playabilityOf(p);
  if (found !== null) return found;
  const fix = 'Look with the command check at what is in the way.';
  shell.refuse(source.path, [
    { message: `'${p.meta.title}' has no notes, or cannot be played where it lies`, fix },
  ]);
  return null;
}

function headText({ meta }: Phrase, { step, spots }: Playability): string {
  const level = meta.level === undefined ? '' : `; level ${meta.level} set by its teacher`;
  const none = spots.length === 0 ? ', nothing in it is hard' : '';
  return `${meta.title}: ${step} of 5 for the hands, ${STEP_WORDS[step]}${level}${none}`;
}

function spotLines(p: Phrase, { spot, ways }: Playability['spots'][number]): readonly string[] {
  const head = `${spotPlace(p, spot)}: ${spot.why.join('; ')}`;
  return ['', head, ...(ways.length === 0 ? ['  nothing easier was found'] : ways.map(wayLine))];
}

function wayLine(w: EasierWay): string {
  return `  - ${w.what} (${keptText(w)}; ${gainText(w)})`;
}

function placeLines({ elsewhere }: Playability): readonly string[] {
  return elsewhere.length === 0 ? [] : ['', 'Elsewhere on the neck', ...elsewhere.map(wayLine)];
}

/** A line to the width of the page; what goes on stands under its beginning. */
function wrapped(line: string, width: number): readonly string[] {
  if (line === '') return [''];
  const indent = /^ *(?:- )?/u.exec(line)![0].length;
  const head = line.slice(0, indent);
  return wrapText(line.slice(indent), width - indent).map((t, i) =>
    i === 0 ? head + t : ' '.repeat(indent) + t,
  );
}

function plainSigns(text: string): string {
  return text.replaceAll('𝄫', 'bb').replaceAll('♭', 'b').replaceAll('♯', '#').replaceAll('−', '-');
}

/** What is hard and what would be easier, as `positions --easier --json` lists it. */
export interface ListedPlayability {
  readonly file: string;
  readonly title: string;
  readonly step: Playability['step'];
  /** The level that its teacher has set, or null. */
  readonly level: number | null;
  readonly effort: number;
  readonly strokesPerSecond: number;
  readonly hard: readonly ListedSpot[];
  readonly elsewhere: readonly ListedWay[];
}

/** A spot as the core has it, its cost under the word that people read. */
type ListedSpot = Pick<HardSpot, 'bar' | 'beat' | 'onset' | 'why'> & {
  readonly effort: HardSpot['cost'];
  readonly easier: readonly ListedWay[];
};

type ListedWay = Omit<EasierWay, 'phrase' | 'cost'> & {
  readonly effort: EasierWay['cost'];
  readonly notes: ReturnType<typeof listNotes>;
};

/** What is hard in every phrase of a file, and what would be easier, for programs. */
export function listEasier(shell: Shell, source: Source): readonly ListedPlayability[] {
  return source.phrases.flatMap((p): readonly ListedPlayability[] => {
    const found = playableOf(shell, source, p);
    if (found === null) return [];
    return [
      {
        file: source.path,
        title: p.meta.title,
        step: found.step,
        level: p.meta.level ?? null,
        effort: hundredth(found.cost),
        strokesPerSecond: hundredth(found.pace),
        hard: found.spots.map(({ spot, ways }) => ({
          bar: spot.bar,
          beat: spot.beat,
          onset: spot.onset,
          effort: hundredth(spot.cost),
          why: spot.why,
          easier: ways.map(listedWay),
        })),
        elsewhere: found.elsewhere.map(listedWay),
      },
    ];
  });
}

function listedWay({ phrase, cost, pace, ...way }: EasierWay): ListedWay {
  const both = (x: EasierWay['cost']) => ({
    before: hundredth(x.before),
    after: hundredth(x.after),
  });
  return { ...way, effort: both(cost), pace: both(pace), notes: listNotes(phrase) };
}

/** One object for a single phrase, a list otherwise. */
export function easierText(all: readonly ListedPlayability[], single: boolean): string {
  const [only] = all;
  if (!single || all.length !== 1 || only === undefined) return `${JSON.stringify(all, null, 2)}\n`;
  const { file: _, title: __, ...body } = only;
  return `${JSON.stringify(body, null, 2)}\n`;
}

function hundredth(n: number): number {
  return Math.round(n * 100) / 100;
}

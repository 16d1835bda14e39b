import { wrapText } from '../../text/char-width';
import type { Signs } from '../../text/signs';

type Entry = readonly [sign: string | ((s: Signs) => string), meaning: string];

/**
 * Every sign with its meaning, in the order they are explained. Letters are the trade's usual ones;
 * where the trade has several or none the choice is ours.
 */
const ENTRIES = {
  hammer: ['h', 'hammer-on'],
  pull: ['p', 'pull-off'],
  slide: ['/ \\', 'slide into the note, not plucked again'],
  slidePlucked: ['S/ S\\', 'slide, then the note is plucked'],
  tap: ['T', 'tap'],
  grace: ['g', 'grace note'],
  slideIn: ['g9/10', 'slide in quickly from fret 9'],
  scoop: ['g/ g\\', 'slide in from somewhere below, above'],
  slideOut: ['9/ 9\\', 'slide off upwards, downwards'],
  bend: ['7b9', 'bend to the pitch of fret 9'],
  release: ['r7', 'release to the pitch of fret 7'],
  preBend: ['7pb9', 'bent before it is struck'],
  curl: [(s) => `7b${s.quarterTone}`, 'curl upwards by a quarter tone'],
  vibrato: ['~', 'vibrato'],
  wide: ['~~', 'wide vibrato'],
  trill: ['tr9', 'trill with fret 9'],
  dip: ['v2', 'dip with the bar by 2 semitones'],
  natural: ['<12>', 'natural harmonic'],
  artificial: ['5<17>', 'artificial harmonic: fret 5, touched at 17'],
  pinch: ['5<PH>', 'pinch harmonic'],
  ghost: ['(5)', 'ghost note'],
  dead: ['x', 'dead note'],
  scrape: ['x/ x\\', 'the pick scraped up, down the neck along the string'],
  ring: ['=', 'let ring'],
  rake: ['rake', 'the muted strings x before the note are raked through'],
  mute: ['PM', 'palm mute'],
  stroke: ['d u', 'down-stroke, up-stroke'],
  strum: ['D U', 'strum down, up'],
  accent: ['>', 'accent'],
  staccato: ['.', 'staccato'],
  tenuto: ['-', 'tenuto'],
  tremolo: ['/ // ///', 'tremolo picking in eighths, 16ths, 32nds'],
  values: ['w h q e s t', 'whole, half, quarter, eighth, 16th, 32nd'],
  shortValues: ['64 128', '64th, 128th'],
  dotted: ['q.', 'dotted'],
  rest: ['rq', 'rest of a quarter'],
  tied: ['+q', 'tied to the note before'],
  tuplet: ['3[ ]', 'triplet and the like'],
  ratio: ['7:3[ ]', 'seven in the time of three and the like'],
  repeat: ['|: :|', 'repeat'],
  target: [(s) => `4${s.arrow}5`, 'degree of the start and of the target'],
  anticipation: ['^', 'degree in the next chord, which the note anticipates'],
  later: ['(5)', 'degree of the held note in the new chord'],
} as const satisfies Readonly<Record<string, Entry>>;

export type LegendKey = keyof typeof ENTRIES;

/** The signs that a page uses. */
export type LegendKeys = Set<LegendKey>;

/** The legend in lines of at most `width` columns; `extra` for signs of the caller's own. */
export function legendLines(
  used: ReadonlySet<LegendKey>,
  signs: Signs,
  width: number,
  extra: readonly string[],
): string[] {
  const all: [string, Entry][] = Object.entries(ENTRIES);
  const known = all
    .filter(([key]) => used.has(key as LegendKey))
    .map(([, [sign, meaning]]) => `${typeof sign === 'string' ? sign : sign(signs)}  ${meaning}`);
  return inColumns([...extra, ...known], width);
}

/** Entries beside each other where the page is wide enough. */
function inColumns(entries: readonly string[], width: number): string[] {
  if (entries.length === 0) return [];
  const gap = 3;
  const indent = '  ';
  const room = width - indent.length;
  const lines: string[] = [];
  let line = '';
  for (const e of entries) {
    const next = line === '' ? e : `${line}${' '.repeat(gap)}${e}`;
    if (line !== '' && next.length > room) {
      lines.push(line);
      line = e;
    } else line = next;
  }
  lines.push(line);
  return lines.flatMap((l) =>
    l.length <= room ? [indent + l] : wrapText(l, room).map((x) => indent + x),
  );
}

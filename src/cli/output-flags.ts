import { BACKING_FEELS } from '../core/backing/types';
import { cycleOf } from '../core/practice/rounds';
import { fail, ok, type Result } from '../core/result';
import { TONES } from '../core/sound/tone';
import { DEGREE_VIEWS } from '../publish/degree-labels';
import { type Look, SPEED } from '../publish/format';
import { formatRow, PUBLISH_FORMATS, type PublishFormat } from '../publish/formats';
import { readChoice, readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

/** Where results go, and whether they may replace what is there. */
export interface OutputOptions {
  readonly out: string;
  readonly force: boolean;
  /** Of files in a folder. */
  readonly format?: PublishFormat;
  /** Every round a file of its own. */
  readonly apart: boolean;
  /** File with a rhythm that the band comps with. */
  readonly comping?: string;
  /** File with a rhythm that is written out beneath. */
  readonly beneath?: string;
  /** What was said of how it is to look. */
  readonly look: Partial<Look>;
}

/** The options of every command that writes files. */
export const OUTPUT: readonly Flag[] = [
  { name: 'out', short: 'o', takes: 'value' },
  { name: 'format', takes: 'value' },
  { name: 'force', takes: 'nothing' },
  { name: 'staves', takes: 'value' },
  { name: 'degrees', takes: 'value' },
  { name: 'legend', takes: 'value' },
  { name: 'speed', takes: 'value' },
  { name: 'swing', takes: 'value' },
  { name: 'tone', takes: 'value' },
  { name: 'backing', takes: 'value' },
  { name: 'seed', takes: 'value' },
  { name: 'comping', takes: 'value' },
  { name: 'beneath', takes: 'value' },
  { name: 'rounds', takes: 'value' },
  { name: 'apart', takes: 'nothing' },
  { name: 'bits', takes: 'value' },
];

/** The endings of the files that can be written here. */
export const ENDINGS = oneOf(
  PUBLISH_FORMATS.filter((f) => formatRow(f).made === 'anywhere').map((f) => `.${f}`),
);

/** `a, b or c` */
function oneOf(words: readonly string[]): string {
  return words.join(', ').replace(/, ([^,]*)$/u, ' or $1');
}

/**
 * Reads them; null where nothing is to be written.
 * @param own Options of the same name that the command means for itself: `--seed` of a solo is no band's.
 */
export function readOutput(all: Flags, own: readonly string[] = []): Result<OutputOptions | null> {
  const flags: Flags = {
    ...all,
    values: new Map([...all.values].filter(([name]) => !own.includes(name))),
  };
  const out = flags.values.get('out');
  const format = readChoice(flags, 'format', PUBLISH_FORMATS);
  if (!format.ok) return format;
  const look = readLook(flags);
  if (!look.ok) return look;
  if (out === undefined) {
    const lone = OUTPUT.find((f) => flags.values.has(f.name));
    return lone === undefined
      ? ok(null)
      : fail({ message: `--${lone.name} goes with -o only`, fix: 'Say where to write, with -o.' });
  }
  if (out === '') return fail({ message: 'the option -o needs a name' });
  const force = flags.values.has('force');
  const apart = flags.values.has('apart');
  if (apart && look.value.rounds === undefined)
    return fail({
      message: '--apart goes with --rounds only',
      fix: 'Say which keys or chords, with --rounds.',
    });
  const comping = flags.values.get('comping');
  if (comping !== undefined && look.value.backing === undefined)
    return fail({
      message: '--comping goes with --backing only',
      fix: 'Say how the band plays, with --backing.',
    });
  const beneath = flags.values.get('beneath');
  const given = {
    ...(format.value === undefined ? {} : { format: format.value }),
    ...(comping === undefined ? {} : { comping }),
    ...(beneath === undefined ? {} : { beneath }),
  };
  return ok({ out, force, apart, look: look.value, ...given });
}

function readLook(flags: Flags): Result<Partial<Look>> {
  const staves = readChoice(flags, 'staves', STAVES);
  const degrees = readChoice(flags, 'degrees', DEGREE_VIEWS);
  const legend = readChoice(flags, 'legend', ['on', 'off']);
  if (!staves.ok) return staves;
  if (!degrees.ok) return degrees;
  if (!legend.ok) return legend;
  const speed = readWhole(flags, 'speed', SPEED.least, SPEED.most);
  const swing = readChoice(flags, 'swing', ['heard', 'written'] as const);
  const tone = readChoice(flags, 'tone', TONES);
  if (!speed.ok) return speed;
  if (!swing.ok) return swing;
  const backing = readChoice(flags, 'backing', BACKING_FEELS);
  const seed = readWhole(flags, 'seed', 0, MOST_SEED);
  const rounds = flags.values.get('rounds');
  const bits = readChoice(flags, 'bits', ['16', '24'] as const);
  if (!bits.ok) return bits;
  if (!tone.ok) return tone;
  if (!backing.ok) return backing;
  if (!seed.ok) return seed;
  return ok({
    ...(staves.value === undefined ? {} : { staves: staves.value }),
    ...(degrees.value === undefined ? {} : { degrees: degrees.value }),
    ...(legend.value === undefined ? {} : { legend: legend.value === 'on' }),
    ...(speed.value === undefined ? {} : { speed: speed.value }),
    ...(swing.value === undefined ? {} : { swing: swing.value }),
    ...(tone.value === undefined ? {} : { tone: tone.value }),
    ...(backing.value === undefined ? {} : { backing: backing.value }),
    ...(seed.value === undefined ? {} : { seed: seed.value }),
    ...(bits.value === undefined ? {} : { bits: bits.value === '24' ? 24 : 16 }),
    ...(rounds === undefined ? {} : { rounds: cycleOf(rounds) }),
  });
}

/** Bands are numbered up to this. */
const MOST_SEED = 1_000_000;

const STAVES: readonly Look['staves'][] = ['both', 'staff', 'tab'];

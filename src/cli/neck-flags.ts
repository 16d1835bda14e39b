import { fail, ok, type Result } from '../core/result';
import { type Degree, parseDegree } from '../core/theory/degree';
import { SCALE_NAMES, scaleNamed } from '../core/theory/scales';
import { readChoice } from './flag-values';
import type { Flag, Flags } from './flags';

/** What `neck` is asked for; chords and roots are read again in the key of each phrase (D6). */
export interface NeckOptions {
  readonly out: string;
  readonly force: boolean;
  readonly show: 'phrase' | 'chord' | 'scale';
  /** Chords as they were typed; those of the lane when absent. */
  readonly chords?: readonly string[];
  /** The name of a scale, with a root in front where one was given; the key's own when absent. */
  readonly scale?: string;
  /** Degrees of one's own, over the tonic. */
  readonly own?: readonly Degree[];
  readonly degrees: 'chord' | 'key';
  readonly frets?: readonly [number, number];
  readonly leftHanded: boolean;
}

/** The options of `neck` but for help and what is read. */
export const NECK: readonly Flag[] = [
  { name: 'out', short: 'o', takes: 'value' },
  { name: 'force', takes: 'nothing' },
  { name: 'show', takes: 'value' },
  { name: 'chord', takes: 'value' },
  { name: 'scale', takes: 'value' },
  { name: 'own', takes: 'value' },
  { name: 'degrees', takes: 'value' },
  { name: 'frets', takes: 'value' },
  { name: 'left-handed', takes: 'nothing' },
];

const SHOWS = ['phrase', 'chord', 'scale'] as const;
const MOST_FRETS = 48;

export function readNeckOptions(flags: Flags): Result<NeckOptions> {
  const { values } = flags;
  const show = readChoice(flags, 'show', SHOWS);
  if (!show.ok) return show;
  const degrees = readChoice(flags, 'degrees', ['chord', 'key'] as const);
  if (!degrees.ok) return degrees;
  const out = values.get('out');
  if (out === undefined || out === '') {
    return fail({ message: 'where to write is missing', fix: 'Add -o and a name with .svg.' });
  }
  const frets = readFrets(values.get('frets'));
  if (!frets.ok) return frets;
  const own = readOwn(values.get('own'));
  if (!own.ok) return own;
  const scale = values.get('scale');
  if (scale !== undefined && own.value !== undefined) {
    return fail({ message: '--scale and --own are two answers to one question' });
  }
  if (scale !== undefined && scaleOf(scale) === null) {
    return fail({ message: `there is no scale '${scale}'`, fix: `Use ${SCALE_NAMES.join(', ')}.` });
  }
  const chords = values
    .get('chord')
    ?.split(',')
    .map((c) => c.trim());
  const implied = chords !== undefined ? 'chord' : (scale ?? own.value) ? 'scale' : 'phrase';
  const asked = show.value ?? implied;
  if (asked !== implied && implied !== 'phrase') {
    return fail({
      message: `--show ${asked} does not go with --${chords ? 'chord' : scale ? 'scale' : 'own'}`,
    });
  }
  return ok({
    out,
    force: values.has('force'),
    show: asked,
    degrees: degrees.value ?? 'chord',
    leftHanded: values.has('left-handed'),
    ...(chords === undefined ? {} : { chords }),
    ...(scale === undefined ? {} : { scale }),
    ...(own.value === undefined ? {} : { own: own.value }),
    ...(frets.value === undefined ? {} : { frets: frets.value }),
  });
}

/** `G mixolydian`, `minor pentatonic`: the root where one is named, and the scale. */
export function scaleOf(text: string) {
  const plain = scaleNamed(text);
  if (plain !== null) return { root: null, scale: plain };
  const cut = /^\s*(\S+)\s+(.+)$/u.exec(text);
  const scale = cut === null ? null : scaleNamed(cut[2]!);
  return scale === null ? null : { root: cut![1]!, scale };
}

function readFrets(text: string | undefined): Result<readonly [number, number] | undefined> {
  if (text === undefined) return ok(undefined);
  const m = /^(\d{1,2})[-–](\d{1,2})$/u.exec(text.trim());
  const [from, to] = m === null ? [1, 0] : [Number(m[1]), Number(m[2])];
  if (from > to || to > MOST_FRETS) {
    return fail({
      message: `'${text}' is no value of --frets`,
      fix: 'Write two frets, as in 5-12.',
    });
  }
  return ok([from, to]);
}

function readOwn(text: string | undefined): Result<readonly Degree[] | undefined> {
  if (text === undefined) return ok(undefined);
  const degrees: Degree[] = [];
  for (const word of text.trim().split(/[\s,]+/u)) {
    const d = parseDegree(word);
    if (d === null) {
      return fail({
        message: `in --own '${text}': '${word}' is no degree`,
        fix: 'Write degrees as R b3 4 5 b7.',
      });
    }
    degrees.push(d);
  }
  return ok(degrees);
}

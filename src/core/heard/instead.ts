import type { HeardAttack, HeardNote } from './types';

/** What a note that was heard may be instead. */
export type Instead =
  /** Another pitch, so many semitones from the one that was heard. */
  | { readonly kind: 'pitch'; readonly by: number }
  /** The same pitch on another string, 1 the highest. */
  | { readonly kind: 'string'; readonly string: number }
  | { readonly kind: 'attack'; readonly attack: HeardAttack }
  /** Bent where none was heard, or not bent. */
  | { readonly kind: 'bend'; readonly bends: boolean }
  /** Nothing that was played. */
  | { readonly kind: 'absent' };

/** How often notes that were heard unsurely were this instead, where as much was heard of it: 0 to 1. */
export interface Guess {
  readonly instead: Instead;
  readonly share: number;
}

/**
 * How often it is so: a logistic curve of what was heard, `slope` for each factor e of it. Fitted to
 * notes of renderings that are known; which, and how well it says so of others: `sound/capture/README.md`.
 */
const CURVES = {
  pitch: { base: 0.1, slope: 1.2 },
  string: { base: -1.6, slope: 1.4 },
  attack: { base: -3.4, slope: 1.1 },
  bend: { base: -3.4, slope: 1 },
  // Between what our own player shows (0.12 of what is unsure) and how sure notes are of guitars that were never heard.
  absent: { base: -1.3, slope: 0.5 },
} as const satisfies Readonly<Record<Instead['kind'], { base: number; slope: number }>>;

const ATTACKS: readonly HeardAttack[] = ['pluck', 'hammer-on', 'pull-off', 'slide'];
/** What was not heard at all still has so much, so that it comes last and can be chosen. */
const LEAST = 0.003;
/** Pitches that are offered of a note of which nothing else is known, in semitones. */
const USUAL = [-12, 12, -1, 1] as const;

/**
 * What a note may be instead, the likeliest first, by what the model heard at its moment.
 * @param n As it was heard.
 * @param string On which it is written, where shares of strings go with the instrument; else null.
 */
export function guessesOf(n: HeardNote, string: number | null): readonly Guess[] {
  const evidence = evidenceOf(n, string);
  return evidence
    .map(({ instead, heard }) => {
      const { base, slope } = CURVES[instead.kind];
      return { instead, share: 1 / (1 + Math.exp(-base - slope * heard)) };
    })
    .sort((a, b) => b.share - a.share);
}

/** What was heard of each, as a logarithm: of the share it has, or of its share beside that of what was written. */
export function evidenceOf(
  n: HeardNote,
  string: number | null,
): readonly { readonly instead: Instead; readonly heard: number }[] {
  const { others, strings, confidence } = n;
  const pitches = others?.pitches ?? USUAL.map((by) => ({ by, begins: 0, sounds: 0 }));
  const attacks = others?.attacks ?? ATTACKS.map((a) => (a === n.attack ? 1 : 0));
  const own = attacks[ATTACKS.indexOf(n.attack)] ?? 0;
  const bends = others?.bends ?? 0.5;
  const here = string === null ? undefined : strings?.[string - 1];
  return [
    ...pitches.map(({ by, begins }) => ({
      instead: { kind: 'pitch', by } as const,
      heard: log(begins),
    })),
    ...(here === undefined ? [] : (strings ?? [])).flatMap((share, i) =>
      i + 1 === string
        ? []
        : [
            {
              instead: { kind: 'string', string: i + 1 } as const,
              heard: log(share) - log(here ?? 0),
            },
          ],
    ),
    ...ATTACKS.flatMap((attack, i) =>
      attack === n.attack
        ? []
        : [
            {
              instead: { kind: 'attack', attack } as const,
              heard: log(attacks[i] ?? 0) - log(own),
            },
          ],
    ),
    {
      instead: { kind: 'bend', bends: n.bend === undefined },
      heard: (n.bend === undefined ? 1 : -1) * (log(bends) - log(1 - bends)),
    },
    { instead: { kind: 'absent' }, heard: log(1 - confidence) - log(confidence) },
  ];
}

const log = (share: number) => Math.log(Math.max(LEAST, share));

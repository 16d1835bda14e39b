import type { Note, PhraseEvent } from '../../phrase/types';

/**
 * What is done with a note, by the names under which it is looked for, with its definition. At most
 * 32, since the index keeps them as the bits of one number, in this order; a change of the order is
 * a new version of the index.
 */
const DEFINED = {
  bend: (n) => n.kind === 'pitched' && n.bend !== undefined && n.bend.shape !== 'curl',
  'pre-bend': (n) => shapeOf(n).startsWith('pre-bend'),
  release: (n) => shapeOf(n).endsWith('release'),
  curl: (n) => shapeOf(n) === 'curl',
  'hammer-on': (n) => attackOf(n) === 'hammer-on',
  'pull-off': (n) => attackOf(n) === 'pull-off',
  slide: (n) =>
    attackOf(n).startsWith('slide') ||
    (n.kind === 'pitched' && (n.slideIn !== undefined || n.slideOut !== undefined)),
  'slide-in': (n) => n.kind === 'pitched' && n.slideIn !== undefined,
  'slide-off': (n) => n.kind === 'pitched' && n.slideOut !== undefined,
  tap: (n) => attackOf(n) === 'tap',
  vibrato: (n) => n.kind === 'pitched' && n.vibrato !== undefined,
  'wide-vibrato': (n) => n.kind === 'pitched' && n.vibrato === 'wide',
  trill: (n) => n.kind === 'pitched' && n.trill !== undefined,
  harmonic: (n) => n.kind === 'pitched' && n.harmonic !== undefined,
  ghost: (n) => n.kind === 'pitched' && n.ghost === true,
  dead: (n) => n.kind === 'dead',
  'let-ring': (n) => n.kind === 'pitched' && n.letRing === true,
  'palm-mute': (_, e) => e.palmMute === true,
  staccato: (_, e) => e.staccato === true,
  accent: (_, e) => e.accent === true,
  tenuto: (_, e) => e.tenuto === true,
  tremolo: (_, e) => e.tremolo !== undefined,
  rake: (_, e) => e.rake !== undefined,
  strum: (_, e) => e.strum !== undefined,
  grace: (_, e) => e.graces !== undefined,
  'double-stop': (_, e) => e.notes.length === 2,
  'three-strings': (_, e) => e.notes.length >= 3,
  scrape: (n) => n.kind === 'dead' && n.scrape !== undefined,
  dip: (n) => n.kind === 'pitched' && n.barDip !== undefined,
  'down-stroke': (_, e) => e.stroke === 'down',
  'up-stroke': (_, e) => e.stroke === 'up',
  open: (n) => n.kind === 'pitched' && n.fret === 0,
} as const satisfies Readonly<Record<string, (n: Note, e: PhraseEvent) => boolean>>;

export type TechniqueName = keyof typeof DEFINED;

export const TECHNIQUE_NAMES = Object.keys(DEFINED) as readonly TechniqueName[];

/** Whether it is done with a note of an event; what is done with the event is done with its notes. */
export function hasTechnique(name: TechniqueName, note: Note, event: PhraseEvent): boolean {
  return DEFINED[name](note, event);
}

function shapeOf(n: Note): string {
  return n.kind === 'pitched' ? (n.bend?.shape ?? '') : '';
}

function attackOf(n: Note): string {
  return n.kind === 'pitched' ? (n.attack ?? '') : '';
}

import type { DeadNote, Note, Phrase, PhraseEvent, PitchedNote } from '../../core/phrase/types';
import type { TechniqueField } from '../../core/technique/fields';
import type { Fragment } from '../ink/pen';
import {
  centredGlyph,
  centredText,
  drawBarDip,
  drawStroke,
  drawTrill,
  drawVibrato,
} from '../signs/small';
import { drawSpan } from '../signs/spans';
import {
  arrow,
  bentFret,
  framed,
  fret,
  graced,
  onString,
  overFret,
  scraped,
  slope,
  slur,
  smallHead,
  stroked,
} from './samples';

/** A sign of the legend: when it is needed, what it means, how it looks. */
export interface Entry {
  readonly sign: string;
  readonly words: string;
  readonly used: (p: Phrase) => boolean;
  readonly draw: () => Fragment;
  /** Printed only with a tablature or a staff; with either when absent. */
  readonly only?: 'tab' | 'staff';
}

function anyEvent(p: Phrase, test: (e: PhraseEvent) => boolean): boolean {
  return p.voices.some((v) => v.events.some(test));
}

function anyNote(p: Phrase, test: (n: Note) => boolean): boolean {
  return anyEvent(p, (e) => e.notes.some(test));
}

const note =
  (test: (n: PitchedNote) => boolean): Entry['used'] =>
  (p) =>
    anyNote(p, (n) => n.kind === 'pitched' && test(n));

const dead =
  (test: (n: DeadNote) => boolean): Entry['used'] =>
  (p) =>
    anyNote(p, (n) => n.kind === 'dead' && test(n));

const event =
  (test: (e: PhraseEvent) => boolean): Entry['used'] =>
  (p) =>
    anyEvent(p, test);

/** Some of what is struck together is shaken and some not, or otherwise. */
function shakesSome({ notes }: PhraseEvent): boolean {
  const shaken = notes.flatMap((n) => (n.kind === 'pitched' ? [n.vibrato] : []));
  return shaken.some((v) => v !== shaken[0]);
}

/**
 * The signs of every technique, and of dead notes, that a player may want explained, in the order in
 * which the legend lists them. File whole at 394: one exhaustive table, which a new technique does not
 * compile without.
 */
const SIGNS: Readonly<Record<TechniqueField | 'dead', readonly Entry[]>> = {
  bend: [
    {
      sign: 'bend',
      words: 'bend up by the width given in whole tones',
      used: note((n) => n.bend?.shape === 'bend'),
      draw: () => bentFret('bend'),
      only: 'tab',
    },
    {
      sign: 'bend-release',
      words: 'bend up and let down again',
      used: note((n) => n.bend?.shape === 'bend-release'),
      draw: () => bentFret('bend-release'),
      only: 'tab',
    },
    {
      sign: 'pre-bend',
      words: 'bend first, then strike',
      used: note((n) => n.bend?.shape === 'pre-bend'),
      draw: () => bentFret('pre-bend'),
      only: 'tab',
    },
    {
      sign: 'pre-bend-release',
      words: 'bend first, strike, let down',
      used: note((n) => n.bend?.shape === 'pre-bend-release'),
      draw: () => bentFret('pre-bend-release'),
      only: 'tab',
    },
    {
      sign: 'curl',
      words: 'curl: push up by about a quarter tone',
      used: note((n) => n.bend?.shape === 'curl'),
      draw: () => bentFret('curl'),
      only: 'tab',
    },
    {
      sign: 'target',
      words: 'small head: the pitch that a bend reaches',
      used: note((n) => n.bend !== undefined && n.bend.shape !== 'curl'),
      draw: smallHead,
      only: 'staff',
    },
  ],
  slideIn: [
    {
      sign: 'slide-in',
      words: 'slide in from the small note',
      used: note((n) => n.slideIn?.kind === 'interval'),
      draw: () => graced('line'),
    },
    {
      sign: 'scoop',
      words: 'slide in from somewhere below',
      used: note((n) => n.slideIn?.kind === 'indefinite' && n.slideIn.from === 'below'),
      draw: () => stroked(10, 3.5, -3.5),
    },
    {
      sign: 'plop',
      words: 'slide in from somewhere above',
      used: note((n) => n.slideIn?.kind === 'indefinite' && n.slideIn.from === 'above'),
      draw: () => stroked(10, -3.5, 3.5),
    },
  ],
  slideOut: [
    {
      sign: 'slide-out-up',
      words: 'slide off upwards',
      used: note((n) => n.slideOut === 'up'),
      draw: () => stroked(34, 3.5, -3.5),
    },
    {
      sign: 'slide-out-down',
      words: 'slide off downwards',
      used: note((n) => n.slideOut === 'down'),
      draw: () => stroked(34, -3.5, 3.5),
    },
  ],
  attack: [
    {
      sign: 'slide',
      words: 'slide, only the first note is struck',
      used: note((n) => n.attack === 'slide'),
      draw: slope(3, -3, true),
    },
    {
      sign: 'slide-plucked',
      words: 'slide and strike again',
      used: note((n) => n.attack === 'slide-plucked'),
      draw: slope(3, -3, false),
    },
    {
      sign: 'hammer-on',
      words: 'hammer-on',
      used: note((n) => n.attack === 'hammer-on'),
      draw: slur('H'),
    },
    {
      sign: 'pull-off',
      words: 'pull-off',
      used: note((n) => n.attack === 'pull-off'),
      draw: slur('P'),
    },
    {
      sign: 'tap',
      words: 'tap with the picking hand',
      used: note((n) => n.attack === 'tap'),
      draw: () => overFret(centredText('letter', 'T', 'text', 11)),
    },
  ],
  graces: [
    {
      sign: 'grace',
      words: 'grace note, played just before',
      used: event((e) => e.graces !== undefined),
      draw: () => graced('arc'),
    },
  ],
  trill: [
    {
      sign: 'trill',
      words: 'trill with the fret in brackets',
      used: note((n) => n.trill !== undefined),
      draw: () => drawTrill(40),
    },
  ],
  vibrato: [
    {
      sign: 'vibrato',
      words: 'vibrato',
      used: note((n) => n.vibrato === 'narrow'),
      draw: () => drawVibrato('narrow', 36),
    },
    {
      sign: 'wide-vibrato',
      words: 'wide vibrato',
      used: note((n) => n.vibrato === 'wide'),
      draw: () => drawVibrato('wide', 36),
    },
    {
      sign: 'vibrato-of-string',
      words: 'vibrato of the string with this number alone',
      used: event(shakesSome),
      draw: () => drawVibrato('narrow', 44, [3]),
    },
  ],
  barDip: [
    {
      sign: 'bar-dip',
      words: 'dip with the vibrato bar, in whole tones',
      used: note((n) => n.barDip !== undefined),
      draw: () => drawBarDip(1),
    },
  ],
  harmonic: [
    {
      sign: 'natural-harmonic',
      words: 'natural harmonic at this fret',
      used: note((n) => n.harmonic?.kind === 'natural'),
      draw: () => framed('‹', '›'),
    },
    {
      sign: 'artificial-harmonic',
      words: 'artificial harmonic, touched at the second fret',
      used: note((n) => n.harmonic?.kind === 'artificial'),
      draw: () => overFret(centredText('harmonic', 'A.H.', 'text', 10), '5', 24),
    },
    {
      sign: 'pinch-harmonic',
      words: 'pinch harmonic and how high it sounds',
      used: note((n) => n.harmonic?.kind === 'pinch'),
      draw: () => overFret(centredText('harmonic', 'P.H.', 'text', 10), '5', 24),
    },
  ],
  dead: [
    {
      sign: 'dead',
      words: 'dead note: struck, but without pitch',
      used: (p) => anyNote(p, (n) => n.kind === 'dead'),
      draw: () =>
        onString((pen) => {
          fret(pen, '×', 27);
        }),
    },
  ],
  scrape: [
    {
      sign: 'pick-scrape-down',
      words: 'the edge of the pick is scraped down the neck',
      used: dead((n) => n.scrape === 'down'),
      draw: () => scraped(-3.5, 3.5),
    },
    {
      sign: 'pick-scrape-up',
      words: 'the edge of the pick is scraped up the neck',
      used: dead((n) => n.scrape === 'up'),
      draw: () => scraped(3.5, -3.5),
    },
  ],
  ghost: [
    {
      sign: 'ghost',
      words: 'ghost note: hardly heard',
      used: note((n) => n.ghost === true),
      draw: () => framed('(', ')'),
    },
  ],
  rake: [
    {
      sign: 'rake',
      words: 'rake over muted strings',
      used: event((e) => e.rake !== undefined),
      draw: () => drawSpan('rake', 0, false),
    },
  ],
  palmMute: [
    {
      sign: 'palm-mute',
      words: 'palm mute for as long as the line',
      used: event((e) => e.palmMute === true),
      draw: () => drawSpan('P.M.', 50, true),
    },
  ],
  letRing: [
    {
      sign: 'let-ring',
      words: 'let ring',
      used: note((n) => n.letRing === true),
      draw: () => drawSpan('let ring', 60, true),
    },
  ],
  stroke: [
    {
      sign: 'down-stroke',
      words: 'down-stroke',
      used: event((e) => e.stroke === 'down'),
      draw: () => drawStroke('down'),
    },
    {
      sign: 'up-stroke',
      words: 'up-stroke',
      used: event((e) => e.stroke === 'up'),
      draw: () => drawStroke('up'),
    },
  ],
  strum: [
    {
      sign: 'down-strum',
      words: 'strum from the lowest string up',
      used: event((e) => e.strum === 'down'),
      draw: () => arrow(true),
    },
    {
      sign: 'up-strum',
      words: 'strum from the first string down',
      used: event((e) => e.strum === 'up'),
      draw: () => arrow(false),
    },
  ],
  tremolo: [
    {
      sign: 'tremolo',
      words: 'tremolo picking',
      used: event((e) => e.tremolo !== undefined),
      draw: () => centredGlyph('tremolo', 'tremolo3', 0.8),
    },
  ],
  accent: [
    {
      sign: 'accent',
      words: 'accent',
      used: event((e) => e.accent === true),
      draw: () => centredGlyph('articulation', 'articAccentAbove'),
    },
  ],
  staccato: [
    {
      sign: 'staccato',
      words: 'short',
      used: event((e) => e.staccato === true),
      draw: () => centredGlyph('articulation', 'articStaccatoAbove'),
    },
  ],
  tenuto: [
    {
      sign: 'tenuto',
      words: 'held for its full length',
      used: event((e) => e.tenuto === true),
      draw: () => centredGlyph('articulation', 'articTenutoAbove'),
    },
  ],
  finger: [
    {
      sign: 'finger',
      words: '1 to 4, T: fingers of the fretting hand',
      used: note((n) => n.finger !== undefined),
      draw: () => centredText('finger', '1', 'bold', 11),
    },
  ],
  pluck: [
    {
      sign: 'pluck',
      words: 'p i m a c: fingers of the picking hand',
      used: note((n) => n.pluck !== undefined),
      draw: () => centredText('pluck', 'p', 'italic', 13),
    },
  ],
};

export const ENTRIES: readonly Entry[] = Object.values(SIGNS).flat();

/** Depends on what is asked of the page and not on the phrase. */
export const CHANGED: Omit<Entry, 'used'> = {
  sign: 'changed',
  words: 'changed against the original',
  draw: () =>
    onString((pen) => {
      const [x0, x1] = fret(pen, '7', 27);
      pen.sign('changed', 'dw-changed-mark');
      pen.frame({ x0: x0 - 2.2, x1: x1 + 2.2, y0: -6.2, y1: 6.2 }, 3, 1);
    }),
};

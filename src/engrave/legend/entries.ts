import type { DeadNote, Note, Phrase, PhraseEvent, PitchedNote } from '../../core/phrase/types';
import type { TechniqueField } from '../../core/technique/fields';
import { type Fragment, Pen } from '../ink/pen';
import {
  centredGlyph,
  centredText,
  drawBarDip,
  drawStroke,
  drawTrill,
  drawVibrato,
} from '../signs/small';
import { drawSpan } from '../signs/spans';
import { bentFret, fret, onString, overFret, twoFrets } from './samples';

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

function slur(letter: string): () => Fragment {
  return () =>
    twoFrets('5', '7', (pen, from, to) => {
      pen.sign('tab-slur').arc(from, -4.5, to, -4.5, -3.5, 1.5);
      pen.place(centredText('letter', letter, 'text', 9.5), (from + to) / 2, -11);
    });
}

function slope(y0: number, y1: number, arc: boolean): () => Fragment {
  return () =>
    twoFrets('5', '7', (pen, from, to) => {
      pen.sign('slide').line(from + 1, y0, to - 1, y1, 1.2);
      if (arc) pen.sign('tab-slur').arc(from, -4.5, to, -4.5, -3.5, 1.5);
    });
}

function stroked(x0: number, y0: number, y1: number): Fragment {
  return onString((pen) => {
    fret(pen, '7', 27);
    pen.sign('slide-in').line(x0, y0, x0 + 10, y1, 1.2);
  });
}

function scraped(y0: number, y1: number): Fragment {
  return onString((pen) => {
    fret(pen, '×', 20);
    pen.sign('slide-out').line(27, y0, 45, y1, 1.2);
    pen.place(centredText('letter', 'P.S.', 'text', 10), 20, -9);
  });
}

function framed(left: string, right: string): Fragment {
  return onString((pen) => {
    const [x0, x1] = fret(pen, '12', 27);
    fret(pen, left, x0 - 4);
    fret(pen, right, x1 + 4);
  });
}

function graced(join: 'arc' | 'line'): Fragment {
  return onString((pen) => {
    const [, from] = fret(pen, '6', 15, 9.5);
    const [to] = fret(pen, '7', 32);
    if (join === 'line') pen.sign('slide').line(from + 1, 2.5, to - 1, -2.5, 1.2);
    else pen.sign('tab-slur').arc(from, -4, to, -5, -2.4, 1.4);
  });
}

function arrow(up: boolean): Fragment {
  const pen = new Pen();
  pen.sign('strum').line(20, up ? 12 : -12, 20, up ? -6 : 6, 1.3);
  pen.arrowhead(20, up ? -12 : 12, up ? 'up' : 'down', 7);
  for (const [i, y] of [-8, 0, 8].entries())
    pen.sign('fret').text(String(5 + (i % 2)), 26, y + 4, 'text', 11);
  return pen.done();
}

function smallHead(): Fragment {
  const pen = new Pen();
  pen.sign('notehead').glyph('noteheadBlack', 4, 4);
  pen.sign('bend-angle').line(18, 3, 29, -3, 1);
  pen.arrowhead(31, -4, 'right', 5.5);
  pen.sign('target').glyph('noteheadBlack', 34, -5, 0.66);
  return pen.done();
}

/**
 * The signs of every technique, and of dead notes, that a player may want explained, in the order in
 * which the legend lists them.
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

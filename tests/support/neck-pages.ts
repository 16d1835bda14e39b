import { handInBars, shapeSpan } from '../../src/core/neck/hand-bars';
import { degreesOnNeck, phraseOnNeck } from '../../src/core/neck/on-neck';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { pitchOfMidi } from '../../src/core/theory/pitch';
import { scaleNamed } from '../../src/core/theory/scales';
import { analyse } from '../../src/core/understand/analyse';
import { drawNeck } from '../../src/engrave/neck/picture';
import { drawUpright } from '../../src/engrave/neck/upright';
import { build } from './build';

/** Pictures of necks that were looked at and kept, to be the same in Node and in the browser. */
export const NECK_PAGES: readonly { readonly name: string; readonly svg: () => string }[] = [
  {
    name: 'phrase-with-hand-and-shape',
    svg: () => {
      const p = build('e 3/5 3/7(h) 2/5 2/8(bend:A4) 2/5 3/7 h 1/3 3/5', { chords: 'Am7 | D7' });
      return drawNeck({
        instrument: p.instrument,
        content: phraseOnNeck(p, analyse(p), 'chord'),
        way: true,
        hand: handInBars(p),
        shape: shapeSpan(p),
        title: 'Am7, D7',
      }).svg;
    },
  },
  {
    name: 'scale-left-handed-ukulele-with-capo',
    svg: () => {
      const tuning = [69, 64, 60, 67].map((m) => pitchOfMidi(m, 'flat'));
      const instrument = { ...STANDARD_GUITAR, tuning, frets: 15, scaleLength: 380, capo: 2 };
      const { degrees } = scaleNamed('blues')!;
      const frets = [0, 12] as const;
      const content = degreesOnNeck(instrument, { letter: 'D', alter: 0 }, degrees, frets);
      return drawNeck({ instrument, content, frets, leftHanded: true, title: 'D blues' }).svg;
    },
  },
  {
    name: 'upright-c',
    svg: () =>
      drawUpright({
        instrument: STANDARD_GUITAR,
        tones: [
          { string: 5, fret: 3, degree: { number: 1, alter: 0 }, finger: 3 },
          { string: 4, fret: 2, degree: { number: 3, alter: 0 }, finger: 2 },
          { string: 3, fret: 0, degree: { number: 5, alter: 0 } },
          { string: 2, fret: 1, degree: { number: 1, alter: 0 }, finger: 1 },
          { string: 1, fret: 0, degree: { number: 3, alter: 0 } },
        ],
      }).svg,
  },
];

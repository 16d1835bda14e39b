import { attribute, ownText, readNumber, type XmlElement } from '../xml/parse';
import { addSpan, approximate, type Context, drop, words } from './mark-types';

/** One child of `<articulations>`. */
export function readArticulation(a: XmlElement, c: Context): void {
  const d = c.draft;
  switch (a.name) {
    case 'staccato':
      d.staccato = true;
      break;
    case 'accent':
      d.accent = true;
      break;
    case 'tenuto':
      d.tenuto = true;
      break;
    case 'strong-accent':
      d.accent = true;
      approximate(c, 'a strong accent is kept as an accent');
      break;
    case 'staccatissimo':
    case 'spiccato':
      d.staccato = true;
      approximate(c, `${a.name} is kept as staccato`);
      break;
    case 'detached-legato':
      d.staccato = true;
      d.tenuto = true;
      break;
    case 'scoop':
      d.slideIn = 'below';
      break;
    case 'plop':
      d.slideIn = 'above';
      break;
    case 'doit':
      d.slideOut = 'up';
      break;
    case 'falloff':
      d.slideOut = 'down';
      break;
    default:
      drop(c, words(a.name));
  }
}

/** The children of `<ornaments>`. */
export function readOrnaments(x: XmlElement, c: Context): void {
  for (const o of x.children) {
    switch (o.name) {
      case 'trill-mark': {
        const step = attribute(o, 'trill-step');
        c.draft.trill = { semitones: step === 'half' ? 1 : step === 'whole' ? 2 : null };
        break;
      }
      case 'wavy-line':
        addSpan('wavy-line', o, c);
        break;
      case 'tremolo':
        readTremolo(o, c);
        break;
      case 'accidental-mark':
        break;
      default:
        drop(c, words(o.name));
    }
  }
}

function readTremolo(o: XmlElement, c: Context): void {
  const type = attribute(o, 'type') ?? 'single';
  const strokes = readNumber(ownText(o)) ?? 3;
  if (type !== 'single') {
    drop(c, 'a tremolo between notes');
  } else if (strokes === 1 || strokes === 2 || strokes === 3) c.draft.tremolo = strokes;
  else if (strokes > 3) {
    c.draft.tremolo = 3;
    approximate(c, 'a tremolo of more than three strokes is kept as three');
  } else drop(c, 'an unmeasured tremolo');
}

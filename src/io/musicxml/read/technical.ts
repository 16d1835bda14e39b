import { attribute, child, childNumber, ownText, readNumber, type XmlElement } from '../xml/parse';
import { addSpan, type Context, drop, words } from './mark-types';

const FINGERS = [1, 2, 3, 4, 'T'] as const;
const PLUCKS = ['p', 'i', 'm', 'a', 'c'] as const;

/** One child of `<technical>`. */
export function readTechnical(t: XmlElement, c: Context): void {
  const d = c.draft;
  switch (t.name) {
    case 'string':
      d.string = readNumber(ownText(t));
      break;
    case 'fret':
      d.fret = readNumber(ownText(t));
      break;
    case 'fingering': {
      if (d.finger !== null) {
        drop(c, 'a second finger for one note');
        break;
      }
      const text = ownText(t) ?? '';
      d.finger = FINGERS.find((f) => String(f) === text.toUpperCase()) ?? null;
      if (d.finger === null) drop(c, 'fingers other than 1 to 4 and T');
      break;
    }
    case 'pluck': {
      const text = (ownText(t) ?? '').toLowerCase();
      d.pluck = PLUCKS.find((f) => f === text) ?? null;
      if (d.pluck === null) drop(c, 'plucking fingers other than p, i, m, a and c');
      break;
    }
    case 'hammer-on':
    case 'pull-off':
      addSpan(t.name, t, c);
      break;
    case 'tap':
      d.tap = true;
      break;
    case 'bend':
      readBend(t, c);
      break;
    case 'harmonic':
      readHarmonic(t, c);
      break;
    case 'down-bow':
      d.stroke = 'down';
      break;
    case 'up-bow':
      d.stroke = 'up';
      break;
    case 'open-string':
      d.fret ??= 0;
      break;
    case 'other-technical':
      readOther(t, c);
      break;
    default:
      drop(c, words(t.name));
  }
}

function readOther(t: XmlElement, c: Context): void {
  const text = ownText(t) ?? '';
  if (/pinch/iu.test(text)) {
    c.draft.harmonic = { kind: 'pinch', written: c.draft.harmonic?.written ?? null };
  } else if (/pick.?(scrape|slide)/iu.test(text)) {
    // Without a word for the direction it goes towards the nut, as is usual (common practice).
    c.draft.scrape = /\bup\b/iu.test(text) ? 'up' : 'down';
  } else if (/rake/iu.test(text)) c.draft.rake = true;
  else if (/palm.?mute/iu.test(text)) c.draft.palmMute = true;
  else drop(c, `the technique '${text.slice(0, 40)}'`);
}

/** W3C: the child element decides what the bend is, then the sign of its number. */
function readBend(t: XmlElement, c: Context): void {
  const alter = childNumber(t, 'bend-alter');
  if (alter === null) {
    drop(c, 'a bend without a width');
    return;
  }
  if (child(t, 'with-bar') !== undefined) {
    if (alter < 0) c.draft.barDip = -alter;
    else drop(c, 'pulling the vibrato bar up');
    return;
  }
  const kind =
    child(t, 'pre-bend') !== undefined
      ? 'pre-bend'
      : child(t, 'release') !== undefined || alter < 0
        ? 'release'
        : 'bend';
  c.draft.bends.push({
    alter,
    kind,
    firstBeat: readNumber(attribute(t, 'first-beat')),
    lastBeat: readNumber(attribute(t, 'last-beat')),
  });
}

function readHarmonic(t: XmlElement, c: Context): void {
  const artificial = child(t, 'artificial') !== undefined;
  const written = (['base', 'touching', 'sounding'] as const).find(
    (w) => child(t, `${w}-pitch`) !== undefined,
  );
  const pinch = c.draft.harmonic?.kind === 'pinch';
  c.draft.harmonic = {
    kind: pinch ? 'pinch' : artificial ? 'artificial' : 'natural',
    written: written ?? null,
  };
}

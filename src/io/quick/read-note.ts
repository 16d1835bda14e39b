import { curveOfShape } from '../../core/phrase/bend-curve';
import { HARMONIC_NODES, openMidi } from '../../core/phrase/instrument';
import type {
  Attack,
  Bend,
  BendPoint,
  DeadNote,
  Grace,
  Note,
  PitchedNote,
  Role,
} from '../../core/phrase/types';
import { midiOf, type Pitch } from '../../core/theory/pitch';
import { spellAt } from '../../core/understand/spell';
import { checkFret, type NoteContext, named } from './note-context';
import { graceNote } from './read-graces';
import type { Scanner } from './scanner';
import { ROLE_WORDS, TOUCHED } from './signs';

export interface ReadNote {
  readonly note: Note;
  readonly graces: readonly Grace[];
}

type Draft = { -readonly [K in keyof PitchedNote]: PitchedNote[K] };

/** Reads one note from its string on; null where there is none, with the mistake told. */
export function readNote(scan: Scanner, c: NoteContext): ReadNote | null {
  const start = scan.at;
  const { instrument } = c.phrase;
  const named = scan.take(/(\d{1,2}):/y);
  const string = named === null ? c.string : Number(named[1]);
  if (string === 0 && !scan.looksAt(/=/y)) {
    // Signs before a fret are single letters: a word was meant as one.
    const word = scan.take(/\p{L}{2,}/uy)?.[0];
    scan.report(
      word === undefined ? 'no string has been named yet' : `'${word}' is no word of quick text`,
      'Write string and fret, for example 3:5.',
      start,
    );
    return null;
  }
  if (string > instrument.tuning.length) {
    scan.report(
      `there is no string ${string}`,
      `The instrument has strings 1 to ${instrument.tuning.length}.`,
      start,
    );
    return null;
  }
  const dead = scan.take(/x(\d{1,2})([/\\])?/y);
  if (dead !== null) {
    checkFret(scan, instrument, Number(dead[1]), start);
    const note: DeadNote = {
      kind: 'dead',
      id: c.id,
      string,
      fret: Number(dead[1]),
      ...(dead[2] === undefined ? {} : { scrape: dead[2] === '/' ? 'up' : 'down' }),
      ...(scan.take(/;pin\b/y) ? { pinned: true } : {}),
    };
    return { note, graces: [] };
  }
  const graces: Grace[] = [];
  for (;;) {
    const m = scan.take(/g([hp/]?)(\d{1,2})(?:;([A-G](?:bb|##|b|#)?))?,/y);
    if (m === null) break;
    checkFret(scan, instrument, Number(m[2]), scan.at - m[0].length);
    graces.push({ notes: [graceNote(c, string, Number(m[2]), m[1]!, m[3])] });
  }
  const slide = scan.take(/g(\d{1,2})?([/\\])/y);
  const attack = readAttack(scan);
  const placed = readPlace(scan, c, string, start);
  if (placed === null) return null;
  const note = placed.note;
  if (slide !== null) {
    const from = slide[2] === '/' ? 'below' : 'above';
    note.slideIn =
      slide[1] === undefined
        ? { kind: 'indefinite', from }
        : { kind: 'interval', from, semitones: Math.abs(note.fret - Number(slide[1])) };
  }
  if (attack !== null) note.attack = attack;
  readAfter(scan, c, note);
  readMeaning(scan, note);
  return { note, graces };
}

function readAttack(scan: Scanner): Attack | null {
  const m = scan.take(/S[/\\]|[hpT](?=[\d(<])|[/\\](?=[\d(<])/y);
  switch (m?.[0][0]) {
    case 'S':
      return 'slide-plucked';
    case 'h':
      return 'hammer-on';
    case 'p':
      return 'pull-off';
    case 'T':
      return 'tap';
    case '/':
    case '\\':
      return 'slide';
    default:
      return null;
  }
}

/** Fret or degree, in its parentheses and brackets. */
function readPlace(
  scan: Scanner,
  c: NoteContext,
  string: number,
  start: number,
): { readonly note: Draft } | null {
  const at = scan.at;
  const d = scan.take(/=((?:bb|##|b|#|♭|♯)?(?:R|[1-7]|9|11|13))([\^_]*)/y);
  if (d !== null) {
    const octaves = [...d[2]!].reduce((n, sign) => n + (sign === '^' ? 1 : -1), 0);
    const placed = c.placeOf(d[1]!, octaves, at);
    return placed === null ? null : { note: { kind: 'pitched', id: c.id, ...placed } };
  }
  const ghost = scan.take(/\(/y) !== null;
  const m = scan.take(/<(\d{1,2})>|(\d{1,2})/y);
  if (m === null) {
    const word = scan.take(/[^\s|)]+/y)?.[0] ?? scan.text[at] ?? '';
    scan.report(
      word === '' ? 'a fret is missing' : `'${word}' is no fret and no sign that is known`,
      word === 'p'
        ? 'A pull-off stands before the fret that it leads to: 8 p5.'
        : 'Write a fret such as 5, string and fret such as 3:5, or a degree such as =b7.',
      at,
    );
    return null;
  }
  const fret = Number(m[1] ?? m[2]);
  if (ghost && !scan.take(/\)/y)) scan.report("')' is missing after the ghost note", 'Write (5).');
  if (m[1] === undefined && !checkFret(scan, c.phrase.instrument, fret, start)) return null;
  const open = openMidi(c.phrase.instrument, string);
  const note: Draft = {
    kind: 'pitched',
    id: c.id,
    string,
    fret,
    pitch: spellAt(c.phrase, c.onset, open + fret),
  };
  if (ghost) note.ghost = true;
  if (m[1] !== undefined) {
    const above = HARMONIC_NODES[fret];
    if (above === undefined) {
      scan.report(
        `no natural harmonic lies over fret ${fret}`,
        `They lie over frets ${Object.keys(HARMONIC_NODES).join(', ')}.`,
        start,
      );
      return null;
    }
    note.harmonic = { kind: 'natural', above };
    note.pitch = spellAt(c.phrase, c.onset, open + above);
  }
  return { note };
}

/** What is done to the note after it is struck, in any order. */
function readAfter(scan: Scanner, c: NoteContext, note: Draft): void {
  for (;;) {
    if (readBend(scan, c, note)) continue;
    const touched = scan.take(/<(\d{1,2})>/y);
    if (touched !== null) {
      const away = Number(touched[1]) - note.fret;
      const above = ([12, 19, 24] as const).find((a) => TOUCHED[a] === away);
      if (above === undefined) {
        scan.report(
          `an artificial harmonic is touched 5, 7 or 12 frets above, not ${away}`,
          `Write ${note.fret}<${note.fret + 12}>.`,
          scan.at - touched[0].length,
        );
      } else note.harmonic = { kind: 'artificial', above };
      continue;
    }
    const pinch = scan.take(/<PH(19|24)?>/y);
    if (pinch !== null) {
      note.harmonic = {
        kind: 'pinch',
        above: (pinch[1] === undefined ? 12 : Number(pinch[1])) as 12 | 19 | 24,
      };
      continue;
    }
    const trill = scan.take(/tr(\d{1,2})(?::([A-G](?:bb|##|b|#)?))?/y);
    if (trill !== null) {
      if (!checkFret(scan, c.phrase.instrument, Number(trill[1]), scan.at - trill[0].length))
        continue;
      note.trill = { upper: above(c, note, Number(trill[1]), trill[2]) };
      continue;
    }
    const dip = scan.take(/v(\d{1,2}(?:\.\d+)?)/y);
    if (dip !== null) {
      note.barDip = Number(dip[1]);
      continue;
    }
    const sign = scan.take(/~~|~|\/|\\|=(?![Rb#♭♯\d])/y)?.[0];
    if (sign === undefined) return;
    if (sign === '~~') note.vibrato = 'wide';
    else if (sign === '~') note.vibrato = 'narrow';
    else if (sign === '=') note.letRing = true;
    else note.slideOut = sign === '/' ? 'up' : 'down';
  }
}

/** A pitch so many frets above the open string, named as usual or as said. */
function above(c: NoteContext, note: Draft, fret: number, name: string | undefined): Pitch {
  const midi = midiOf(note.pitch) + fret - note.fret;
  return named(spellAt(c.phrase, c.onset, midi), midi, name);
}

function readBend(scan: Scanner, c: NoteContext, note: Draft): boolean {
  const m = scan.take(/bq|(p?)b(\d{1,2})(r(\d{1,2})?)?(?::([A-G](?:bb|##|b|#)?))?/y);
  if (m === null) return false;
  const curve = readCurve(scan);
  if (m[2] === undefined) {
    note.bend = { shape: 'curl', curve: curve ?? curveOfShape('curl') };
    return true;
  }
  if (!checkFret(scan, c.phrase.instrument, Number(m[2]), scan.at - m[0].length)) return true;
  const pre = m[1] === 'p';
  const released = m[3] !== undefined;
  const shape: Exclude<Bend['shape'], 'curl'> = pre
    ? released
      ? 'pre-bend-release'
      : 'pre-bend'
    : released
      ? 'bend-release'
      : 'bend';
  note.bend = {
    shape,
    target: above(c, note, Number(m[2]), m[5]),
    curve: curve ?? curveOfShape(shape),
  };
  return true;
}

function readCurve(scan: Scanner): readonly BendPoint[] | null {
  const points: BendPoint[] = [];
  for (;;) {
    const m = scan.take(/@(\d{1,3}(?:\.\d+)?),(\d{1,3}(?:\.\d+)?)/y);
    if (m === null) return points.length === 0 ? null : points;
    points.push({ at: Number(m[1]), amount: Number(m[2]) });
  }
}

function readMeaning(scan: Scanner, note: Draft): void {
  for (;;) {
    const start = scan.at;
    const m = scan.take(/;([A-Za-z0-9#]+)/y);
    if (m === null) return;
    const word = m[1]!;
    const role: Role | undefined = ROLE_WORDS[word];
    if (role !== undefined) note.role = role;
    else if (/^[1-4]$/u.test(word)) note.finger = Number(word) as 1 | 2 | 3 | 4;
    else if (word === 'T') note.finger = 'T';
    else if (/^[pimac]$/u.test(word)) note.pluck = word as NonNullable<PitchedNote['pluck']>;
    else if (word === 'pin') note.pinned = true;
    else if (word === 'chord' || word === 'key' || word === 'goal') note.anchor = word;
    else if (word === 'next' || word === 'this') note.anticipation = word === 'next';
    else if (/^[A-G](?:bb|##|b|#)?$/u.test(word)) {
      const before = note.pitch;
      note.pitch = named(before, midiOf(before), word);
      if (note.pitch === before && word[0] !== before.letter) {
        scan.report(
          `${word} is not what this place sounds`,
          'Leave the name out, or write another fret.',
          start + 1,
        );
      }
    } else {
      scan.report(
        `';${word}' says nothing about a note`,
        'Write a finger (;1), pin, chord, key, goal, next, this, a role or a name such as ;Eb.',
        start,
      );
    }
  }
}

import { curveOfShape } from '../../core/phrase/bend-curve';
import { openMidi } from '../../core/phrase/instrument';
import type {
  Attack,
  DeadNote,
  GraceNote,
  Note,
  Phrase,
  PhraseEvent,
  PitchedNote,
} from '../../core/phrase/types';
import { bendSemitones } from '../../core/phrase/walk';
import type { DeadTechnique, MomentTechnique, PitchedTechnique } from '../../core/technique/fields';
import { formatPitchClass, midiOf, type Pitch, samePitch } from '../../core/theory/pitch';
import { spellAt } from '../../core/understand/spell';
import { ROLE_WORDS, TOUCHED } from './signs';

/** What the reader would fill in, so that it need not be written. */
export interface Running {
  value: string;
  string: number;
}

/** One moment: its notes and what holds for all of them. */
export function eventText(p: Phrase, e: PhraseEvent, running: Running): string {
  const notes = e.notes.map((n) => {
    const text = noteText(p, e, n);
    const prefix = n.string === running.string ? '' : `${n.string}:`;
    running.string = n.string;
    return prefix + text;
  });
  const marks = Object.values(MOMENT_MARKS).flatMap((mark) => mark(e, p) ?? []);
  if (e.guessed) marks.push('?');
  return notes.join('+') + marks.map((m) => `!${m}`).join('');
}

/** What follows `!`, in the order in which it is written. */
const MOMENT_MARKS: Readonly<
  Record<MomentTechnique, (e: PhraseEvent, p: Phrase) => string | null>
> = {
  graces: (e, p) => (e.graces === undefined || isInFront(e) ? null : `G${graceJson(p, e)}`),
  stroke: (e) => (e.stroke === undefined ? null : e.stroke === 'down' ? 'd' : 'u'),
  strum: (e) => (e.strum === undefined ? null : e.strum === 'down' ? 'D' : 'U'),
  accent: (e) => (e.accent ? '>' : null),
  staccato: (e) => (e.staccato ? '.' : null),
  tenuto: (e) => (e.tenuto ? '-' : null),
  palmMute: (e) => (e.palmMute ? 'pm' : null),
  tremolo: (e) => (e.tremolo === undefined ? null : '/'.repeat(e.tremolo)),
  rake: (e) => (e.rake === undefined ? null : `k${e.rake.join('.')}`),
};

/** Whether the graces stand before their note's fret: all of them on strings that the event strikes. */
function isInFront(e: PhraseEvent): boolean {
  const own = new Set(e.notes.map((n) => n.string));
  const strange = e.graces?.some((g) => g.notes.some((n) => !own.has(n.string))) === true;
  return !strange && graceSteps(e) !== null;
}

/** Graces that can stand at their notes' frets: each step on every string it is on in one order. */
function graceSteps(e: PhraseEvent): true | null {
  // With one note struck, any run of single graces on its string can be said in front of it.
  if (e.notes.length !== 1) return null;
  return e.graces?.every((g) => g.notes.length === 1) === true ? true : null;
}

/** Graces of several strings: steps by `|`, notes by `+`, each `string:fret` with how it is reached. */
function graceJson(p: Phrase, e: PhraseEvent): string {
  return (e.graces ?? [])
    .map((g) => g.notes.map((n) => `${n.string}:${graceNote(p, e, n)}`).join('+'))
    .join('|');
}

function graceNote(p: Phrase, e: PhraseEvent, n: GraceNote): string {
  const how =
    n.attack === undefined ? '' : n.attack === 'slide' ? '/' : n.attack === 'hammer-on' ? 'h' : 'p';
  const usual = spellAt(p, e.onset, openMidi(p.instrument, n.string) + n.fret);
  return `${how}${n.fret}${samePitch(usual, n.pitch) ? '' : `;${formatPitchClass(n.pitch)}`}`;
}

function noteText(p: Phrase, e: PhraseEvent, n: Note): string {
  if (n.kind === 'dead') {
    const after = Object.values(AFTER_DEAD).map((sign) => sign(n));
    return `x${n.fret}${after.join('')}${n.pinned ? ';pin' : ''}`;
  }
  return [beforeText(p, e, n), fretText(p, e, n), ...meaningText(p, e, n)].join('');
}

function beforeText(p: Phrase, e: PhraseEvent, n: PitchedNote): string {
  let text = '';
  if (
    e.graces !== undefined &&
    graceSteps(e) !== null &&
    e.graces.every((g) => g.notes[0].string === n.string)
  ) {
    text += e.graces.map((g) => `g${graceNote(p, e, g.notes[0])},`).join('');
  }
  const s = n.slideIn;
  if (s !== undefined) {
    const slash = s.from === 'below' ? '/' : '\\';
    text +=
      s.kind === 'indefinite'
        ? `g${slash}`
        : `g${s.from === 'below' ? n.fret - s.semitones : n.fret + s.semitones}${slash}`;
  }
  return text + (n.attack === undefined ? '' : ATTACK_SIGNS[n.attack]);
}

const ATTACK_SIGNS: Readonly<Record<Attack, string>> = {
  'hammer-on': 'h',
  'pull-off': 'p',
  slide: '/',
  'slide-plucked': 'S/',
  tap: 'T',
};

function fretText(p: Phrase, e: PhraseEvent, n: PitchedNote): string {
  const fret = n.harmonic?.kind === 'natural' ? `<${n.fret}>` : String(n.fret);
  const after = Object.values(AFTER).map((sign) => sign?.(n, e, p) ?? '');
  return (n.ghost ? `(${fret})` : fret) + after.join('');
}

/** What stands behind the fret of a dead note. */
const AFTER_DEAD: Readonly<Record<DeadTechnique, (n: DeadNote) => string>> = {
  scrape: ({ scrape }) => (scrape === undefined ? '' : scrape === 'up' ? '/' : '\\'),
};

/** What stands behind the fret, in the order in which it is written; null: it stands elsewhere. */
const AFTER: Readonly<
  Record<PitchedTechnique, ((n: PitchedNote, e: PhraseEvent, p: Phrase) => string) | null>
> = {
  harmonic: ({ harmonic: h, fret }) => {
    if (h?.kind === 'artificial') return `<${fret + TOUCHED[h.above]}>`;
    return h?.kind === 'pinch' ? `<PH${h.above === 12 ? '' : h.above}>` : '';
  },
  bend: (n, e, p) => bendText(p, e, n),
  trill: (n, e, p) => {
    if (n.trill === undefined) return '';
    const fret = n.fret + midiOf(n.trill.upper) - midiOf(n.pitch);
    return `tr${fret}${spelling(p, e, n.trill.upper)}`;
  },
  vibrato: ({ vibrato: v }) => (v === undefined ? '' : v === 'wide' ? '~~' : '~'),
  barDip: (n) => (n.barDip === undefined ? '' : `v${n.barDip}`),
  slideOut: (n) => (n.slideOut === undefined ? '' : n.slideOut === 'up' ? '/' : '\\'),
  letRing: (n) => (n.letRing ? '=' : ''),
  // Before the fret, around it, or among what the note means.
  attack: null,
  slideIn: null,
  ghost: null,
  finger: null,
  pluck: null,
};

/** `:Gb` where a target is not spelled as it would be read. */
function spelling(p: Phrase, e: PhraseEvent, pitch: Pitch): string {
  const usual = spellAt(p, e.onset, midiOf(pitch));
  return samePitch(usual, pitch) ? '' : `:${formatPitchClass(pitch)}`;
}

function bendText(p: Phrase, e: PhraseEvent, n: PitchedNote): string {
  const b = n.bend;
  if (b === undefined) return '';
  const plain = curveOfShape(b.shape);
  const isPlain =
    plain.length === b.curve.length &&
    plain.every((c, i) => c.at === b.curve[i]!.at && c.amount === b.curve[i]!.amount);
  const curve = isPlain ? '' : b.curve.map((c) => `@${c.at},${c.amount}`).join('');
  if (b.shape === 'curl') return `bq${curve}`;
  const pre = b.shape.startsWith('pre') ? 'p' : '';
  const release = b.shape.endsWith('release') ? `r${n.fret}` : '';
  return `${pre}b${n.fret + bendSemitones(n)}${release}${spelling(p, e, b.target)}${curve}`;
}

const ROLE_NAMES: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(ROLE_WORDS).map(([word, role]) => [role, word]),
);

function meaningText(p: Phrase, e: PhraseEvent, n: PitchedNote): readonly string[] {
  const usual = spellAt(p, e.onset, midiOf(n.pitch));
  return [
    ...(samePitch(usual, n.pitch) ? [] : [formatPitchClass(n.pitch)]),
    ...(n.finger === undefined ? [] : [String(n.finger)]),
    ...(n.pluck === undefined ? [] : [n.pluck]),
    ...(n.pinned ? ['pin'] : []),
    ...(n.anchor === undefined ? [] : [n.anchor]),
    ...(n.anticipation === undefined ? [] : [n.anticipation ? 'next' : 'this']),
    ...(n.role === undefined ? [] : [ROLE_NAMES[n.role]!]),
  ].map((t) => `;${t}`);
}

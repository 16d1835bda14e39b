import type {
  DeadNote,
  Grace,
  Harmonic,
  Note,
  PhraseEvent,
  PitchedNote,
} from '../../../core/phrase/types';
import { bendSemitones, legatoSource } from '../../../core/phrase/walk';
import type { DeadTechnique, PitchedTechnique } from '../../../core/technique/fields';
import { midiOf } from '../../../core/theory/pitch';
import type { Signs } from '../../text/signs';
import type { LegendKey, LegendKeys } from './legend';

/** A note as it stands on its string's line. */
export interface NoteText {
  readonly string: number;
  /** Graces and raked strings before it, already as wide as those of the event's other strings. */
  readonly lead: string;
  /** How it is reached. */
  readonly before: string;
  /** Begins with the fret, `x` for a dead note; empty for a string that is only raked or graced. */
  readonly text: string;
  /** Reached by legato from the note before it on its string. */
  readonly joins: boolean;
  readonly note: Note | null;
}

/**
 * The texts of an event by string: the notes and, where graces or a rake sound on other strings,
 * those too. The frets of all of them begin in one column.
 */
export function noteTexts(
  events: readonly PhraseEvent[],
  eventIndex: number,
  signs: Signs,
  used: LegendKeys,
): readonly NoteText[] {
  const event = events[eventIndex]!;
  const leads = leadsOf(event, used);
  const out = event.notes.map((note): NoteText => {
    const before = note.kind === 'dead' ? '' : beforeOf(note, events, eventIndex, used);
    const lead = leads.get(note.string) ?? '';
    const linked =
      note.kind === 'pitched' &&
      (note.attack === 'hammer-on' || note.attack === 'pull-off' || note.attack === 'slide');
    const joins = linked && lead === '';
    const text = note.kind === 'dead' ? deadText(note, used) : fretText(note, signs, used);
    if (note.kind === 'dead') used.add('dead');
    return { string: note.string, lead, before, text, joins, note };
  });
  const rest = [...leads].filter(([string]) => out.every((n) => n.string !== string));
  // A grace that is not tied to its note by a sign is set off from the fret: g7-9, never g79.
  const apart = out.some((n) => n.lead !== '' && !CONNECTED.test(n.before)) ? 1 : 0;
  const widest = Math.max(...out.map((n) => n.before.length)) + apart;
  return [
    ...out.map((n) => ({
      ...n,
      before: n.lead === '' ? n.before : '-'.repeat(widest - n.before.length) + n.before,
    })),
    ...rest.map(
      ([string, lead]): NoteText => ({
        string,
        lead,
        before: '-'.repeat(widest),
        text: '',
        joins: false,
        note: null,
      }),
    ),
  ];
}

/** Begins with a sign that leads from the note before. */
const CONNECTED = /^[hpS/\\]/u;

/** Raked strings and graces in playing order, each step in a column of its own on all strings. */
function leadsOf(event: PhraseEvent, used: LegendKeys): ReadonlyMap<number, string> {
  const steps: ReadonlyMap<number, string>[] = [];
  for (const string of event.rake ?? []) steps.push(new Map([[string, 'x']]));
  event.graces?.forEach((g, i) => {
    steps.push(new Map(g.notes.map((n) => [n.string, graceText(event.graces!, i, n, used)])));
  });
  if (event.rake !== undefined) used.add('rake');
  const leads = new Map<number, string>();
  for (const step of steps) for (const string of step.keys()) leads.set(string, '');
  for (const step of steps) {
    const width = Math.max(...[...step.values()].map((t) => t.length));
    for (const [string, lead] of leads) {
      leads.set(string, lead + (step.get(string) ?? '').padEnd(width, '-'));
    }
  }
  return leads;
}

function graceText(
  graces: readonly Grace[],
  index: number,
  note: Grace['notes'][number],
  used: LegendKeys,
): string {
  if (note.attack === undefined) {
    used.add('grace');
    return `g${note.fret}`;
  }
  const source = graces
    .slice(0, index)
    .flatMap((g) => g.notes.filter((n) => n.string === note.string))
    .at(-1);
  return legatoSign(note.attack, source?.fret ?? note.fret, note.fret, used) + note.fret;
}

function legatoSign(
  attack: 'hammer-on' | 'pull-off' | 'slide',
  from: number,
  to: number,
  used: LegendKeys,
): string {
  switch (attack) {
    case 'hammer-on':
      used.add('hammer');
      return 'h';
    case 'pull-off':
      used.add('pull');
      return 'p';
    case 'slide':
      used.add('slide');
      return slash(to >= from);
  }
}

/** A stroke that rises or falls in pitch. */
function slash(rises: boolean): string {
  return rises ? '/' : '\\';
}

function beforeOf(
  note: PitchedNote,
  events: readonly PhraseEvent[],
  eventIndex: number,
  used: LegendKeys,
): string {
  const opening = (note.ghost ? '(' : '') + (note.harmonic?.kind === 'natural' ? '<' : '');
  return slideInText(note, used) + attackText(note, events, eventIndex, used) + opening;
}

function slideInText(note: PitchedNote, used: LegendKeys): string {
  const s = note.slideIn;
  if (s === undefined) return '';
  const below = s.from === 'below';
  if (s.kind === 'indefinite') {
    used.add('scoop');
    return `g${slash(below)}`;
  }
  used.add('slideIn');
  return `g${below ? note.fret - s.semitones : note.fret + s.semitones}${slash(below)}`;
}

function attackText(
  note: PitchedNote,
  events: readonly PhraseEvent[],
  eventIndex: number,
  used: LegendKeys,
): string {
  if (note.attack === undefined) return '';
  if (note.attack === 'tap') {
    used.add('tap');
    return 'T';
  }
  const from = legatoSource(events, eventIndex, note.string)?.fret ?? note.fret;
  if (note.attack === 'slide-plucked') {
    used.add('slidePlucked');
    return `S${slash(note.fret >= from)}`;
  }
  return legatoSign(note.attack, from, note.fret, used);
}

/** A cross and everything that happens on a dead string. */
function deadText(note: DeadNote, used: LegendKeys): string {
  const after = Object.values(AFTER_DEAD).map((sign) => sign(note, used));
  return `x${after.join('')}`;
}

const AFTER_DEAD: Readonly<Record<DeadTechnique, (n: DeadNote, used: LegendKeys) => string>> = {
  scrape: ({ scrape }, used) =>
    scrape === undefined ? '' : signed(used, 'scrape', slash(scrape === 'up')),
};

/** The fret and everything that happens to the note after it is struck. */
function fretText(note: PitchedNote, signs: Signs, used: LegendKeys): string {
  const after = Object.values(AFTER).map((sign) => sign?.(note, used, signs) ?? '');
  return note.fret + after.join('');
}

type Sign = (n: PitchedNote, used: LegendKeys, signs: Signs) => string;

/** What stands behind the fret, in the order in which it is written; null: it stands elsewhere. */
const AFTER: Readonly<Record<PitchedTechnique, Sign | null>> = {
  harmonic: harmonicText,
  ghost: (n, used) => (n.ghost ? signed(used, 'ghost', ')') : ''),
  bend: (n, used, signs) => bendText(n, signs, used),
  trill: trillText,
  vibrato: ({ vibrato: v }, used) => {
    if (v === undefined) return '';
    return v === 'wide' ? signed(used, 'wide', '~~') : signed(used, 'vibrato', '~');
  },
  barDip: (n, used) => (n.barDip === undefined ? '' : signed(used, 'dip', `v${n.barDip}`)),
  slideOut: ({ slideOut: s }, used) =>
    s === undefined ? '' : signed(used, 'slideOut', slash(s === 'up')),
  letRing: (n, used) => (n.letRing ? signed(used, 'ring', '=') : ''),
  // Before the fret.
  attack: null,
  slideIn: null,
  // In rows of their own.
  finger: null,
  pluck: null,
};

/** A sign, which the legend will explain. */
function signed(used: LegendKeys, key: LegendKey, sign: string): string {
  used.add(key);
  return sign;
}

/** Frets above the stopped one at which the string is touched (M11's nodes, common practice). */
const NODES: Readonly<Record<Harmonic['above'], number>> = { 12: 12, 19: 7, 24: 5 };

function harmonicText(note: PitchedNote, used: LegendKeys): string {
  const h = note.harmonic;
  if (h === undefined) return '';
  used.add(h.kind);
  if (h.kind === 'natural') return '>';
  return h.kind === 'pinch' ? '<PH>' : `<${note.fret + NODES[h.above]}>`;
}

function bendText(note: PitchedNote, signs: Signs, used: LegendKeys): string {
  const b = note.bend;
  if (b === undefined) return '';
  if (b.shape === 'curl') {
    used.add('curl');
    return `b${signs.quarterTone}`;
  }
  const pre = b.shape === 'pre-bend' || b.shape === 'pre-bend-release';
  const released = b.shape === 'bend-release' || b.shape === 'pre-bend-release';
  used.add(pre ? 'preBend' : 'bend');
  if (released) used.add('release');
  const top = note.fret + bendSemitones(note);
  return `${pre ? 'p' : ''}b${top}${released ? `r${note.fret}` : ''}`;
}

function trillText(note: PitchedNote, used: LegendKeys): string {
  if (note.trill === undefined) return '';
  used.add('trill');
  return `tr${note.fret + midiOf(note.trill.upper) - midiOf(note.pitch)}`;
}

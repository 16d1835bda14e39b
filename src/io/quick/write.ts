import { curveOfShape } from '../../core/phrase/bend-curve';
import { openMidi, STANDARD_GUITAR } from '../../core/phrase/instrument';
import { NOTE_VALUES, valueOfTicks } from '../../core/phrase/note-value';
import { barSpans, meterTicks } from '../../core/phrase/time';
import type {
  Attack,
  Bar,
  DeadNote,
  GraceNote,
  Note,
  Phrase,
  PhraseEvent,
  PitchedNote,
  Ticks,
  Tuplet,
  Voice,
} from '../../core/phrase/types';
import { bendSemitones, endOf } from '../../core/phrase/walk';
import type { DeadTechnique, MomentTechnique, PitchedTechnique } from '../../core/technique/fields';
import { formatKey } from '../../core/theory/key';
import {
  formatPitch,
  formatPitchClass,
  midiOf,
  type Pitch,
  samePitch,
} from '../../core/theory/pitch';
import { spellAt } from '../../core/understand/spell';
import { ROLE_WORDS, TOUCHED, VALUE_WORDS } from './signs';

/** A phrase as quick text, and what of it quick text does not say. */
export interface QuickText {
  readonly text: string;
  /** In words: `the tags`. */
  readonly left: readonly string[];
}

/** Writes a phrase in one line; `readQuick` reads it back. */
export function writeQuick(p: Phrase): QuickText {
  const voices = p.voices.map((v, i) => voiceText(p, v, i === 0));
  const [first, second] = voices;
  const text = [headText(p), first, ...(second === undefined ? [] : [`2nd: ${second}`])].join(' ');
  return { text, left: leftOut(p) };
}

function leftOut({ meta }: Phrase): readonly string[] {
  return [
    ...(meta.styleOf === undefined ? [] : ['whose style it is in']),
    ...(meta.source === undefined ? [] : ['where it comes from']),
    ...(meta.tags.length === 0 ? [] : ['the tags']),
    ...(meta.level === undefined ? [] : ['the level']),
    ...(meta.notes === undefined ? [] : ['the notes for students']),
  ];
}

function headText(p: Phrase): string {
  const { instrument: i, tempo, feel } = p;
  const usual = STANDARD_GUITAR;
  const meter = p.bars[0]!.meter;
  const tuning = i.tuning.map(formatPitch).join(' ');
  const items = [
    formatKey(p.key),
    `${meter.beats}/${meter.beatType}`,
    `${tempo.bpm} ${UNIT_WORDS[tempo.unit]}`,
    ...(feel.kind === 'straight'
      ? []
      : [`swing ${feel.first}:${feel.second}${feel.unit === '16th' ? ' 16ths' : ''}`]),
    ...(tuning === usual.tuning.map(formatPitch).join(' ') ? [] : [`tuning ${tuning}`]),
    ...(i.capo === 0 ? [] : [`capo ${i.capo}`]),
    ...(i.frets === usual.frets ? [] : [`${i.frets} frets`]),
    ...(i.scaleLength === usual.scaleLength ? [] : [`${i.scaleLength} mm`]),
    ...(i.clef === usual.clef ? [] : [`clef ${i.clef}`]),
    ...(i.name === usual.name ? [] : [`on ${quoted(i.name)}`]),
    // A note held over the first bar line hides how long the pickup is.
    ...(p.voices.some((v) => v.events.some((e) => e.onset < p.pickup && endOf(e) > p.pickup))
      ? [`pickup '${p.pickup}`]
      : []),
    quoted(p.meta.title),
  ];
  return `[${items.join(', ')}]`;
}

export const UNIT_WORDS = {
  eighth: 'eighths',
  quarter: 'quarters',
  'dotted-quarter': 'dotted',
  half: 'halves',
} as const;

/** Text in quotes, as JSON has it: any character can stand in it. */
function quoted(text: string): string {
  return JSON.stringify(text);
}

/** What the reader would fill in, so that it need not be written. */
interface Running {
  value: string;
  string: number;
}

function voiceText(p: Phrase, v: Voice, isFirst: boolean): string {
  const words: string[] = [];
  const running: Running = { value: 'e', string: 0 };
  const spans = barSpans(p);
  let at: Ticks = 0;
  let open: Tuplet | null = null;
  /** What stands between words at a moment: chords, marks. */
  const pending = isFirst ? standing(p) : [];
  let nextStanding = 0;
  const setValue = (ticks: Ticks) => {
    const word = valueWord(open === null ? ticks : (ticks * open.actual) / open.normal);
    const text = word ?? `'${ticks}`;
    if (text !== running.value) words.push(text);
    running.value = text;
  };
  const sayStanding = (until: Ticks) => {
    while (nextStanding < pending.length && pending[nextStanding]!.onset <= until) {
      const s = pending[nextStanding]!;
      // Inside a note nothing can stand: its time is said.
      words.push(s.onset === at ? s.text : `${s.text}'${s.onset}`);
      nextStanding++;
    }
  };
  const restUntil = (end: Ticks) => {
    while (at < end) {
      sayStanding(at);
      const tuplet: Tuplet | null =
        v.tuplets.find((t) => t.onset <= at && at < t.onset + t.duration) ?? null;
      openTuplet(tuplet);
      const stops = [
        end,
        ...(tuplet === null ? v.tuplets.map((t) => t.onset) : [tuplet.onset + tuplet.duration]),
        ...spans.map((s) => s.end),
        ...pending.map((s) => s.onset),
      ].filter((t) => t > at);
      const to = Math.min(...stops);
      setValue(to - at);
      words.push('r');
      at = to;
      closeTuplet();
      barLines(at);
    }
  };
  const openTuplet = (t: Tuplet | null) => {
    if (t === null || open === t) return;
    open = t;
    // A note may be held into it, or out of it: then its own ticks are said.
    words.push(t.onset === at ? `${t.actual}(` : `${t.actual}'${t.onset}(`);
    // Values inside are written ones again.
    running.value = '';
  };
  const closeTuplet = () => {
    if (open !== null && at >= open.onset + open.duration) {
      const end = open.onset + open.duration;
      words.push(at === end ? ')' : `)'${end}`);
      open = null;
      running.value = '';
    }
  };
  let nextBar = 0;
  const startLines = () => {
    const bar = spans[0]!;
    if (bar.number === 1 && isFirst) words.push(...barOpening(bar.bar, null));
  };
  const barLines = (until: Ticks) => {
    while (nextBar < spans.length && spans[nextBar]!.end <= until) {
      const here = spans[nextBar]!;
      const after = spans[nextBar + 1] ?? null;
      const isFull = here.number === 0 || here.end - here.start === meterTicks(here.bar.meter);
      if (after === null && !isFull) {
        // A phrase that ends inside its last bar has no line there, unless it repeats.
        if (isFirst && here.bar.repeatEnd !== undefined)
          words.push(...barWords(here.bar, null, true));
        nextBar++;
        return;
      }
      const line = barWords(here.number === 0 ? null : here.bar, after?.bar ?? null, isFirst);
      // Right after another line, the opening of a bar would not be taken for one that closes too.
      const touches = /^:?\|/u.test(words.at(-1) ?? '') && /^\|./u.test(line[0]!);
      words.push(...(touches ? ['|'] : []), ...line);
      if (isFirst && after !== null && here.number > 0 && !sameMeter(here.bar, after.bar)) {
        words.push(`${after.bar.meter.beats}/${after.bar.meter.beatType}`);
      }
      nextBar++;
    }
  };
  startLines();
  for (const e of v.events) {
    restUntil(e.onset);
    sayStanding(at);
    openTuplet(v.tuplets.find((t) => t.onset <= at && at < t.onset + t.duration) ?? null);
    const end = endOf(e);
    // A note that leaves its tuplet, or comes into one, says its time in ticks.
    const limit: Tuplet | null = open;
    const crosses =
      limit === null
        ? v.tuplets.some((t) => t.onset > at && t.onset < end)
        : end > (limit as Tuplet).onset + (limit as Tuplet).duration;
    if (crosses) {
      words.push(`'${e.duration}`);
      running.value = `'${e.duration}`;
    } else setValue(e.duration);
    words.push(eventText(p, e, running));
    sayInside(e);
    at = end;
    closeTuplet();
    for (const t of v.tuplets) {
      // Held over the whole of it: nothing starts there, but the page shows it.
      if (t.onset > e.onset && t.onset + t.duration <= end) {
        words.push(`${t.actual}'${t.onset}(`, `)'${t.onset + t.duration}`);
      }
    }
    barLines(at);
  }
  restUntil(p.length);
  sayStanding(p.length);
  return words.join(' ').replaceAll('( ', '(').replaceAll(' )', ')');

  function sayInside(e: PhraseEvent): void {
    while (nextStanding < pending.length && pending[nextStanding]!.onset < endOf(e)) {
      const s = pending[nextStanding]!;
      words.push(`${s.text}'${s.onset}`);
      nextStanding++;
    }
  }
}

function sameMeter(a: Bar, b: Bar): boolean {
  return a.meter.beats === b.meter.beats && a.meter.beatType === b.meter.beatType;
}

/** Everything that stands at moments, by time: chords, then dynamics, then words. */
function standing(p: Phrase): readonly { readonly onset: Ticks; readonly text: string }[] {
  return [
    ...p.chords.map((c) => ({ onset: c.onset, text: `{${c.symbol ?? 'N.C.'}}` })),
    ...p.marks.map((m) => ({
      onset: m.onset,
      text: m.kind === 'dynamic' ? `%${m.value}` : quoted(m.text),
    })),
  ].sort((a, b) => a.onset - b.onset);
}

/** Bar line between two bars with repeats and endings; the second voice has plain lines. */
function barWords(before: Bar | null, after: Bar | null, isFirst: boolean): readonly string[] {
  if (!isFirst) return ['|'];
  const close =
    before?.repeatEnd === undefined ? '' : `:|${before.repeatEnd === 2 ? '' : before.repeatEnd}`;
  const opening = after === null ? [] : barOpening(after, before);
  if (close === '') return opening.length > 0 ? opening : ['|'];
  return [close, ...opening];
}

/** `|:` and endings at the beginning of a bar. */
function barOpening(bar: Bar, before: Bar | null): readonly string[] {
  const ending = bar.ending;
  const goesOn =
    ending !== undefined &&
    before?.ending !== undefined &&
    before.repeatEnd === undefined &&
    before.ending.join() === ending.join();
  return [
    ...(ending === undefined ? [] : [goesOn ? '|=' : `|${ending.join(',')}.`]),
    ...(bar.repeatStart === true ? ['|:'] : []),
  ];
}

/** The word of a length; tied values where one does not do. Null for a length no values make. */
function valueWord(ticks: Ticks): string | null {
  if (!Number.isInteger(ticks)) return null;
  const single = singleValue(ticks);
  if (single !== null) return single;
  const parts: string[] = [];
  let left = ticks;
  while (left > 0 && parts.length < 6) {
    const value = NOTE_VALUES.map((x) => ({ x, n: 40_320 / 2 ** NOTE_VALUES.indexOf(x) })).find(
      (c) => c.n <= left,
    );
    if (value === undefined) return null;
    parts.push(LETTERS[value.x]!);
    left -= value.n;
  }
  return left === 0 ? parts.join('_') : null;
}

const LETTERS: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(VALUE_WORDS).map(([word, value]) => [value, word]),
);

function singleValue(ticks: Ticks): string | null {
  const v = valueOfTicks(ticks);
  return v === null ? null : `${LETTERS[v.value]}${v.dots === 1 ? '.' : ''}`;
}

function eventText(p: Phrase, e: PhraseEvent, running: Running): string {
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

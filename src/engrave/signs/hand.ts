import type { NoteId, PhraseEvent, PitchedNote } from '../../core/phrase/types';
import { legatoSource } from '../../core/phrase/walk';
import { Pen } from '../ink/pen';
import type { Row, Side, Waiting } from '../page/row';
import { type EventPlace, endX, type Placed } from '../page/thread';
import { centredText, drawBarDip, drawStroke, drawVibrato, harmonicName } from './small';
import { drawSpan } from './spans';

/** A voice of a line, with what comes after the line. */
export interface VoiceInLine {
  readonly events: readonly PhraseEvent[];
  readonly places: readonly EventPlace[];
  /** Right end of the line. */
  readonly right: number;
  readonly left: number;
}

function centreOf(p: Placed): number {
  return p.x + p.place.centre;
}

function pitched(e: PhraseEvent): readonly PitchedNote[] {
  return e.notes.filter((n) => n.kind === 'pitched');
}

/**
 * Puts the signs of the hands over and under the staff they belong to, the nearest first: letters of
 * slurs, harmonics, the bar, vibrato, strokes, rakes and long spans above, fingers below.
 */
export function stackHandSigns(
  row: Row,
  voices: readonly VoiceInLine[],
  o: { readonly letters: boolean; readonly spans: Side; readonly fingers: Side },
): void {
  if (o.letters) {
    for (const v of voices) for (const w of letters(v)) row.stack(w.side, w.fragment, w.x, 2);
    for (const w of graceLetters(voices)) row.stack(w.side, w.fragment, w.x, 2);
  } else for (const v of voices) for (const w of taps(v)) row.stack('above', w.fragment, w.x, 2);
  for (const v of voices) for (const w of harmonics(v)) row.stack('above', w.fragment, w.x, 3);
  for (const v of voices) for (const w of scrapes(v)) row.stack('above', w.fragment, w.x, 3);
  for (const v of voices) for (const w of barDips(v)) row.stack('above', w.fragment, w.x, 3);
  for (const v of voices) for (const w of vibratos(v)) row.stack('above', w.fragment, w.x, w.gap);
  row.stackAligned('above', voices.flatMap(strokes), 3.5);
  for (const v of voices) for (const w of rakes(v)) row.stack('above', w.fragment, w.x, 3);
  row.stackAligned(
    o.spans,
    sharedSpans(voices, 'P.M.', (e) => e.palmMute === true),
    4,
  );
  const rings = (e: PhraseEvent) => pitched(e).some((n) => n.letRing === true);
  row.stackAligned(o.spans, sharedSpans(voices, 'let ring', rings), 4);
  row.stackAligned(o.fingers, voices.flatMap(fingers), FINGER_GAP);
  row.stackAligned(o.fingers, voices.flatMap(plucks), FINGER_GAP);
}

/** Fingers stay off the outer string and the number on it, and off each other. */
const FINGER_GAP = 5;

/** A small wedge over every note that a move has changed, where no tablature can frame it. */
export function stackChangeMarks(
  row: Row,
  voices: readonly VoiceInLine[],
  changed: ReadonlySet<NoteId>,
): void {
  for (const v of voices) {
    for (const e of v.places) {
      if (!e.begins || !e.event.notes.some((n) => changed.has(n.id))) continue;
      const pen = new Pen().sign('changed', 'dw-changed-mark').arrowhead(0, 0, 'down', 7);
      row.stack('above', pen.done(), centreOf(e.first), 2.5);
    }
  }
}

const LETTERS = {
  'hammer-on': 'H',
  'pull-off': 'P',
  slide: 'sl.',
  'slide-plucked': 'sl.',
} as const;

/** A sign with the side of the staff that it goes to. */
interface Sided extends Waiting {
  readonly side: Side;
}

/** Under the strings where two voices sound, so that a letter of the lower one is not read for the upper. */
function letterSide(p: Placed): Side {
  return p.bar.bar.drawn.bar.divided && p.place.item.voice === 1 ? 'below' : 'above';
}

/** H, P and sl. in the middle of their slurs, T over a tapped note. */
function letters(v: VoiceInLine): Sided[] {
  const out: Sided[] = taps(v);
  v.places.forEach((e, i) => {
    if (!e.begins) return;
    const before = v.places[i - 1];
    const words = new Set<string>();
    for (const n of pitched(e.event)) {
      if (n.attack === undefined || n.attack === 'tap') continue;
      if (legatoSource(v.events, e.index, n.string)?.id != null) words.add(LETTERS[n.attack]);
    }
    if (words.size === 0) return;
    const to = centreOf(e.first);
    const from =
      before === undefined || before.index !== e.index - 1 ? to - 16 : centreOf(before.last);
    out.push({
      fragment: centredText('letter', [...words].join(' '), 'text', 9.5),
      x: (from + to) / 2,
      side: letterSide(e.first),
    });
  });
  return out;
}

/** The same, smaller, over the arcs of small notes; those of one moment over one string are one. */
function graceLetters(voices: readonly VoiceInLine[]): Sided[] {
  const begun = voices.flatMap((v) => v.places.filter((e) => e.begins));
  return begun.flatMap(({ first }) => {
    const shown = new Map<number, Set<string>>();
    for (const { attack, x, voice } of first.at.station.graceJoins) {
      if (voice !== first.place.item.voice) continue;
      const near = [...shown.keys()].find((k) => Math.abs(k - x) < 3) ?? x;
      shown.set(near, (shown.get(near) ?? new Set()).add(LETTERS[attack]));
    }
    return [...shown].map(([x, words]) => ({
      fragment: centredText('letter', [...words].join(' '), 'text', 8),
      x: first.at.x + x,
      side: letterSide(first),
    }));
  });
}

function taps(v: VoiceInLine): Sided[] {
  return v.places
    .filter((e) => e.begins && pitched(e.event).some((n) => n.attack === 'tap'))
    .map((e) => ({
      fragment: centredText('letter', 'T', 'text', 11),
      x: centreOf(e.first),
      side: letterSide(e.first),
    }));
}

function harmonics(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) => {
    const names = new Set(
      pitched(e.event).flatMap((n) => (n.harmonic === undefined ? [] : [harmonicName(n.harmonic)])),
    );
    if (!e.begins || names.size === 0) return [];
    return [
      { fragment: centredText('harmonic', [...names].join(' '), 'text', 10), x: centreOf(e.first) },
    ];
  });
}

/** P.S. over a string along which the pick is scraped (common practice). */
function scrapes(v: VoiceInLine): Waiting[] {
  return v.places
    .filter((e) => e.begins && e.event.notes.some((n) => n.kind === 'dead' && n.scrape))
    .map((e) => ({ fragment: centredText('letter', 'P.S.', 'text', 10), x: centreOf(e.first) }));
}

function barDips(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) => {
    const depths = pitched(e.event).flatMap((n) => (n.barDip === undefined ? [] : [n.barDip]));
    if (!e.begins || depths.length === 0) return [];
    return [{ fragment: drawBarDip(Math.max(...depths)), x: centreOf(e.first) }];
  });
}

/** Waves keep off what they run along; wide ones, and those over a slide away, by more. */
const WAVE_GAP = { narrow: 4, wide: 5.5 } as const;
const OVER_SLIDE_OUT = 2;
const VIBRATOS = ['narrow', 'wide'] as const;

function vibratos(v: VoiceInLine): readonly (Waiting & { readonly gap: number })[] {
  return v.places.flatMap((e) => {
    const notes = pitched(e.event);
    const x = centreOf(e.first);
    const slides = notes.some((n) => n.slideOut !== undefined);
    return VIBRATOS.flatMap((kind) => {
      const shaken = notes.filter((n) => n.vibrato === kind);
      if (shaken.length === 0) return [];
      // Where another string is still, or shaken otherwise, the wave says whose it is.
      const strings = shaken.length === notes.length ? [] : shaken.map((n) => n.string);
      const gap = WAVE_GAP[kind] + (slides ? OVER_SLIDE_OUT : 0);
      return [{ fragment: drawVibrato(kind, endX(e) - x, strings), x, gap }];
    });
  });
}

function strokes(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) =>
    e.begins && e.event.stroke !== undefined
      ? [{ fragment: drawStroke(e.event.stroke), x: centreOf(e.first) }]
      : [],
  );
}

function rakes(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) => {
    if (!e.begins || e.event.rake === undefined) return [];
    const left = Math.min(0, ...e.first.at.station.tab.ink.map((k) => k.x0));
    return [{ fragment: drawSpan('rake', 0, false), x: e.first.x + left + 3 }];
  });
}

/** The spans of both voices; one that lies within another says nothing new. */
function sharedSpans(
  voices: readonly VoiceInLine[],
  words: string,
  has: (e: PhraseEvent) => boolean,
): readonly Waiting[] {
  const all = voices.flatMap((v) => spans(v, words, has));
  return all.filter(
    (a, i) =>
      !all.some(
        (b, k) => k !== i && b.x <= a.x && b.end >= a.end && (b.x < a.x || b.end > a.end || k < i),
      ),
  );
}

interface Span extends Waiting {
  readonly end: number;
}

/** Runs of events that share something, each as one span; cut and taken up again at line ends. */
function spans(v: VoiceInLine, words: string, has: (e: PhraseEvent) => boolean): Span[] {
  const out: Span[] = [];
  let start = 0;
  while (start < v.places.length) {
    if (!has(v.places[start]!.event)) {
      start++;
      continue;
    }
    let end = start;
    const follows = (i: number) =>
      v.places[i + 1] !== undefined && v.places[i + 1]!.index === v.places[i]!.index + 1;
    while (follows(end) && has(v.places[end + 1]!.event)) end++;
    const first = v.places[start]!;
    const last = v.places[end]!;
    const before = v.events[first.index - 1];
    const after = v.events[last.index + 1];
    const goesOn = end === v.places.length - 1 && after !== undefined && has(after);
    const cameOn = start === 0 && ((before !== undefined && has(before)) || !first.begins);
    const x = centreOf(first.first);
    const to = goesOn || !last.ends ? v.right - 4 : centreOf(last.last) + 7;
    const text = cameOn ? `(${words})` : words;
    out.push({ fragment: drawSpan(text, to - x, !goesOn && last.ends), x, end: to });
    start = end + 1;
  }
  return out;
}

/** Fingers of the fretting hand, the first string's on top. */
function fingers(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) => {
    const list = pitched(e.event).flatMap((n) =>
      n.finger === undefined ? [] : [String(n.finger)],
    );
    return e.begins && list.length > 0
      ? [{ fragment: column('finger', list), x: centreOf(e.first) }]
      : [];
  });
}

/** Fingers of the picking hand. */
function plucks(v: VoiceInLine): Waiting[] {
  return v.places.flatMap((e) => {
    const list = pitched(e.event).flatMap((n) => (n.pluck === undefined ? [] : [n.pluck]));
    return e.begins && list.length > 0
      ? [{ fragment: column('pluck', list), x: centreOf(e.first) }]
      : [];
  });
}

function column(kind: 'finger' | 'pluck', list: readonly string[]): Waiting['fragment'] {
  const face = kind === 'finger' ? 'bold' : 'italic';
  const size = kind === 'finger' ? 9.5 : 11;
  const pen = new Pen();
  list.forEach((text, i) => {
    pen.place(centredText(kind, text, face, size), 0, i * 10);
  });
  return pen.done();
}

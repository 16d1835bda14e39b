import {
  HARMONIC_NODES,
  isWound,
  openMidi,
  playableFrets,
} from '../../../src/core/phrase/instrument';
import type {
  Grace,
  GraceNote,
  Note,
  PhraseEvent,
  PitchedNote,
  Voice,
} from '../../../src/core/phrase/types';
import { legatoSource } from '../../../src/core/phrase/walk';
import type { PitchClass } from '../../../src/core/theory/pitch';
import { Dice } from './dice';
import type { Recipe } from './features';
import { type Hand, widestSpan } from './hand';
import type { Rhythm, Slot } from './rhythm';
import { rootAt, spell } from './spelling';
import { addBend, addColour, addUserMarks } from './techniques';

type Draft = { -readonly [K in keyof PhraseEvent]: PhraseEvent[K] };

export function makeVoice(r: Rhythm, hand: Hand): Voice {
  const events: PhraseEvent[] = [];
  r.slots.forEach((slot, i) => {
    if (events.length >= hand.recipe.maxEvents) return;
    events.push(makeEvent(new Dice(hand.recipe.seed, hand.salt + i), slot, events, hand));
  });
  const used = (from: number, to: number) =>
    events.some((e) => e.onset < to && e.onset + e.duration > from);
  return { events, tuplets: r.tuplets.filter((t) => used(t.onset, t.onset + t.duration)) };
}

function makeEvent(d: Dice, slot: Slot, before: readonly PhraseEvent[], hand: Hand): PhraseEvent {
  const { recipe: r, frame } = hand;
  const root = rootAt(frame.chords, frame.key, slot.onset);
  const top = playableFrets(frame.instrument);
  if (!hand.still && d.chance(0.1)) {
    hand.position = clamp(hand.position + d.int(-5, 5), 1, Math.max(1, top - 4));
  }
  const most = Math.min(eventSize(d, r), hand.most, hand.strings.length);
  const size = most === 2 && !r.has('double stops') ? 1 : most;
  const strings = size === 1 ? [oneString(d, before.at(-1), hand)] : someStrings(d, size, hand);
  const raised = [d.int(0, 7), d.int(0, 7)];
  const notes = strings.map((string, i) => {
    const barre = hand.position + (raised.includes(i) ? 1 : 0);
    const fret = size > 4 && r.playable ? barre : pickFret(d, hand);
    return makeNote(d, string, fret, root, hand);
  }) as [Note, ...Note[]];
  const draft: Draft = { onset: slot.onset, duration: slot.duration, notes };
  if (size === 1 && notes[0].kind === 'pitched') addHarmonic(d, draft, hand, root);
  addGraces(d, draft, root, hand);
  addAttacks(d, draft, before, r);
  const graced = new Set(draft.graces?.flatMap((g) => g.notes.map((n) => n.string)));
  const alone = notes.length === 1;
  const slid = !alone && d.chance(0.08);
  draft.notes = draft.notes.map((n) => {
    if (n.kind === 'dead') return n;
    const coloured = addColour(d, addBend(d, n, root, hand), root, hand, {
      alone,
      slid,
      graced: graced.has(n.string),
    });
    return addUserMarks(d, coloured, r);
  }) as unknown as PhraseEvent['notes'];
  addUnisonBend(d, draft, root, hand);
  addEventMarks(d, draft, hand);
  return draft;
}

function eventSize(d: Dice, r: Recipe): number {
  const kind = d.weighted([78, 14, 8]);
  const many = d.int(3, 6);
  if (kind === 1) return 2;
  return kind === 2 && r.has('chords') ? many : 1;
}

/** Mostly the string just played or one beside it, so that lines and legato come about. */
function oneString(d: Dice, before: PhraseEvent | undefined, hand: Hand): number {
  const { strings } = hand;
  const last = before?.notes[0].string;
  const at = last === undefined ? -1 : strings.indexOf(last);
  if (at < 0) return d.pick(strings);
  return strings[clamp(at + d.pick([0, 0, 0, 1, -1, 1, -1, 2, -2]), 0, strings.length - 1)]!;
}

function someStrings(d: Dice, size: number, hand: Hand): number[] {
  const start = d.int(0, hand.strings.length - size);
  const run = hand.strings.slice(start, start + size);
  // Now and then a double stop over a string in between.
  const wider = hand.strings[start + size];
  return size === 2 && wider !== undefined && d.chance(0.25) ? [run[0]!, wider] : run;
}

function pickFret(d: Dice, hand: Hand): number {
  if (hand.open) return 0;
  const top = playableFrets(hand.frame.instrument);
  if (!hand.recipe.playable) return d.int(0, top);
  const widest = widestSpan(hand);
  const open = d.chance(hand.position > 7 ? 0.05 : 0.15);
  return open ? 0 : Math.min(top, hand.position + d.int(0, widest));
}

function makeNote(d: Dice, string: number, fret: number, root: PitchClass, hand: Hand): Note {
  const id = `n${hand.ids.next++}`;
  const dead = d.chance(0.04);
  const pitch = spell(d, root, openMidi(hand.frame.instrument, string) + fret);
  if (dead && hand.recipe.has('dead notes')) {
    // Read off the fret, so that the dice fall for all other notes as they did without it.
    const scraped = isWound(hand.frame.instrument, string) && fret % 3 === 0;
    const scrape = scraped ? { scrape: fret % 2 === 0 ? ('down' as const) : ('up' as const) } : {};
    return { kind: 'dead', id, string, fret, ...scrape };
  }
  return { kind: 'pitched', id, pitch, string, fret };
}

/** A harmonic in place of a fretted note: on a node, touched above it, or pinched. */
function addHarmonic(d: Dice, draft: Draft, hand: Hand, root: PitchClass): void {
  const wanted = d.chance(0.05);
  const kind = d.pick(['natural', 'natural', 'artificial', 'pinch'] as const);
  const note = draft.notes[0];
  if (!wanted || note.kind === 'dead' || hand.still || !hand.recipe.has('harmonics')) return;
  if (kind !== 'natural') {
    if (note.fret === 0) return;
    draft.notes = [{ ...note, harmonic: { kind, above: d.pick([12, 12, 19, 24] as const) } }];
    return;
  }
  const top = playableFrets(hand.frame.instrument);
  const fret = d.pick([12, 7, 5, 19, 24].filter((f) => f <= top));
  const above = HARMONIC_NODES[fret]!;
  const pitch = spell(d, root, openMidi(hand.frame.instrument, note.string) + above);
  draft.notes = [{ ...note, pitch, fret, harmonic: { kind, above } }];
}

function addGraces(d: Dice, draft: Draft, root: PitchClass, hand: Hand): void {
  if (!d.chance(0.05) || !hand.recipe.has('graces')) return;
  const target = draft.notes[0];
  if (target.kind === 'dead' || target.harmonic?.kind === 'natural') return;
  const twin = draft.notes[1];
  const count = d.int(1, 2);
  const graces: Grace[] = [];
  for (let i = 0; i < count; i++) {
    const own = graceNote(d, target, graces.at(-1), root, hand);
    const both = twin?.kind === 'pitched' && graces.length === 0 && count === 1 && d.chance(0.5);
    graces.push({
      notes: both ? [own, graceNote(d, twin, undefined, root, hand)] : [own],
    });
  }
  draft.graces = graces as [Grace, ...Grace[]];
}

function graceNote(
  d: Dice,
  target: PitchedNote,
  before: Grace | undefined,
  root: PitchClass,
  hand: Hand,
): GraceNote {
  const top = playableFrets(hand.frame.instrument);
  const near = clamp(target.fret + d.pick([-2, -1, 1, 2]), 0, top);
  const inHand = clamp(near, hand.position, Math.min(top, hand.position + widestSpan(hand)));
  const fret = hand.recipe.playable && near > 0 ? inHand : near;
  const pitch = spell(d, root, openMidi(hand.frame.instrument, target.string) + fret);
  const source = before?.notes.find((n) => n.string === target.string)?.fret;
  const legato = d.chance(0.7);
  const plain = { pitch, string: target.string, fret };
  if (source === undefined || source === fret || !legato) return plain;
  const slide = d.chance(0.3) && source > 0 && fret > 0;
  return { ...plain, attack: slide ? 'slide' : fret > source ? 'hammer-on' : 'pull-off' };
}

function addAttacks(d: Dice, draft: Draft, before: readonly PhraseEvent[], r: Recipe): void {
  const events = [...before.slice(-1), draft];
  draft.notes = draft.notes.map((note) => {
    const wanted = d.chance(0.5);
    const kind = d.weighted([6, 3, 1]);
    const tap = d.chance(0.02);
    if (note.kind === 'dead' || note.harmonic !== undefined || !r.has('legato')) return note;
    if (tap && note.fret > 0) return { ...note, attack: 'tap' };
    const source = legatoSource(events, events.length - 1, note.string);
    if (!wanted || source === null || source.fret === note.fret) return note;
    const from = before.at(-1)?.notes.find((n) => n.string === note.string && n.id === source.id);
    if (from?.kind === 'pitched' && (from.harmonic ?? from.slideOut) !== undefined) return note;
    if (kind > 0 && source.fret > 0 && note.fret > 0) {
      return { ...note, attack: kind === 1 ? 'slide' : 'slide-plucked' };
    }
    return { ...note, attack: note.fret > source.fret ? 'hammer-on' : 'pull-off' };
  }) as unknown as PhraseEvent['notes'];
}

/** The lower string is bent up to the pitch of the one above it (section 7, example 4). */
function addUnisonBend(d: Dice, draft: Draft, root: PitchClass, hand: Hand): void {
  const wanted = d.chance(0.12);
  const { notes } = draft;
  if (!wanted || notes.length !== 2 || draft.graces !== undefined) return;
  if (!hand.recipe.has('bends')) return;
  const [held, bent] = notes;
  if (held.kind === 'dead' || bent === undefined || bent.kind === 'dead') return;
  const sounding = openMidi(hand.frame.instrument, held.string) + held.fret;
  const width = sounding - openMidi(hand.frame.instrument, bent.string) - bent.fret;
  if (width < 1 || width > (bent.string >= 5 ? 2 : 4) || bent.fret === 0 || held.fret === 0) return;
  const target = spell(d, root, sounding);
  const { id, string, fret, pitch } = bent;
  const curve = [
    { at: 0, amount: 0 },
    { at: 40, amount: 100 },
    { at: 100, amount: 100 },
  ];
  draft.notes = [
    held.bend === undefined
      ? held
      : { kind: 'pitched', id: held.id, pitch: held.pitch, string: held.string, fret: held.fret },
    { kind: 'pitched', id, pitch, string, fret, bend: { shape: 'bend', target, curve } },
  ];
}

function addEventMarks(d: Dice, draft: Draft, hand: Hand): void {
  const { recipe: r } = hand;
  const rings = draft.notes.some((n) => n.kind === 'pitched' && n.letRing === true);
  const plucked = draft.notes.some(
    (n) => n.kind === 'dead' || n.attack === undefined || n.attack === 'slide-plucked',
  );
  if (r.has('strokes')) {
    const direction = d.pick(['down', 'up'] as const);
    if (draft.notes.length > 1 && d.chance(0.3)) {
      if (plucked) draft.strum = direction;
    } else if (d.chance(0.12) && plucked) draft.stroke = direction;
    if (d.chance(0.02)) draft.tremolo = d.pick([1, 2, 3] as const);
  }
  if (r.has('articulations')) {
    const kind = d.weighted([60, 3, 3, 3, 5]);
    if (kind === 1 && !rings) draft.staccato = true;
    if (kind === 2) draft.accent = true;
    if (kind === 3) draft.tenuto = true;
    if (kind === 4 && !rings) draft.palmMute = true;
    if (kind === 0 && draft.onset % 4 === 3) draft.guessed = true;
  }
  if (r.has('rakes') && d.chance(0.03)) {
    const lowest = draft.notes.at(-1)!.string;
    const raked = hand.strings.filter((s) => s > lowest).slice(0, d.int(1, 3));
    if (raked.length > 0) draft.rake = raked.reverse() as [number, ...number[]];
  }
}

export function clamp(n: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, n));
}

import type { Bend, Harmonic, PhraseEvent, PitchedNote, Ticks } from '../../../core/phrase/types';
import { bendSemitones } from '../../../core/phrase/walk';
import { midiOf } from '../../../core/theory/pitch';
import { bendTiming } from '../bend-timing';
import { el, group, leaf, type XmlAttributes, type XmlNode } from '../xml/format';
import type { Link, SpannerNumbers } from './spanners';

/** The children of `<notations>` by the element that holds them. */
export interface Notations {
  readonly plain: XmlNode[];
  readonly ornaments: XmlNode[];
  readonly technical: XmlNode[];
  readonly articulations: XmlNode[];
}

export function emptyNotations(): Notations {
  return { plain: [], ornaments: [], technical: [], articulations: [] };
}

/** `<notations>`, or null where there is nothing to write. */
export function notationsNode(n: Notations): XmlNode | null {
  const children = [
    ...n.plain,
    ...(['ornaments', 'technical', 'articulations'] as const).flatMap((name) =>
      n[name].length === 0 ? [] : [group(name, n[name])],
    ),
  ];
  return children.length === 0 ? null : group('notations', children);
}

/** Text that the trade prints at a hammer-on and a pull-off. */
const LETTER = { 'hammer-on': 'H', 'pull-off': 'P' } as const;

/**
 * Start or stop of what leads from one note to the next. Hammer-on, pull-off and a slide that is not
 * plucked again are slurred; so is a slide-in, whose start is a grace note.
 */
export function addLink(
  n: Notations,
  type: 'start' | 'stop',
  link: Link,
  prefix: string,
  numbers: SpannerNumbers,
): void {
  const key = `${prefix} ${link.from} ${link.to}`;
  const mark = (name: string): XmlAttributes => ({
    type,
    number: type === 'start' ? numbers.start(name, key) : numbers.stop(name, key),
  });
  if (link.kind === 'hammer-on' || link.kind === 'pull-off') {
    const text = type === 'start' ? LETTER[link.kind] : '';
    n.technical.push(leaf(link.kind, text, mark(link.kind)));
  } else {
    n.plain.push(el('slide', { ...mark('slide'), 'line-type': 'solid' }));
  }
  if (link.kind !== 'slide-plucked') n.plain.push(el('slur', mark('slur')));
}

/** What belongs to the beginning of a note: on the first of its tied notes. */
export function addBeginning(n: Notations, note: PitchedNote, duration: Ticks): void {
  const { technical, articulations } = n;
  if (note.finger !== undefined) technical.push(leaf('fingering', note.finger));
  if (note.pluck !== undefined) technical.push(leaf('pluck', note.pluck));
  if (note.attack === 'tap') technical.push(leaf('tap', 'T'));
  if (note.bend !== undefined) technical.push(...bendNodes(note, note.bend, duration));
  if (note.barDip !== undefined) {
    technical.push(group('bend', leaf('bend-alter', -note.barDip), leaf('with-bar', 'dip')));
  }
  if (note.slideIn?.kind === 'indefinite') {
    articulations.push(group(note.slideIn.from === 'below' ? 'scoop' : 'plop'));
  }
}

/** What says how the pitch of a note is meant: on each of its tied notes. */
export function addHarmonic(n: Notations, note: PitchedNote): void {
  if (note.harmonic !== undefined) n.technical.push(...harmonicNodes(note.harmonic));
}

/** What belongs to the end of a note: on the last of its tied notes. */
export function addEnd(n: Notations, note: PitchedNote): void {
  if (note.slideOut !== undefined) {
    n.articulations.push(group(note.slideOut === 'up' ? 'doit' : 'falloff'));
  }
  if (note.letRing === true) n.plain.push(el('tied', { type: 'let-ring' }));
}

const VIBRATO_GLYPH = {
  narrow: 'guitarVibratoStroke',
  wide: 'guitarWideVibratoStroke',
} as const;

/** The wavy line of a vibrato or trill, over all tied notes. */
export function addShake(
  n: Notations,
  note: PitchedNote,
  at: { readonly first: boolean; readonly last: boolean },
  key: string,
  numbers: SpannerNumbers,
): void {
  if (note.vibrato === undefined && note.trill === undefined) return;
  if (at.first) {
    if (note.trill !== undefined) n.ornaments.push(trillNode(note, note.trill));
    const smufl = note.vibrato === undefined ? undefined : VIBRATO_GLYPH[note.vibrato];
    const number = numbers.start('wavy-line', key);
    n.ornaments.push(el('wavy-line', { type: 'start', number, smufl }));
  }
  if (at.last) {
    n.ornaments.push(el('wavy-line', { type: 'stop', number: numbers.stop('wavy-line', key) }));
  }
}

/** `trill-step` knows half and whole steps; a wider upper note is in our own field. */
function trillNode(note: PitchedNote, trill: NonNullable<PitchedNote['trill']>): XmlNode {
  const width = midiOf(trill.upper) - midiOf(note.pitch);
  const step = width === 1 ? 'half' : width === 2 ? 'whole' : undefined;
  return el('trill-mark', { 'trill-step': step });
}

function harmonicNodes(h: Harmonic): XmlNode[] {
  switch (h.kind) {
    case 'natural':
      return [group('harmonic', group('natural'), group('sounding-pitch'))];
    case 'artificial':
      return [group('harmonic', group('artificial'))];
    case 'pinch':
      return [
        group('harmonic', group('artificial'), group('base-pitch')),
        leaf('other-technical', 'pinch harmonic'),
      ];
  }
}

/**
 * The `<bend>`s of a note. Pitch and fret are of the fretted start, so a bend counts up from it; a
 * release counts down, and so does a pre-bend (W3C's own example). Times are percent, and the offset
 * of a release ticks, of the whole sounding note.
 */
function bendNodes(note: PitchedNote, bend: Bend, duration: Ticks): XmlNode[] {
  const width = bendSemitones(note);
  const { rise, fall } = bendTiming(bend.shape, bend.curve);
  const nodes: XmlNode[] = [];
  if (rise !== null) {
    const attributes = { 'first-beat': rise[0], 'last-beat': rise[1] };
    nodes.push(el('bend', attributes, leaf('bend-alter', width)));
  } else {
    nodes.push(group('bend', leaf('bend-alter', -width), group('pre-bend')));
  }
  if (fall !== null) {
    const attributes = { 'first-beat': fall[0], 'last-beat': fall[1] };
    const release = el('release', { offset: (fall[0] / 100) * duration });
    nodes.push(el('bend', attributes, leaf('bend-alter', -width), release));
  }
  return nodes;
}

/** How an event is struck; on the first of its tied notes. */
export function addStriking(n: Notations, e: PhraseEvent, isFirstOfChord: boolean): void {
  if (isFirstOfChord) {
    if (e.stroke !== undefined) n.technical.push(group(`${e.stroke}-bow`));
    if (e.accent === true) n.articulations.push(group('accent'));
    if (e.staccato === true) n.articulations.push(group('staccato'));
    if (e.tenuto === true) n.articulations.push(group('tenuto'));
  }
  // A down-strum goes from the lowest string up in pitch.
  if (e.strum !== undefined) {
    n.plain.push(el('arpeggiate', { direction: e.strum === 'down' ? 'up' : 'down' }));
  }
}

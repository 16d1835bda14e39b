import type {
  Bend,
  DeadNote,
  Harmonic,
  PhraseEvent,
  PitchedNote,
  Ticks,
} from '../../../core/phrase/types';
import { bendSemitones } from '../../../core/phrase/walk';
import type {
  DeadTechnique,
  MomentTechnique,
  PitchedTechnique,
} from '../../../core/technique/fields';
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

/** Notations to be filled, in the groups in which the format orders them. */
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

/** Which of the tied notes of a note is written, and how its spans are numbered. */
export interface TiedAt {
  readonly first: boolean;
  readonly last: boolean;
  readonly duration: Ticks;
  /** Name of the note for spans that start at it. */
  readonly key: string;
  readonly numbers: SpannerNumbers;
}

type Writer = (n: Notations, note: PitchedNote, at: TiedAt) => void;

/**
 * How each technique of a note is written, in the order of the elements: what belongs to the beginning
 * on the first of its tied notes, what belongs to the end on the last, what says how its pitch is
 * meant on each. Null: it is no notation, but a head.
 */
const WRITERS: Readonly<Record<PitchedTechnique, Writer | null>> = {
  trill: (n, note, at) => {
    if (note.trill === undefined) return;
    if (at.first) n.ornaments.push(trillNode(note, note.trill));
    addWave(n, undefined, at);
  },
  vibrato: (n, { vibrato }, at) => {
    if (vibrato !== undefined) addWave(n, VIBRATO_GLYPH[vibrato], at);
  },
  harmonic: (n, { harmonic }) => {
    if (harmonic !== undefined) n.technical.push(...harmonicNodes(harmonic));
  },
  finger: (n, { finger }, at) => {
    if (at.first && finger !== undefined) n.technical.push(leaf('fingering', finger));
  },
  pluck: (n, { pluck }, at) => {
    if (at.first && pluck !== undefined) n.technical.push(leaf('pluck', pluck));
  },
  // What starts from the note before is a link between the two.
  attack: (n, { attack }, at) => {
    if (at.first && attack === 'tap') n.technical.push(leaf('tap', 'T'));
  },
  bend: (n, note, at) => {
    if (!at.first || note.bend === undefined) return;
    n.technical.push(...bendNodes(note, note.bend, at.duration));
  },
  barDip: (n, { barDip }, at) => {
    if (!at.first || barDip === undefined) return;
    n.technical.push(group('bend', leaf('bend-alter', -barDip), leaf('with-bar', 'dip')));
  },
  // A slide-in from a definite pitch is a grace note.
  slideIn: (n, { slideIn }, at) => {
    if (!at.first || slideIn?.kind !== 'indefinite') return;
    n.articulations.push(group(slideIn.from === 'below' ? 'scoop' : 'plop'));
  },
  slideOut: (n, { slideOut }, at) => {
    if (!at.last || slideOut === undefined) return;
    n.articulations.push(group(slideOut === 'up' ? 'doit' : 'falloff'));
  },
  letRing: (n, { letRing }, at) => {
    if (at.last && letRing === true) n.plain.push(el('tied', { type: 'let-ring' }));
  },
  ghost: null,
};

/** How each technique of a dead note is written. */
const DEAD_WRITERS: Readonly<
  Record<DeadTechnique, (n: Notations, d: DeadNote, at: TiedAt) => void>
> = {
  // The format has no element for it.
  scrape: (n, { scrape }, at) => {
    if (!at.first || scrape === undefined) return;
    n.technical.push(leaf('other-technical', `pick scrape ${scrape}`));
  },
};

/** All techniques of a dead note. */
export function addDeadTechniques(n: Notations, note: DeadNote, at: TiedAt): void {
  for (const write of Object.values(DEAD_WRITERS)) write(n, note, at);
}

/** All techniques of a note as far as they are notations. */
export function addTechniques(n: Notations, note: PitchedNote, at: TiedAt): void {
  for (const write of Object.values(WRITERS)) write?.(n, note, at);
}

const VIBRATO_GLYPH = {
  narrow: 'guitarVibratoStroke',
  wide: 'guitarWideVibratoStroke',
} as const;

/** The wavy line of a vibrato or trill, over all tied notes. */
function addWave(n: Notations, smufl: string | undefined, at: TiedAt): void {
  const { key, numbers } = at;
  if (at.first) {
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

/** Which note of an event is written, and where. */
export interface StruckAt {
  /** The first of its tied notes. */
  readonly first: boolean;
  readonly firstOfChord: boolean;
  /** The staff has no stems. */
  readonly bare: boolean;
}

type Striker = (n: Notations, e: PhraseEvent, at: StruckAt) => void;

const once = (at: StruckAt) => at.first && at.firstOfChord;

/**
 * How each technique of a moment is written; null: as grace notes before it, or as an element of the
 * note itself.
 */
const STRIKERS: Readonly<Record<MomentTechnique, Striker | null>> = {
  stroke: (n, { stroke }, at) => {
    if (once(at) && stroke !== undefined) n.technical.push(group(`${stroke}-bow`));
  },
  accent: (n, e, at) => {
    if (once(at) && e.accent === true) n.articulations.push(group('accent'));
  },
  staccato: (n, e, at) => {
    if (once(at) && e.staccato === true) n.articulations.push(group('staccato'));
  },
  tenuto: (n, e, at) => {
    if (once(at) && e.tenuto === true) n.articulations.push(group('tenuto'));
  },
  // A down-strum goes from the lowest string up in pitch.
  strum: (n, { strum }, at) => {
    if (!at.first || strum === undefined) return;
    n.plain.push(el('arpeggiate', { direction: strum === 'down' ? 'up' : 'down' }));
  },
  // The strokes go through a stem, which a bare staff has not.
  tremolo: (n, { tremolo }, at) => {
    if (tremolo === undefined || at.bare) return;
    n.ornaments.push(leaf('tremolo', tremolo, { type: 'single' }));
  },
  graces: null,
  rake: null,
  palmMute: null,
};

/** How an event is struck. */
export function addStriking(n: Notations, e: PhraseEvent, at: StruckAt): void {
  for (const write of Object.values(STRIKERS)) write?.(n, e, at);
}

import type { Phrase } from '../../core/phrase/types';
import type { PerformOptions } from '../../core/sound/perform';
import { decodeLink, encodeLink, MOST_CHARACTERS } from '../link/phrase-link';

/*
 * What no MIDI event says (how it is written, spelled and played) travels in one sequencer-specific meta
 * event (FF 7F, Standard MIDI Files 1.0): `7D`, which MIDI 1.0 keeps for what no maker owns, then ASCII:
 * the label, how the phrase was played, the phrase packed as in a link. Other programs pass over it.
 */

const MAKER = 0x7d;
const LABEL = 'degreewise:phrase';

/** A phrase as it was written into a file, with how it was played there. */
export interface WrittenScore {
  readonly phrase: Phrase;
  readonly played: PerformOptions;
}

/**
 * Contents of the meta event; null for a phrase too long for one. Only the music goes along: notes for
 * students, tags and where a phrase comes from stay in the house.
 */
export function scoreContents(p: Phrase, o: PerformOptions): readonly number[] | null {
  const packed = encodeLink(musicOf(p));
  if (packed.length > MOST_CHARACTERS) return null;
  const words = [
    ...(o.speed === undefined || o.speed === 1 ? [] : [`speed=${o.speed}`]),
    ...(o.swing === 'written' ? ['swing=written'] : []),
    ...(o.repeats === false ? ['repeats=none'] : []),
    ...(o.slides === 'stepped' ? ['slides=stepped'] : []),
  ];
  const text = [LABEL, ...words, packed].join(' ');
  return [MAKER, ...Array.from(text, (c) => c.charCodeAt(0))];
}

/** The phrase in a meta event's contents; null for what is not ours or is damaged. Never throws. */
export function readScore(contents: Iterable<number>): WrittenScore | null {
  const [maker, ...rest] = contents;
  if (maker !== MAKER || rest.length > MOST_CHARACTERS + 200) return null;
  const [label, ...words] = rest
    .map((b) => String.fromCharCode(b))
    .join('')
    .split(' ');
  const packed = words.pop();
  if (label !== LABEL || packed === undefined) return null;
  const speed = Number(words.find((w) => w.startsWith('speed='))?.slice(6) ?? 1);
  if (!(speed >= LEAST_SPEED && speed <= MOST_SPEED)) return null;
  const phrase = decodeLink(packed);
  if (!phrase.ok) return null;
  const played: PerformOptions = {
    speed,
    ...(words.includes('swing=written') ? { swing: 'written' } : {}),
    ...(words.includes('repeats=none') ? { repeats: false } : {}),
    ...(words.includes('slides=stepped') ? { slides: 'stepped' } : {}),
  };
  return { phrase: phrase.value, played };
}

const LEAST_SPEED = 0.05;
const MOST_SPEED = 20;

/** The phrase without what is about it rather than in it. */
function musicOf(p: Phrase): Phrase {
  const { title } = p.meta;
  const never = '1970-01-01T00:00:00.000Z';
  const meta = { title, tags: [], created: never, modified: never };
  // What it was made of names other phrases of the library.
  const { parts: _, ...music } = p;
  return { ...music, id: 'midi', parent: null, meta };
}

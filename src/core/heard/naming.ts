import { whereInKey } from '../move/child';
import type { Phrase, PitchedNote } from '../phrase/types';
import { listed } from '../vary/spots';

/** What a phrase that was played may be called and sorted under, until its player says otherwise. */
export interface ProposedName {
  readonly title: string;
  readonly tags: readonly string[];
}

/** How often something is done before it is one of the phrase's traits. */
const OFTEN = 2;
const MOST_IN_TITLE = 2;
const MOST_TAGS = 3;

/** What a note has, in the words that players tag phrases with (common practice). */
const OF_NOTES: Readonly<Record<string, (n: PitchedNote) => boolean>> = {
  bends: (n) => n.bend !== undefined,
  slides: (n) => n.attack === 'slide' || n.attack === 'slide-plucked' || n.slideIn !== undefined,
  'hammer-ons': (n) => n.attack === 'hammer-on',
  'pull-offs': (n) => n.attack === 'pull-off',
  vibrato: (n) => n.vibrato !== undefined,
};

/**
 * Says what is in a phrase and over what it lies, only what it holds itself, the commonest first.
 * @param called What the recording is called, with the number of the phrase in it.
 * @returns `Caught 2026-11-28, 2: bends and double stops over I7 IV7 in A`
 */
export function proposeName(p: Phrase, called: string): ProposedName {
  const traits = traitsOf(p);
  const played = traits.length === 0 ? textureOf(p) : listed(traits.slice(0, MOST_IN_TITLE));
  return { title: `${called}: ${played} ${whereInKey(p)}`, tags: traits.slice(0, MOST_TAGS) };
}

/** What is done in it often, the commonest first; what is as common as another as it comes first. */
function traitsOf(p: Phrase): readonly string[] {
  const counts = new Map<string, number>();
  const count = (word: string) => counts.set(word, (counts.get(word) ?? 0) + 1);
  for (const e of p.voices.flatMap((v) => v.events)) {
    const notes = e.notes.filter((n) => n.kind === 'pitched');
    if (notes.length === 2) count('double stops');
    if (notes.length > 2) count('chords');
    for (const [word, has] of Object.entries(OF_NOTES)) if (notes.some(has)) count(word);
  }
  return [...counts]
    .filter(([, n]) => n >= OFTEN)
    .sort((a, b) => b[1] - a[1])
    .map(([word]) => word);
}

function textureOf(p: Phrase): string {
  const alone = p.voices.every((v) => v.events.every((e) => e.notes.length < 2));
  return alone ? 'single notes' : 'notes';
}

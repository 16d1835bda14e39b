import type { Phrase } from '../phrase/types';
import type { TechniqueField } from '../technique/fields';
import { TECHNIQUES } from '../technique/table';

/**
 * The words under which a technique is looked for; the value decides where a field holds several
 * (`attack`). Empty for what is not looked for: which finger plays.
 */
const WORDS: Readonly<Record<TechniqueField, (value: unknown) => string>> = {
  attack: (v) => (v === 'tap' ? 'tap tapping tapped' : `legato ${String(v)}`),
  slideIn: () => 'slide-in slide slid',
  slideOut: () => 'slide off slide slid',
  bend: (v) => `bend bent ${part(v, 'shape')}`,
  vibrato: (v) => (v === 'wide' ? 'wide vibrato' : 'vibrato'),
  trill: () => 'trill',
  harmonic: (v) => `${part(v, 'kind')} harmonic`,
  barDip: () => 'dip with the bar',
  letRing: () => 'let ring',
  ghost: () => 'ghost note',
  scrape: () => 'pick scrape slide',
  finger: () => '',
  pluck: () => '',
  graces: () => 'grace note',
  rake: () => 'rake raked',
  stroke: (v) => `${String(v)}-stroke`,
  strum: () => 'strum strummed',
  palmMute: () => 'palm mute',
  staccato: () => 'staccato',
  accent: () => 'accent',
  tenuto: () => 'tenuto',
  tremolo: () => 'tremolo picking',
};

function part(value: unknown, name: string): string {
  const found = (value as Readonly<Record<string, unknown>>)[name];
  return typeof found === 'string' ? found : '';
}

const FIELDS = Object.keys(TECHNIQUES) as readonly TechniqueField[];

/** How many strings sound together, as a player says it. */
const TOGETHER: readonly string[] = ['', '', 'double stop'];

/** Every technique of a phrase once, in words. */
export function techniquesIn(p: Phrase): ReadonlySet<string> {
  const found = new Set<string>();
  const take = (owner: object) => {
    for (const field of FIELDS) {
      const value = (owner as Readonly<Record<string, unknown>>)[field];
      if (value !== undefined && value !== false) found.add(WORDS[field](value));
    }
  };
  for (const voice of p.voices) {
    for (const event of voice.events) {
      take(event);
      found.add(TOGETHER[event.notes.length] ?? 'chord');
      for (const note of event.notes) {
        take(note);
        if (note.kind === 'dead') found.add('dead note');
      }
    }
  }
  found.delete('');
  return found;
}

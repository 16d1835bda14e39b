import { idleDays } from '../../library/use';
import type { Phrase } from '../../phrase/types';
import type { NumberAtom } from '../query/types';
import { type Found, found, type Subject } from './found';

/** A number of the phrase, or a place that all of its notes keep to. */
export function defineNumber(a: NumberAtom, s: Subject): Found {
  const within = (n: number) => a.from <= n && n <= a.to;
  const p = s.phrase;
  switch (a.of) {
    case 'level':
      return found(p.meta.level !== undefined && within(p.meta.level));
    case 'bars':
      return found(within(p.bars.length));
    case 'tempo':
      return found(within(p.tempo.bpm));
    case 'notes':
      return found(within(placesOf(p).length));
    case 'span': {
      const heard = s.lines.flatMap((l) => l.flatMap((e) => e.notes.flatMap((n) => n.midi ?? [])));
      return found(heard.length > 0 && within(Math.max(...heard) - Math.min(...heard)));
    }
    case 'frets': {
      // Open strings lie everywhere.
      const fretted = placesOf(p).filter((n) => n.fret > 0);
      return found(fretted.length > 0 && fretted.every((n) => within(n.fret)));
    }
    case 'idle':
      return found(within(idleDays(s.around, p.id)));
    case 'strings': {
      const places = placesOf(p);
      return found(places.length > 0 && places.every((n) => within(n.string)));
    }
  }
}

function placesOf(p: Phrase) {
  return p.voices.flatMap((v) => v.events.flatMap((e) => e.notes));
}

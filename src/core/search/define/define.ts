import { type Around, NOTHING_AROUND } from '../../library/around';
import { factsOf } from '../../library/facts';
import { foldText } from '../../library/fold';
import type { Phrase } from '../../phrase/types';
import { chordOf } from '../../theory/chord';
import type { ChordSymbol } from '../../theory/chord-model';
import { formatDegree, sameDegree } from '../../theory/degree';
import type { Key } from '../../theory/key';
import { mod, samePitchClass } from '../../theory/pitch';
import { chordTest, NO_CHORD } from '../chord-test';
import { heardIn, suitsWish, wishIn } from '../fits-chord';
import { hasTechnique } from '../query/technique-names';
import type { Atom, Query } from '../query/types';
import { saysDegree, saysNumeral } from '../says';
import { byNotes, type Found, found, type Subject } from './found';
import { linesOf } from './line';
import { defineNumber } from './numbers';
import { defineContour, defineIntervals, defineRhythm, defineRow } from './rows';
import { textsOf } from './texts';

/**
 * What a query means, straight from the phrase: slow, and the oracle of every faster way. Also tells
 * which notes to mark.
 * @param around What the library knows of it besides.
 */
export function define(query: Query, phrase: Phrase, around: Around = NOTHING_AROUND): Found {
  return defineIn(query, {
    phrase,
    around,
    // Words and numbers ask for no notes.
    get lines() {
      return linesOf(phrase);
    },
  });
}

function defineIn(q: Query, s: Subject): Found {
  switch (q.kind) {
    case 'all':
      return found(true);
    case 'both': {
      const parts = q.parts.map((p) => defineIn(p, s));
      return found(
        parts.every((p) => p.holds),
        parts.flatMap((p) => [...p.notes]),
      );
    }
    case 'either': {
      const parts = q.parts.map((p) => defineIn(p, s));
      return found(
        parts.some((p) => p.holds),
        parts.flatMap((p) => [...p.notes]),
      );
    }
    case 'not':
      return found(!defineIn(q.part, s).holds);
    default:
      return defineAtom(q, s);
  }
}

function defineAtom(a: Atom, s: Subject): Found {
  const p = s.phrase;
  switch (a.kind) {
    case 'text':
      return found(factsOf(p).text.includes(a.text));
    case 'numeral':
      return defineNumeral(a.numeral, s);
    case 'degree':
      return defineDegree(a, s);
    case 'row':
      return defineRow(a, s);
    case 'change':
      return defineChange(a.chords, s);
    case 'fits':
      return defineFits(a.chords, s);
    case 'first':
    case 'last':
      return defineEdge(a, s);
    case 'rhythm':
      return defineRhythm(a, s);
    case 'contour':
      return defineContour(a, s);
    case 'intervals':
      return defineIntervals(a, s);
    case 'with': {
      const notes = s.lines.flatMap((line) =>
        line.flatMap(({ event }) =>
          event.notes.filter((n) => hasTechnique(a.technique, n, event)).map((n) => n.id),
        ),
      );
      return found(notes.length > 0, notes);
    }
    case 'role':
      return byNotes(s, (n) => n.role === a.role);
    case 'chord': {
      const fits = laneTest(a.chord);
      return found(p.chords.some((c) => fits(c.symbol, p.key)));
    }
    case 'number':
      return defineNumber(a, s);
    case 'key':
      return found(
        (a.tonic === null || samePitchClass(a.tonic, p.key.tonic)) &&
          (a.mode === null || a.mode === p.key.mode),
      );
    case 'feel': {
      const swung = p.feel.kind === 'swing';
      const shuffle = p.feel.kind === 'swing' && p.feel.first === 2 && p.feel.second === 1;
      return found({ straight: !swung, swung, shuffle }[a.feel]);
    }
    case 'meter':
      return found(p.bars.some(({ meter: m }) => m.beats === a.beats && m.beatType === a.beatType));
    case 'in':
      return found(textsOf(p, a.field).some((t) => foldText(t).includes(a.text)));
    case 'member':
      return found(
        s.around.collections.some((c) => c.title.includes(a.text) && c.phrases.has(p.id)),
      );
    case 'used': {
      const days = s.around.uses.get(p.id) ?? [];
      const { day } = a;
      return found(day === null ? days.length === 0 : days.some((d) => d.startsWith(day)));
    }
    case 'when': {
      const earlier = p.meta.modified.slice(0, a.day.length) < a.day;
      return found(a.side === 'before' ? earlier : !earlier);
    }
  }
}

/** A chord of the lane, marked by the notes that belong to it; or a word of title or tags. */
function defineNumeral(numeral: string, s: Subject): Found {
  const { chords, key, meta } = s.phrase;
  const fits = chordTest(numeral);
  const says = [meta.title, ...meta.tags].some(saysNumeral(numeral));
  const { notes } = byNotes(s, (n) => n.owner !== null && fits(n.owner, key));
  return found(says || chords.some((c) => c.symbol !== null && fits(c.symbol, key)), notes);
}

function defineDegree({ degree }: Atom & { kind: 'degree' }, s: Subject): Found {
  const { chords, meta } = s.phrase;
  const name = foldText(formatDegree(degree));
  const notes = byNotes(s, (n) => n.degrees.some((d) => sameDegree(d, degree)));
  const says = [meta.title, ...meta.tags].some(saysDegree(degree));
  const chord = chords.some((c) => c.symbol !== null && foldText(c.symbol) === name);
  return found(notes.holds || says || chord, notes.notes);
}

function defineChange(asked: readonly string[], { phrase: p }: Subject): Found {
  const tests = asked.map(laneTest);
  return found(
    p.chords.some((_, start) =>
      tests.every((fits, i) => {
        const chord = p.chords[start + i];
        return chord !== undefined && fits(chord.symbol, p.key);
      }),
    ),
  );
}

/**
 * Whether it can be moved by chord over what is asked for and hears what it heard: chord by chord the same
 * quality, and all roots as far from those that are asked for. Over one chord all of it must go. Of a change
 * it is enough that the phrase ends with it: what it has before leads there, as a ii before its V (common
 * practice). Without a lane nothing is known of it.
 */
function defineFits(asked: readonly string[], { phrase: p }: Subject): Found {
  const all = p.chords.filter((c, i) => c.symbol !== p.chords[i - 1]?.symbol || i === 0);
  if (all.length < asked.length || (asked.length === 1 && all.length > 1)) return found(false);
  const lane = all.slice(-asked.length);
  const far = new Set<number>();
  const holds = lane.every(({ symbol }, i) => {
    const wish = wishIn(asked[i]!, p.key);
    if (wish === null || symbol === null) return wish?.kind === 'no chord' && symbol === null;
    if (wish.kind === 'no chord') return false;
    const heard = heardIn(chordOf(symbol));
    far.add(mod(heard.chroma - wish.chroma, 12));
    return suitsWish(heard, wish);
  });
  return found(holds && far.size < 2);
}

/** The test of a place of the lane, where there may be no chord. */
function laneTest(asked: string): (symbol: ChordSymbol | null, key: Key) => boolean {
  if (asked === NO_CHORD) return (symbol) => symbol === null;
  const fits = chordTest(asked);
  return (symbol, key) => symbol !== null && fits(symbol, key);
}

/** The first or last moment of the first voice that has a pitch. */
function defineEdge({ kind, degree }: Atom & { kind: 'first' | 'last' }, s: Subject): Found {
  const events = (s.lines[0] ?? []).filter((e) => e.top !== null);
  const edge = kind === 'first' ? events[0] : events.at(-1);
  const notes = (edge?.notes ?? []).filter((n) => n.degrees.some((d) => sameDegree(d, degree)));
  return found(
    notes.length > 0,
    notes.map((n) => n.note.id),
  );
}

import { barSpans, beatTicks } from '../../src/core/phrase/time';
import type { Note, Phrase, PhraseEvent, PitchedNote } from '../../src/core/phrase/types';
import { endOf } from '../../src/core/phrase/walk';
import { chordTones } from '../../src/core/theory/chord';
import { homeScale } from '../../src/core/theory/chord-scale';
import { degreeOf, formatDegree } from '../../src/core/theory/degree';
import { keyScale } from '../../src/core/theory/key';
import { chromaOf, midiOf, mod, type Pitch } from '../../src/core/theory/pitch';
import { analyse } from '../../src/core/understand/analyse';
import { chordSpans, spanAt } from '../../src/core/understand/owner';
import type { VariationId } from '../../src/core/vary/table';

/*
 * What each variation promises, looked at from outside: with pitches, onsets and the chord tables
 * alone, and none of the code that makes variations.
 */

/** A note as it is heard: a bend at its target (D5). */
interface Heard {
  readonly id: string;
  readonly onset: number;
  readonly duration: number;
  readonly midi: number;
  readonly pitch: Pitch;
  readonly note: PitchedNote;
  readonly event: PhraseEvent;
}

const target = (n: PitchedNote): Pitch =>
  n.bend !== undefined && n.bend.shape !== 'curl' ? n.bend.target : n.pitch;

function heardIn(events: readonly PhraseEvent[]): readonly Heard[] {
  return events.flatMap((event) =>
    event.notes
      .filter((n): n is PitchedNote => n.kind === 'pitched')
      .map((note) => ({
        id: note.id,
        onset: event.onset,
        duration: event.duration,
        midi: midiOf(target(note)),
        pitch: target(note),
        note,
        event,
      })),
  );
}

const line = (p: Phrase) => heardIn(p.voices[0].events);

/** The highest of each moment. */
function tops(p: Phrase): readonly Heard[] {
  const best = new Map<number, Heard>();
  for (const h of line(p)) {
    const other = best.get(h.onset);
    if (other === undefined || h.midi > other.midi) best.set(h.onset, h);
  }
  return [...best.values()];
}

function tonesOver(p: Phrase, h: Heard): readonly number[] {
  const owner = analyse(p).byId.get(h.id)?.owner?.chord ?? null;
  if (owner !== null) {
    return chordTones(owner).map((d) => mod(chromaOf(owner.root) + semis(d), 12));
  }
  const scale = keyScale(p.key.mode);
  return [0, 2, 4].map((i) => mod(chromaOf(p.key.tonic) + semis(scale[i]!), 12));
}

function scaleOver(p: Phrase, h: Heard): readonly number[] {
  const owner = analyse(p).byId.get(h.id)?.owner?.chord ?? null;
  const blues = p.key.mode === 'blues';
  const inKey = keyScale(p.key.mode).map((d) => ({
    number: d.number,
    chroma: mod(chromaOf(p.key.tonic) + (blues && d.number === 7 ? 10 : semis(d)), 12),
  }));
  if (owner === null) return inKey.map((d) => d.chroma);
  // Over the tonic of a minor key the key's ♭6 is at home, unless the chord sounds its 6 or its 7.
  const over = new Set(chordTones(owner).map((d) => mod(semis(d), 12)));
  const atHome =
    p.key.mode === 'minor' &&
    chromaOf(owner.root) === chromaOf(p.key.tonic) &&
    over.has(3) &&
    over.has(7) &&
    !over.has(9) &&
    !over.has(11);
  const home = homeScale(owner).map((d) =>
    atHome && d.number === 6 ? { number: 6, alter: -1 } : d,
  );
  // What the chord leaves open (the seventh of a triad) comes from the key, letter by letter.
  const letters = 'CDEFGAB';
  const letter = (root: string, number: number) =>
    letters[(letters.indexOf(root) + number - 1) % 7]!;
  const own = new Set(home.map((d) => letter(owner.root.letter, d.number)));
  const more = inKey.filter((d) => !own.has(letter(p.key.tonic.letter, d.number)));
  return [
    ...home.map((d) => mod(chromaOf(owner.root) + semis(d), 12)),
    ...more.map((d) => d.chroma),
  ];
}

const NATURAL = [0, 0, 2, 4, 5, 7, 9, 11];
const semis = (d: { readonly number: number; readonly alter: number }) =>
  NATURAL[d.number]! + d.alter;

const isOver = (list: readonly number[], midi: number) => list.includes(mod(midi, 12));

/** Whether a moment falls on a counted beat. */
function onBeat(p: Phrase, onset: number): boolean {
  const span = barSpans(p).find((b) => onset >= b.start && onset < b.end);
  if (span === undefined) return false;
  const from = span.number === 0 ? span.end : span.start;
  return mod(onset - from, beatTicks(span.bar.meter)) === 0;
}

type Fault = string | null;
type Check = (a: Phrase, b: Phrase) => Fault;

const all =
  (...checks: readonly Check[]): Check =>
  (a, b) =>
    checks.reduce<Fault>((found, c) => found ?? c(a, b), null);

/** Every note of before is there: the same id heard at the same pitch. */
const keepsSounds: Check = (a, b) => {
  const is = new Map(line(b).map((h) => [h.id, h]));
  const bad = line(a).find((h) => is.get(h.id)?.midi !== h.midi);
  return bad === undefined ? null : `${bad.id} is not heard as before`;
};

const keepsOnsets: Check = (a, b) => {
  const is = new Map(line(b).map((h) => [h.id, h]));
  const bad = line(a).find((h) => is.get(h.id)?.onset !== h.onset);
  return bad === undefined ? null : `${bad.id} is at another time`;
};

const keepsLengths: Check = (a, b) => {
  const is = new Map(line(b).map((h) => [h.id, h]));
  const bad = line(a).find((h) => is.get(h.id)?.duration !== h.duration);
  return bad === undefined ? null : `${bad.id} is of another length`;
};

const addsNone: Check = (a, b) => {
  const was = new Set(line(a).map((h) => h.id));
  const bad = line(b).find((h) => !was.has(h.id));
  return bad === undefined ? null : `${bad.id} was added`;
};

const addsSome: Check = (a, b) => (line(b).length > line(a).length ? null : 'nothing was added');

const fewer: Check = (a, b) => (line(b).length < line(a).length ? null : 'no fewer notes');

function added(a: Phrase, b: Phrase): readonly Heard[] {
  const was = new Set(line(a).map((h) => h.id));
  return line(b).filter((h) => !was.has(h.id));
}

/** Every added note stands under or over a note of the melody and fits it. */
const pairs =
  (fits: (low: Heard, melody: Heard, b: Phrase) => Fault): Check =>
  (a, b) => {
    const was = new Map(line(a).map((h) => [h.id, h]));
    for (const n of added(a, b)) {
      const melody = line(b).find((h) => h.onset === n.onset && was.has(h.id));
      if (melody === undefined) return `${n.id} stands alone`;
      const fault = fits(n, melody, b);
      if (fault !== null) return `${n.id}: ${fault}`;
    }
    return null;
  };

/** Chord tones, except that a leading note's partner goes along with it. */
const beside = (sizes: readonly number[]): Check =>
  pairs((n, m) => (sizes.includes(m.midi - n.midi) ? null : `${m.midi - n.midi} semitones below`));

const chordTone = (way: -1 | 1): Check =>
  pairs((n, m, b) => {
    const by = (n.midi - m.midi) * way;
    if (by < 3 || by > 9) return `${by} semitones away`;
    return isOver(tonesOver(b, n), n.midi) ? null : 'no chord tone';
  });

const doubles = all(keepsSounds, keepsOnsets, keepsLengths, addsSome);

/** The same notes; what was done to them is one thing and on at least one of them. */
const marked =
  (has: (n: PitchedNote, e: PhraseEvent) => boolean): Check =>
  (a, b) => {
    const before = new Map(line(a).map((h) => [h.id, h]));
    const more = line(b).some((h) => {
      const was = before.get(h.id);
      return has(h.note, h.event) && (was === undefined || !has(was.note, was.event));
    });
    return more ? null : 'it was done to no note';
  };

/** Added notes lie before a chord tone, in time and by so many semitones, outside of nothing else. */
const leads =
  (count: number, fits: (chain: readonly Heard[], goal: Heard, b: Phrase) => Fault): Check =>
  (a, b) => {
    const was = new Set(line(a).map((h) => h.id));
    const seq = line(b);
    for (let i = 0; i < seq.length; i++) {
      if (was.has(seq[i]!.id)) continue;
      const chain = seq.slice(i, i + count);
      const goal = seq[i + count];
      if (chain.some((h) => was.has(h.id))) return 'a part of an approach alone';
      if (goal === undefined || !was.has(goal.id)) return 'an approach to nothing';
      if (endOf(chain.at(-1)!.event) !== goal.onset) return 'a gap before the goal';
      if (!isOver(tonesOver(b, goal), goal.midi)) return 'the goal is no chord tone';
      const fault = fits(chain, goal, b);
      if (fault !== null) return fault;
      i += count;
    }
    return null;
  };

const share = (p: Phrase) => {
  const beats = tops(p).filter((h) => onBeat(p, h.onset));
  const good = beats.filter((h) => isOver(tonesOver(p, h), h.midi));
  return beats.length === 0 ? 0 : good.length / beats.length;
};

const meanLength = (p: Phrase) =>
  line(p).reduce((s, h) => s + h.duration, 0) / Math.max(1, line(p).length);

const octaves =
  (by: number): Check =>
  (a, b) => {
    const bad = tops(a).findIndex((h, i) => tops(b)[i]?.midi !== h.midi + by);
    return bad < 0 ? null : `note ${bad + 1} is not ${by} semitones away`;
  };

const plucked = (n: Note) =>
  n.kind === 'dead' ||
  ['attack', 'slideIn', 'slideOut', 'bend', 'vibrato', 'trill', 'barDip'].every((f) => !(f in n));

/** What is wrong with a variation by its promise; null where it is kept. */
export const PROMISES: Readonly<Record<VariationId, Check>> = {
  'double-below': all(doubles, chordTone(-1)),
  'double-above': all(doubles, chordTone(1)),
  thirds: all(doubles, beside([3, 4])),
  sixths: all(doubles, beside([8, 9])),
  fourths: all(doubles, beside([5])),
  'single-notes': all(addsNone, fewer, (a, b) => {
    const high = new Map(tops(a).map((h) => [h.onset, h.midi]));
    const bad = line(b).find((h) => h.midi !== high.get(h.onset));
    if (bad !== undefined) return `${bad.id} is not the highest`;
    return tops(b).length === line(b).length && tops(b).length === tops(a).length
      ? null
      : 'not one note at a time';
  }),
  'slide-in': all(
    keepsSounds,
    keepsOnsets,
    keepsLengths,
    addsNone,
    marked((n) => n.slideIn?.from === 'below'),
  ),
  grace: all(
    keepsSounds,
    keepsOnsets,
    keepsLengths,
    addsNone,
    marked((n, e) => n.attack === 'hammer-on' && e.graces !== undefined),
  ),
  'hammer-on': all(keepsSounds, addsSome, (a, b) => {
    const was = new Set(line(a).map((h) => h.id));
    const seq = line(b);
    const bad = seq.find((h, i) => {
      if (was.has(h.id)) return false;
      const next = seq.slice(i + 1).find((x) => x.onset === h.onset + h.duration);
      return next === undefined || next.note.attack !== 'hammer-on' || next.midi <= h.midi;
    });
    return bad === undefined ? null : `${bad.id} is not hammered on`;
  }),
  bend: all(
    keepsSounds,
    keepsOnsets,
    keepsLengths,
    addsNone,
    marked((n) => n.bend?.shape === 'bend'),
  ),
  curl: all(
    keepsSounds,
    keepsOnsets,
    keepsLengths,
    addsNone,
    marked((n) => n.bend?.shape === 'curl'),
    (a, b) => {
      const was = new Map(line(a).map((h) => [h.id, h.note.bend]));
      const bad = line(b).find((h) => {
        if (h.note.bend?.shape !== 'curl' || was.get(h.id) !== undefined) return false;
        const owner = analyse(b).byId.get(h.id)?.owner?.chord ?? null;
        const d = formatDegree(degreeOf(owner === null ? b.key.tonic : owner.root, h.pitch));
        return !['b3', 'b5', 'b7'].includes(d);
      });
      return bad === undefined ? null : `${bad.id} is no blue note`;
    },
  ),
  plain: all(keepsSounds, keepsOnsets, keepsLengths, addsNone, (_, b) =>
    b.voices[0].events.every((e) => e.graces === undefined && e.notes.every(plucked))
      ? null
      : 'something is left on a note',
  ),
  'approach-below': all(
    keepsSounds,
    keepsOnsets,
    addsSome,
    leads(1, ([n], goal) => (goal.midi - n!.midi === 1 ? null : 'no semitone')),
  ),
  'approach-above': all(
    keepsSounds,
    keepsOnsets,
    addsSome,
    leads(1, ([n], goal, b) => {
      const by = n!.midi - goal.midi;
      if (by < 1 || by > 4) return `${by} semitones above`;
      return isOver(scaleOver(b, goal), n!.midi) ? null : 'not of the scale';
    }),
  ),
  enclosure: all(
    keepsSounds,
    keepsOnsets,
    addsSome,
    leads(2, ([n, m], goal, b) => {
      if (!(n!.midi > goal.midi && m!.midi === goal.midi - 1)) return 'not around the goal';
      return isOver(scaleOver(b, goal), n!.midi) ? null : 'not of the scale above';
    }),
  ),
  understated: all(
    addsNone,
    fewer,
    keepsNotes,
    (a, b) => (meanLength(b) > meanLength(a) ? null : 'not longer'),
    (a, b) => (share(b) >= share(a) ? null : 'fewer chord tones on beats'),
  ),
  thinned: all(addsNone, fewer, keepsNotes, (a, b) => {
    const was = new Map(line(a).map((h) => [h.id, h]));
    const bad = line(b).find((h) => {
      const x = was.get(h.id)!;
      return x.onset !== h.onset || h.duration > x.duration;
    });
    return bad === undefined ? null : `${bad.id} has another time`;
  }),
  busier: all(keepsSounds, keepsOnsets, addsSome, (a, b) => {
    const bad = added(a, b).find((h) => {
      const before = tops(b)
        .filter((x) => x.onset < h.onset)
        .at(-1);
      return (
        !isOver(scaleOver(b, h), h.midi) &&
        !(before !== undefined && isOver(scaleOver(b, before), h.midi))
      );
    });
    return bad === undefined ? null : `${bad.id} is not of the scale`;
  }),
  doubled: all(keepsSounds, keepsOnsets, addsSome, (a, b) => {
    const merged = (p: Phrase) =>
      tops(p)
        .map((h) => h.midi)
        .filter((m, i, l) => m !== l[i - 1]);
    return JSON.stringify(merged(a)) === JSON.stringify(merged(b))
      ? null
      : 'another order of pitches';
  }),
  displaced: all(addsNone, keepsNotes, (a, b) => {
    const seq = line(b);
    const shifts = new Set(line(a).map((h, i) => (seq[i]?.onset ?? Number.NaN) - h.onset));
    return shifts.size === 1 && !shifts.has(0) ? null : 'not all by the same time';
  }),
  augmented: all(addsNone, keepsNotes, (a, b) => {
    const was = new Map(line(a).map((h) => [h.id, h]));
    const seq = line(b).filter((h) => h.onset >= a.pickup);
    if (!seq.every((h) => h.duration > was.get(h.id)!.duration || cutByChord(b, h)))
      return 'a note is no longer than before';
    const bad = seq.find((h, i) => {
      const before = seq[i - 1];
      if (before === undefined || chordNo(b, before.onset) !== chordNo(b, h.onset)) return false;
      const step = was.get(h.id)!.onset - was.get(before.id)!.onset;
      return h.onset - before.onset !== 2 * step;
    });
    return bad === undefined ? null : `${bad.id} is not twice as far from the note before`;
  }),
  diminished: (a, b) => {
    const was = new Map(line(a).map((h) => [h.id, h]));
    for (const h of line(b)) {
      const old = was.get(h.id);
      if (old === undefined || h.onset < a.pickup) continue;
      if (old.midi !== h.midi) return `${h.id} is another pitch`;
      if (h.duration * 2 > old.duration) return `${h.id} is not half as long`;
      if (chordNo(a, old.onset) !== chordNo(b, h.onset)) return `${h.id} is over another chord`;
    }
    const sounds = (p: Phrase) => new Set(line(p).map((h) => `${chordNo(p, h.onset)} ${h.midi}`));
    return line(a).every((h) => sounds(b).has(`${chordNo(a, h.onset)} ${h.midi}`))
      ? null
      : 'a note is gone';
  },
  shuffled: (a, b) => onlyFeel(a, b) ?? (b.feel.kind === 'swing' ? null : 'not swung'),
  straight: (a, b) => onlyFeel(a, b) ?? (b.feel.kind === 'straight' ? null : 'swung'),
  'call-and-answer': (a, b) => {
    const was = new Set(line(a).map((h) => h.id));
    const call = tops(b).filter((h) => was.has(h.id) && h.onset >= a.pickup);
    const answer = tops(b).filter((h) => !was.has(h.id));
    const gap = (answer[0]?.onset ?? 0) - (call[0]?.onset ?? 0);
    const same =
      call.length === answer.length && call.every((h, i) => answer[i]!.onset === h.onset + gap);
    if (!same) return 'another rhythm';
    const [end, last] = [call.at(-1)!, answer.at(-1)!];
    if (!isOver(tonesOver(b, last), last.midi)) return 'the end is no chord tone';
    return degreeOver(b, last) === degreeOver(b, end) ? 'the end is the same degree' : null;
  },
  'sequence-up': sequenced(1),
  'sequence-down': sequenced(-1),
  carried: (a, b) => {
    const spans = chordSpans(b);
    const of = (n: number) =>
      tops(b).filter((h) => h.onset >= a.pickup && chordNo(b, h.onset) === n);
    const from = (n: number) => Math.max(a.pickup, spans[n]!.onset);
    const figure = of(0);
    for (let n = 1; n < spans.length; n++) {
      for (const h of of(n)) {
        const model = figure.find((x) => x.onset - from(0) === h.onset - from(n));
        if (model === undefined) return `${h.id} has another time`;
        if (!sameRole(b, model, h) && sameOwner(b, model, h, n))
          return `${h.id} is in another role`;
      }
      const room = figure.filter((x) => from(n) + x.onset - from(0) < spans[n]!.end);
      if (room.length !== of(n).length) return `chord ${n + 1} has another number of notes`;
    }
    return null;
  },
  'minor-pentatonic': all(keepsOnsets, addsNone, inScaleOfKey([0, 3, 5, 7, 10])),
  'major-pentatonic': all(keepsOnsets, addsNone, inScaleOfKey([0, 2, 4, 7, 9])),
  'octave-up': all(octaves(12)),
  'octave-down': all(octaves(-12)),
  'other-ending': all(keepsOnsets, addsNone, (a, b) => {
    const last = line(a).at(-1)!;
    const is = new Map(line(b).map((h) => [h.id, h]));
    const bad = line(a).find((h) => h.id !== last.id && is.get(h.id)?.midi !== h.midi);
    if (bad !== undefined) return `${bad.id} changed, too`;
    const now = is.get(last.id)!;
    if (mod(now.midi, 12) === mod(last.midi, 12)) return 'the same degree';
    return isOver(tonesOver(b, now), now.midi) ? null : 'no tone of its chord';
  }),
};

function chordNo(p: Phrase, onset: number): number {
  return spanAt(chordSpans(p), onset)?.index ?? 0;
}

/** Whether a note ends where its chord or the phrase does. */
function cutByChord(p: Phrase, h: Heard): boolean {
  const end = h.onset + h.duration;
  return end === (spanAt(chordSpans(p), h.onset)?.end ?? p.length);
}

function degreeOver(p: Phrase, h: Heard): string {
  const owner = analyse(p).byId.get(h.id)?.owner?.chord ?? null;
  return formatDegree(degreeOf(owner === null ? p.key.tonic : owner.root, h.pitch));
}

/** The same number of the row, the third and what stands for it alike (M4), or the same distance (M3, 5). */
function sameRole(p: Phrase, a: Heard, b: Heard): boolean {
  const of = (h: Heard) => {
    const chord = analyse(p).byId.get(h.id)?.owner?.chord ?? null;
    const d = degreeOf(chord === null ? p.key.tonic : chord.root, h.pitch);
    const kind = chord?.kind ?? '';
    const third = kind === 'suspended-fourth' ? 4 : kind === 'suspended-second' ? 2 : 3;
    return { number: d.number, third: d.number === third, over: mod(semis(d), 12) };
  };
  const [x, y] = [of(a), of(b)];
  return x.number === y.number || (x.third && y.third) || x.over === y.over;
}

/** Whether both are read against the chords over which they stand. */
function sameOwner(p: Phrase, a: Heard, b: Heard, n: number): boolean {
  const owner = (h: Heard) => analyse(p).byId.get(h.id)?.owner?.index;
  return owner(a) === 0 && owner(b) === n;
}

function onlyFeel(a: Phrase, b: Phrase): Fault {
  const { feel: _, ...x } = a;
  const { feel: __, ...y } = b;
  return JSON.stringify(x) === JSON.stringify(y) ? null : 'more than the feel has changed';
}

/** The rhythm of the first notes again and again; contour kept, and each time further one way. */
function sequenced(way: 1 | -1): Check {
  return (a, b) => {
    const was = new Set(line(a).map((h) => h.id));
    const seq = tops(b);
    const size = seq.findIndex((h) => !was.has(h.id));
    if (size < 2) return 'no figure';
    const figure = seq.slice(0, size);
    const copies = seq.slice(size).filter((h) => !was.has(h.id));
    if (copies.length === 0 || copies.length % size !== 0) return 'a part of a figure';
    const gap = copies[0]!.onset - figure[0]!.onset;
    for (let k = 0; k * size < copies.length; k++) {
      const copy = copies.slice(k * size, (k + 1) * size);
      for (const [i, h] of copy.entries()) {
        if (h.onset !== figure[i]!.onset + gap * (k + 1)) return 'another rhythm';
        const by = (h.midi - figure[i]!.midi) * way;
        if (by < k + 1 || by > 4 * (k + 1)) return `copy ${k + 1}: ${by} semitones on`;
      }
    }
    return null;
  };
}

function inScaleOfKey(scale: readonly number[]): Check {
  return (_, b) => {
    const bad = line(b).find((h) => !scale.includes(mod(h.midi - chromaOf(b.key.tonic), 12)));
    return bad === undefined ? null : `${bad.id} is not in the scale`;
  };
}

/** What is left of the notes is heard as before. */
function keepsNotes(a: Phrase, b: Phrase): Fault {
  const was = new Map(line(a).map((h) => [h.id, h]));
  const bad = line(b).find((h) => was.get(h.id)?.midi !== h.midi);
  return bad === undefined ? null : `${bad.id} is heard otherwise`;
}

/** The chord lane, key, instrument and tempo: what every variation keeps. */
export function frameFault(a: Phrase, b: Phrase): Fault {
  const of = (p: Phrase) => JSON.stringify([p.chords, p.key, p.instrument, p.tempo]);
  return of(a) === of(b) ? null : 'the frame is another one';
}

import * as z from 'zod/mini';
import { TUPLET_NORMALS } from '../../core/phrase/tuplet-ratio';
import { type ChordSymbol, PHRASE_VERSION } from '../../core/phrase/types';
import { LIMITS } from './limits';
import { grace, note } from './schema-note';
import {
  doc,
  flag,
  identity,
  named,
  orNull,
  pitch,
  pitchClass,
  stringNumber,
  text,
  ticks,
  whole,
} from './schema-parts';

/*
 * The structure of the stored form: types, bounds and closed vocabularies. What a structurally right
 * phrase must keep besides is `checkPhrase` in the core. Field order here is field order in files.
 */

export const time = z.string().check(z.regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,9})?Z$/));

const meta = named(
  'Meta',
  'What the phrase is called and what is said about it.',
  z.strictObject({
    title: text(0, 500),
    styleOf: z.exactOptional(doc(text(0, 1_000), "'In the style of', in the player's own words.")),
    source: z.exactOptional(doc(text(0, 1_000), 'Where it comes from.')),
    tags: z.array(text(1, 100)).check(z.maxLength(LIMITS.tags)),
    level: z.exactOptional(z.literal([1, 2, 3, 4, 5])),
    notes: z.exactOptional(doc(text(0, 20_000), 'Notes for students.')),
    created: doc(time, 'ISO 8601 in UTC.'),
    modified: doc(time, 'ISO 8601 in UTC.'),
  }),
);

export const instrument = named(
  'Instrument',
  'Neck and tuning.',
  z.strictObject({
    name: text(0, 200),
    tuning: doc(
      z.array(pitch).check(z.minLength(1), z.maxLength(LIMITS.strings)),
      'Sounding open pitches without capo, string 1 first; need not descend.',
    ),
    frets: doc(whole(1, LIMITS.frets), 'Frets on the neck, counted from the nut.'),
    scaleLength: doc(
      z.number().check(z.gte(100), z.lte(2_000)),
      'Vibrating length of an open string in millimetres.',
    ),
    capo: doc(whole(0, LIMITS.frets), 'Fret of the capo, 0 for none; note frets count from it.'),
    clef: doc(z.enum(['treble-8', 'treble', 'bass-8']), '8 = sounds an octave below.'),
  }),
);

const key = named(
  'Key',
  'Blues has a major signature, and bare I, IV, V mean sevenths.',
  z.strictObject({ tonic: pitchClass, mode: z.enum(['major', 'minor', 'blues']) }),
);

export const tempo = named(
  'Tempo',
  'Counted units in a minute.',
  z.strictObject({
    bpm: z.number().check(z.gte(10), z.lte(500)),
    unit: z.enum(['eighth', 'quarter', 'dotted-quarter', 'half']),
  }),
);

export const feel = named(
  'Feel',
  'How written rhythm sounds; first to second is the ratio of a swung pair in lowest terms.',
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('straight') }),
    z.strictObject({
      kind: z.literal('swing'),
      unit: z.enum(['eighth', '16th']),
      first: whole(1, LIMITS.swing),
      second: whole(1, LIMITS.swing),
    }),
  ]),
);

export const bar = named(
  'Bar',
  'A full bar with its time signature.',
  z.strictObject({
    meter: z.strictObject({ beats: whole(1, 64), beatType: z.literal([1, 2, 4, 8, 16]) }),
    repeatStart: z.exactOptional(flag),
    repeatEnd: z.exactOptional(
      doc(whole(2, 99), 'A repeat ends here; how often the section is played in all.'),
    ),
    ending: z.exactOptional(
      doc(
        z.array(whole(1, 99)).check(z.minLength(1), z.maxLength(99)),
        'The passes on which the bar is played.',
      ),
    ),
  }),
);

/*
 * A string that reads as a chord symbol is branded by `canonicalSymbol`; here it is read as text,
 * and `checkPhrase` refuses every symbol that is not in canonical spelling. Hence the cast.
 */
export const symbol = doc(
  text(1, 100),
  'A chord symbol in canonical spelling.',
) as unknown as z.ZodMiniType<ChordSymbol, ChordSymbol>;

export const chordChange = named(
  'ChordChange',
  'A symbol lasts until the next; null is N.C.',
  z.strictObject({ onset: ticks, symbol: orNull(symbol) }),
);

/** So many notes in the time of what the list has for them. */
function tupletOf<A extends number, const N extends readonly number[]>(actual: A, normals: N) {
  return z.strictObject({
    onset: ticks,
    duration: ticks,
    actual: z.literal(actual),
    normal: z.literal(normals),
  });
}

const N = TUPLET_NORMALS;

export const tuplet = named(
  'Tuplet',
  'actual notes in the time of normal.',
  z.discriminatedUnion('actual', [
    tupletOf(2, N[2]),
    tupletOf(3, N[3]),
    tupletOf(4, N[4]),
    tupletOf(5, N[5]),
    tupletOf(6, N[6]),
    tupletOf(7, N[7]),
    tupletOf(8, N[8]),
    tupletOf(9, N[9]),
    tupletOf(10, N[10]),
    tupletOf(12, N[12]),
    tupletOf(14, N[14]),
    tupletOf(15, N[15]),
  ]),
);

export const event = named(
  'Event',
  'What is struck at one moment: a note, a double stop or a chord, all of one length.',
  z.strictObject({
    onset: ticks,
    duration: ticks,
    notes: doc(
      z.tuple([note], note).check(z.maxLength(LIMITS.strings)),
      'Ascending by string number.',
    ),
    graces: z.exactOptional(
      doc(
        z.tuple([grace], grace).check(z.maxLength(LIMITS.graces)),
        'Before it, in playing order.',
      ),
    ),
    stroke: z.exactOptional(doc(z.enum(['down', 'up']), 'A single pick stroke.')),
    strum: z.exactOptional(
      doc(z.enum(['down', 'up']), 'Swept one string after the other; down starts at the lowest.'),
    ),
    rake: z.exactOptional(
      doc(
        z.tuple([stringNumber], stringNumber).check(z.maxLength(LIMITS.strings)),
        'Muted strings raked through before it, in the order struck.',
      ),
    ),
    palmMute: z.exactOptional(flag),
    staccato: z.exactOptional(flag),
    accent: z.exactOptional(flag),
    tenuto: z.exactOptional(flag),
    tremolo: z.exactOptional(
      doc(z.literal([1, 2, 3]), 'Tremolo picking: strokes through the stem.'),
    ),
    guessed: z.exactOptional(
      doc(
        flag,
        'The length was guessed: from the spacing of a text, or because the rhythm that was heard is unsure.',
      ),
    ),
  }),
);

const voice = named(
  'Voice',
  'Events in ascending order that do not overlap; the gaps are rests.',
  z.strictObject({
    events: z.array(event).check(z.maxLength(LIMITS.notes)),
    tuplets: z.array(tuplet).check(z.maxLength(LIMITS.notes)),
  }),
);

export const mark = named(
  'Mark',
  'A dynamic or words.',
  z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('dynamic'),
      onset: ticks,
      value: z.enum(['pp', 'p', 'mp', 'mf', 'f', 'ff']),
    }),
    z.strictObject({ kind: z.literal('words'), onset: ticks, text: text(1, 500) }),
  ]),
);

export const part = named(
  'Part',
  'What a part of the phrase was made of; where it stands is told by the ids of its notes.',
  z.strictObject({
    source: doc(identity, 'Id of the phrase it was made of.'),
    title: doc(text(0, 500), 'What that was called then.'),
    notes: doc(identity, "Its notes have the ids of the source's notes with this in front."),
    octaves: doc(
      z.int().check(z.gte(-10), z.lte(10)),
      'Octaves beyond those that the move to these chords chose.',
    ),
    until: z.exactOptional(doc(ticks, 'Tick of the source from which on it was left out.')),
    laid: doc(whole(0, Number.MAX_SAFE_INTEGER), 'Stands for what the source gave here.'),
    apart: z.exactOptional(doc(flag, 'It goes its own way.')),
  }),
);

export const phraseSchema = named(
  'Phrase',
  'One phrase: notes, chords, key, instrument and what is said about it.',
  z.strictObject({
    format: z.literal('degreewise-phrase'),
    version: z.literal(PHRASE_VERSION),
    id: doc(identity, 'Stable over edits.'),
    parent: orNull(identity),
    meta,
    instrument,
    key,
    tempo,
    feel,
    pickup: doc(ticks, 'Length of bar 0; shorter than the first bar.'),
    bars: z.array(bar).check(z.minLength(1), z.maxLength(LIMITS.bars)),
    length: doc(ticks, 'From the first tick to the end, inside the last bar.'),
    chords: z.array(chordChange).check(z.maxLength(LIMITS.chords)),
    voices: z.union([z.tuple([voice]), z.tuple([voice, voice])]),
    marks: z.array(mark).check(z.maxLength(LIMITS.marks)),
    parts: z.exactOptional(
      doc(
        z.array(part).check(z.minLength(1), z.maxLength(LIMITS.bars)),
        'What it was put together from.',
      ),
    ),
  }),
);

export const librarySchema = z.strictObject({
  format: z.literal('degreewise-library'),
  version: z.literal(2),
  phrases: z.array(phraseSchema).check(z.maxLength(LIMITS.phrases)),
  others: z.exactOptional(
    doc(
      z
        .array(z.looseObject({ format: text(1, 100), version: whole(1, 1_000_000) }))
        .check(z.maxLength(LIMITS.others)),
      'Things that are no phrases, each in the format that it names.',
    ),
  ),
});

/** A list whose entries are looked at one by one, so that a broken file costs no more than a good one. */
function entries(most: number, least = 0) {
  return z.array(z.unknown()).check(z.minLength(least), z.maxLength(most));
}

const voiceShell = z.extend(voice, {
  events: entries(LIMITS.notes),
  tuplets: entries(LIMITS.notes),
});

/** The phrase without what stands in its long lists. */
export const phraseShell = z.extend(phraseSchema, {
  bars: entries(LIMITS.bars, 1),
  chords: entries(LIMITS.chords),
  voices: z.union([z.tuple([voiceShell]), z.tuple([voiceShell, voiceShell])]),
  marks: entries(LIMITS.marks),
  parts: z.exactOptional(entries(LIMITS.bars, 1)),
});

/** The library without its entries, each of which may have a version of its own. */
export const libraryShell = z.extend(librarySchema, {
  phrases: entries(LIMITS.phrases),
  others: z.exactOptional(entries(LIMITS.others)),
});

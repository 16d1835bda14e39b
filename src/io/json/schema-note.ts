import * as z from 'zod/mini';
import { ROLES } from '../../core/phrase/types';
import { LIMITS } from './limits';
import { doc, flag, fret, identity, named, pitch, stringNumber, whole } from './schema-parts';

const percent = z.number().check(z.gte(0), z.lte(100));

const curve = named(
  'BendCurve',
  'Pitch over the note: at = percent of its duration, amount = percent of the width of the bend.',
  z
    .array(z.strictObject({ at: percent, amount: percent }))
    .check(z.minLength(2), z.maxLength(LIMITS.curve)),
);

const bend = named(
  'Bend',
  'Whole-semitone bends have a spelled target; a curl rises a quarter tone.',
  z.discriminatedUnion('shape', [
    z.strictObject({
      shape: z.literal(['bend', 'bend-release', 'pre-bend', 'pre-bend-release']),
      target: pitch,
      curve,
    }),
    z.strictObject({ shape: z.literal('curl'), curve }),
  ]),
);

const from = z.enum(['below', 'above']);

const slideIn = named(
  'SlideIn',
  'A slide from below or above into the beginning of the note.',
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('interval'), from, semitones: whole(1, 12) }),
    z.strictObject({ kind: z.literal('indefinite'), from }),
  ]),
);

const harmonic = named(
  'Harmonic',
  'above = semitones from the open string (natural) or the fretted pitch to what is heard.',
  z.strictObject({
    kind: z.enum(['natural', 'artificial', 'pinch']),
    above: z.literal([12, 19, 24]),
  }),
);

const pitchedNote = named(
  'PitchedNote',
  'pitch is the sounding pitch of the fretted start: open string + capo + fret; of a natural harmonic, what is heard.',
  z.strictObject({
    kind: z.literal('pitched'),
    id: identity,
    pitch,
    string: stringNumber,
    fret,
    attack: z.exactOptional(
      doc(
        z.enum(['hammer-on', 'pull-off', 'slide', 'slide-plucked', 'tap']),
        'How it begins; plucked when absent.',
      ),
    ),
    slideIn: z.exactOptional(slideIn),
    slideOut: z.exactOptional(doc(z.enum(['up', 'down']), 'A slide off to no definite pitch.')),
    bend: z.exactOptional(bend),
    vibrato: z.exactOptional(z.enum(['narrow', 'wide'])),
    trill: z.exactOptional(z.strictObject({ upper: pitch })),
    harmonic: z.exactOptional(harmonic),
    barDip: z.exactOptional(
      doc(
        z.number().check(z.gte(0.5), z.lte(12), z.multipleOf(0.5)),
        'A dip with the vibrato bar, semitones downwards.',
      ),
    ),
    ghost: z.exactOptional(flag),
    letRing: z.exactOptional(flag),
    finger: z.exactOptional(doc(z.literal([1, 2, 3, 4, 'T']), 'Fretting hand; T is the thumb.')),
    pluck: z.exactOptional(doc(z.enum(['p', 'i', 'm', 'a', 'c']), 'Picking hand.')),
    anchor: z.exactOptional(
      doc(z.enum(['chord', 'key', 'goal']), 'What it follows in a move; only where set by hand.'),
    ),
    role: z.exactOptional(doc(z.enum(ROLES), 'What it is for; only where set by hand.')),
    anticipation: z.exactOptional(
      doc(z.boolean(), 'Whether it belongs to the next chord; only where set by hand.'),
    ),
    pinned: z.exactOptional(doc(flag, 'The string is kept in a move.')),
  }),
);

const deadNote = named(
  'DeadNote',
  'A struck string without pitch.',
  z.strictObject({
    kind: z.literal('dead'),
    id: identity,
    string: stringNumber,
    fret,
    scrape: z.exactOptional(
      doc(
        z.enum(['down', 'up']),
        'The edge of the pick is dragged along a wound string, down the neck towards the nut or up it.',
      ),
    ),
    pinned: z.exactOptional(flag),
  }),
);

export const note = named(
  'Note',
  'A note or a dead note.',
  z.discriminatedUnion('kind', [pitchedNote, deadNote]),
);

const graceNote = named(
  'GraceNote',
  'attack: how it is reached from the grace before it on its string; plucked when absent.',
  z.strictObject({
    pitch,
    string: stringNumber,
    fret,
    attack: z.exactOptional(z.enum(['hammer-on', 'pull-off', 'slide'])),
  }),
);

export const grace = named(
  'Grace',
  'One grace note or grace double stop.',
  z.strictObject({
    notes: z.tuple([graceNote], graceNote).check(z.maxLength(LIMITS.strings)),
  }),
);

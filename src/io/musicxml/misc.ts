/**
 * What MusicXML has no element for, and how it travels.
 *
 * `<identification><miscellaneous>` holds two `<miscellaneous-field>`s with compact JSON:
 *
 * **`degreewise:phrase`**, one object, see `PhraseExtras`: version, id, parent, times, 'in the style
 * of', tags, level, notes for students, the mode 'blues' (the file says major, its signature), the
 * whole instrument, the number of voices. Everything that has an element of its own is *not*
 * repeated: title, `<source>`, key, tempo with its unit (`<metronome>`), feel (`<swing>`), pickup,
 * bars, length, chord symbols.
 *
 * **`degreewise:notes`**, an array with one object for every note (graces and rakes excepted), see
 * `NoteExtras`. A note is named twice:
 * - `n`: the number in the xml id of its first written note: id `n5` on the notation staff and `t5`
 *   on the tab staff (`noteXmlId`); the tied continuations are `n5.2`, `n5.3` …
 * - `at`: its fingerprint: bar number (0 = pickup), ticks from the first tick of that bar, string,
 *   fret, and the sounding fretted pitch (`F#4`), `x` for a dead note.
 *
 * **Reading.** An entry belongs to the note whose fingerprint is the same and whose id carries the
 * same number or which has no id (programs may drop ids). A note that carries the number but
 * differs in any part of the fingerprint was edited elsewhere: the entry is discarded, id and all.
 * In a file without tab the string and fret are taken *from* the fingerprint, and bar, ticks, pitch
 * and number must agree. What the elements of the note itself say goes before an entry:
 * - `bend.target` counts only if it lies `<bend-alter>` semitones above the pitch, `bend.curve`
 *   only if `bendTiming` of it equals the `first-beat` and `last-beat` in the file. Without an
 *   entry the curve is `curveOfTiming` of those, and the target is spelled by the reader.
 * - `slideIn` only if the grace's place is that many frets below or above. In a file of ours a grace
 *   with a slide to its note is a slide-in where the entry has `slideIn`, and otherwise a plain
 *   grace from which the note is slid to; in other files it is always a slide-in.
 * - `trill` only if the note has a `<trill-mark>`; `above` only if it has a `<harmonic>`;
 *   `attack` only if nothing else says how the note begins (it is written where a hammer-on,
 *   pull-off or slide has no note to start from).
 * - `anchor`, `role`, `anticipation`, `pinned` always; `guessed` of any note goes to its event.
 *
 * Inside JSON strings all characters that XML does not allow are `\u` escapes, so every string
 * survives. A field that is not JSON of this form, or of a later version, is left aside as a whole
 * and listed by the reader.
 */

import * as z from 'zod/mini';
import en from 'zod/v4/locales/en.js';
import { barAt } from '../../core/phrase/time';
import {
  type Attack,
  type Note,
  type Phrase,
  type PitchedNote,
  ROLES,
  type SlideIn,
  type Ticks,
} from '../../core/phrase/types';
import { legatoSource, notesOf } from '../../core/phrase/walk';
import { fail, ok, type Problem, type Result } from '../../core/result';
import type { PitchedTechnique } from '../../core/technique/fields';
import { formatPitch, midiOf, type Pitch, parsePitch } from '../../core/theory/pitch';
import { bendTiming, curveOfTiming } from './bend-timing';

/** The names of the two fields. */
export const PHRASE_FIELD = 'degreewise:phrase';
export const NOTES_FIELD = 'degreewise:notes';

/** Version of both fields; a reader leaves later ones aside. */
export const MISC_VERSION = 1;

// The small form of the schema library: the other one would come along with the first page, which
// reads its files with the same library.
const text = (most: number) => z.string().check(z.maxLength(most));
const list = <S extends z.core.$ZodType>(entry: S, most: number) =>
  z.array(entry).check(z.maxLength(most));
const wholeNumber = (most: number, least = 0) => z.int().check(z.gte(least), z.lte(most));
const within = (least: number, most: number) => z.number().check(z.gte(least), z.lte(most));

const pitchText = z.pipe(
  text(8),
  z.transform((input: string, context): Pitch => {
    const r = parsePitch(input);
    if (r.ok) return r.value;
    context.issues.push({ code: 'custom', input, message: r.problems[0]!.message });
    return z.NEVER;
  }),
);

const instrumentSchema = z.strictObject({
  name: text(200),
  tuning: list(pitchText, 16).check(z.minLength(1)),
  frets: wholeNumber(60),
  scaleLength: within(1, 10_000),
  capo: wholeNumber(60),
  clef: z.enum(['treble-8', 'treble', 'bass-8']),
});

const phraseSchema = z.strictObject({
  v: z.literal(MISC_VERSION),
  id: text(200),
  parent: z.nullable(text(200)),
  created: text(40),
  modified: text(40),
  styleOf: z.optional(text(10_000)),
  tags: list(text(200), 1000),
  level: z.optional(z.literal([1, 2, 3, 4, 5])),
  notes: z.optional(text(100_000)),
  mode: z.optional(z.literal('blues')),
  instrument: instrumentSchema,
  voices: z.union([z.literal(1), z.literal(2)]),
});

/** `degreewise:phrase`; the instrument's open pitches are sounding, without the capo. */
export type PhraseExtras = z.output<typeof phraseSchema>;

const place = wholeNumber(60);
const curvePoint = z.tuple([within(0, 100), within(0, 100)]);

const noteSchema = z.strictObject({
  n: wholeNumber(10_000_000, 1),
  id: text(200),
  at: z.tuple([
    wholeNumber(1_000_000),
    wholeNumber(100_000_000),
    place,
    place,
    z.union([z.literal('x'), pitchText]),
  ]),
  anchor: z.optional(z.enum(['chord', 'key', 'goal'])),
  role: z.optional(z.enum(ROLES)),
  anticipation: z.optional(z.boolean()),
  pinned: z.optional(z.literal(true)),
  guessed: z.optional(z.literal(true)),
  bend: z.optional(
    z.strictObject({
      target: z.optional(pitchText),
      curve: z.optional(list(curvePoint, 1000)),
    }),
  ),
  slideIn: z.optional(
    z.strictObject({ from: z.enum(['below', 'above']), semitones: wholeNumber(60) }),
  ),
  trill: z.optional(pitchText),
  above: z.optional(z.literal([12, 19, 24])),
  attack: z.optional(z.enum(['hammer-on', 'pull-off', 'slide', 'slide-plucked', 'tap'])),
});

/** One entry of `degreewise:notes`. Curve points are [at, amount] in percent. */
export type NoteExtras = z.output<typeof noteSchema>;

const notesSchema = list(noteSchema, 1_000_000);

/** The same values as they stand in the JSON, pitches as text. */
export type PhraseExtrasJson = z.input<typeof phraseSchema>;
export type NoteExtrasJson = z.input<typeof noteSchema>;

/** Which staff a written note stands on. */
export type StaffKind = 'staff' | 'tab';

/**
 * The xml id of a written note.
 * @param n Number of the note in the order of `notesOf`, from 1.
 * @param part Which of its tied notes, from 1.
 */
export function noteXmlId(staff: StaffKind, n: number, part = 1): string {
  return `${staff === 'staff' ? 'n' : 't'}${n}${part === 1 ? '' : `.${part}`}`;
}

/** The parts of an id made by `noteXmlId`, or null for any other id. */
export function readNoteXmlId(id: string): { staff: StaffKind; n: number; part: number } | null {
  const m = /^([nt])([1-9]\d{0,6})(?:\.([1-9]\d{0,6}))?$/u.exec(id);
  if (m === null) return null;
  return {
    staff: m[1] === 'n' ? 'staff' : 'tab',
    n: Number(m[2]),
    part: m[3] === undefined ? 1 : Number(m[3]),
  };
}

/** What `degreewise:phrase` says about a phrase. */
export function phraseExtras(p: Phrase): PhraseExtrasJson {
  const { meta, instrument } = p;
  return {
    v: MISC_VERSION,
    id: p.id,
    parent: p.parent,
    created: meta.created,
    modified: meta.modified,
    ...(meta.styleOf === undefined ? {} : { styleOf: meta.styleOf }),
    tags: [...meta.tags],
    ...(meta.level === undefined ? {} : { level: meta.level }),
    ...(meta.notes === undefined ? {} : { notes: meta.notes }),
    ...(p.key.mode === 'blues' ? { mode: 'blues' as const } : {}),
    instrument: { ...instrument, tuning: instrument.tuning.map(formatPitch) },
    voices: p.voices.length,
  };
}

/** What `degreewise:notes` says, one entry a note in the order of `notesOf`. */
export function noteExtras(p: Phrase): readonly NoteExtrasJson[] {
  return notesOf(p).map(({ note, event, onset, voice, eventIndex }, i) => {
    const bar = barAt(p, onset);
    const at = fingerprint(note, bar.number, onset - bar.start);
    const source = legatoSource(p.voices[voice]!.events, eventIndex, note.string);
    const guessed = event.guessed === undefined ? {} : { guessed: event.guessed };
    return { n: i + 1, id: note.id, at, ...guessed, ...extrasOf(note, source !== null) };
  });
}

/** The fingerprint of a note: bar, ticks from its first tick, string, fret, pitch or `x`. */
export function fingerprint(note: Note, bar: number, ticks: Ticks): NoteExtrasJson['at'] {
  const pitch = note.kind === 'dead' ? 'x' : formatPitch(note.pitch);
  return [bar, ticks, note.string, note.fret, pitch];
}

function extrasOf(note: Note, hasSource: boolean): Partial<NoteExtrasJson> {
  const pinned = note.pinned === undefined ? {} : { pinned: note.pinned };
  if (note.kind === 'dead') return pinned;
  const { anchor, role, anticipation } = note;
  return {
    ...(anchor === undefined ? {} : { anchor }),
    ...(role === undefined ? {} : { role }),
    ...(anticipation === undefined ? {} : { anticipation }),
    ...pinned,
    ...Object.assign({}, ...Object.values(EXTRAS).map((extra) => extra?.(note, hasSource))),
  };
}

type Extra = (n: PitchedNote, hasSource: boolean) => Partial<NoteExtrasJson>;

/** What elements cannot say of each technique; null where they say all of it. */
const EXTRAS: Readonly<Record<PitchedTechnique, Extra | null>> = {
  bend: bendExtras,
  slideIn: ({ slideIn: s }) => (s?.kind === 'interval' ? { slideIn: intervalOf(s) } : {}),
  trill: ({ trill }) => (trill === undefined ? {} : { trill: formatPitch(trill.upper) }),
  harmonic: ({ harmonic }) => (harmonic === undefined ? {} : { above: harmonic.above }),
  attack: ({ attack }, hasSource) => (needsSource(attack) && !hasSource ? { attack } : {}),
  slideOut: null,
  vibrato: null,
  barDip: null,
  letRing: null,
  ghost: null,
  finger: null,
  pluck: null,
};

/** Whether an attack starts from the note before it on its string. */
export function needsSource(
  attack: Attack | undefined,
): attack is 'hammer-on' | 'pull-off' | 'slide' | 'slide-plucked' {
  return attack !== undefined && attack !== 'tap';
}

function intervalOf(s: Extract<SlideIn, { kind: 'interval' }>) {
  return { from: s.from, semitones: s.semitones };
}

function bendExtras(note: PitchedNote): Partial<NoteExtrasJson> {
  const { bend } = note;
  if (bend === undefined) return {};
  const plain = curveOfTiming(bendTiming(bend.shape, bend.curve));
  const isPlain =
    plain.length === bend.curve.length &&
    plain.every((p, i) => p.at === bend.curve[i]!.at && p.amount === bend.curve[i]!.amount);
  const out = {
    ...(bend.shape === 'curl' ? {} : { target: formatPitch(bend.target) }),
    ...(isPlain ? {} : { curve: bend.curve.map((p): [number, number] => [p.at, p.amount]) }),
  };
  return Object.keys(out).length === 0 ? {} : { bend: out };
}

/** Compact JSON in which every character is allowed in XML. */
export function encodeMisc(value: PhraseExtrasJson | readonly NoteExtrasJson[]): string {
  // JSON.stringify escapes the C0 controls and lone surrogates; U+FFFE and U+FFFF are left.
  return JSON.stringify(value).replace(
    /[\u007f-\u009f\u2028\u2029\ufffe\uffff]/gu,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** Reads the text of `degreewise:phrase`. */
export function decodePhraseExtras(text: string): Result<PhraseExtras> {
  return decode(PHRASE_FIELD, phraseSchema, text);
}

/** Reads the text of `degreewise:notes`. */
export function decodeNoteExtras(text: string): Result<readonly NoteExtras[]> {
  return decode(NOTES_FIELD, notesSchema, text);
}

/** What is wrong, said in English; the small form of the library has no words of its own. */
const EN = { error: en().localeError };

function decode<T>(field: string, schema: z.ZodMiniType<T>, text: string): Result<T> {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    return fail(leftAside(field, 'is not JSON'));
  }
  const r = z.safeParse(schema, raw, EN);
  if (r.success) return ok(r.data);
  const issue = r.error.issues[0];
  const path = issue === undefined ? '' : issue.path.map((x) => `/${String(x)}`).join('');
  return fail(leftAside(field, `is not understood at '${path}' (${issue?.message ?? 'unknown'})`));
}

function leftAside(field: string, what: string): Problem {
  return {
    message: `the field '${field}' ${what} and was left aside`,
    fix: 'Export the phrase again if its anchors, pins, roles or tags are missing.',
  };
}

/** Whether a bend's target in an entry agrees with the width in the file. */
export function targetAgrees(pitch: Pitch, target: Pitch, semitones: number): boolean {
  return midiOf(target) - midiOf(pitch) === semitones;
}

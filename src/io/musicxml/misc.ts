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
import { z } from 'zod';
import { barAt } from '../../core/phrase/time';
import {
  type Attack,
  type Note,
  type Phrase,
  ROLES,
  type SlideIn,
  type Ticks,
} from '../../core/phrase/types';
import { legatoSource, notesOf } from '../../core/phrase/walk';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { formatPitch, midiOf, type Pitch, parsePitch } from '../../core/theory/pitch';
import { bendTiming, curveOfTiming } from './bend-timing';

/** The names of the two fields. */
export const PHRASE_FIELD = 'degreewise:phrase';
export const NOTES_FIELD = 'degreewise:notes';

/** Version of both fields; a reader leaves later ones aside. */
export const MISC_VERSION = 1;

const pitchText = z
  .string()
  .max(8)
  .transform((text, context): Pitch => {
    const r = parsePitch(text);
    if (r.ok) return r.value;
    context.addIssue({ code: 'custom', message: r.problems[0]!.message });
    return z.NEVER;
  });

const wholeNumber = (max: number) => z.number().int().min(0).max(max);

const instrumentSchema = z.strictObject({
  name: z.string().max(200),
  tuning: z.array(pitchText).min(1).max(16),
  frets: wholeNumber(60),
  scaleLength: z.number().min(1).max(10_000),
  capo: wholeNumber(60),
  clef: z.enum(['treble-8', 'treble', 'bass-8']),
});

const phraseSchema = z.strictObject({
  v: z.literal(MISC_VERSION),
  id: z.string().max(200),
  parent: z.string().max(200).nullable(),
  created: z.string().max(40),
  modified: z.string().max(40),
  styleOf: z.string().max(10_000).optional(),
  tags: z.array(z.string().max(200)).max(1000),
  level: z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4), z.literal(5)]).optional(),
  notes: z.string().max(100_000).optional(),
  mode: z.literal('blues').optional(),
  instrument: instrumentSchema,
  voices: z.union([z.literal(1), z.literal(2)]),
});

/** `degreewise:phrase`; the instrument's open pitches are sounding, without the capo. */
export type PhraseExtras = z.output<typeof phraseSchema>;

const place = wholeNumber(60);
const curvePoint = z.tuple([z.number().min(0).max(100), z.number().min(0).max(100)]);

const noteSchema = z.strictObject({
  n: z.number().int().min(1).max(10_000_000),
  id: z.string().max(200),
  at: z.tuple([
    wholeNumber(1_000_000),
    wholeNumber(100_000_000),
    place,
    place,
    z.union([z.literal('x'), pitchText]),
  ]),
  anchor: z.enum(['chord', 'key', 'goal']).optional(),
  role: z.enum(ROLES).optional(),
  anticipation: z.boolean().optional(),
  pinned: z.literal(true).optional(),
  guessed: z.literal(true).optional(),
  bend: z
    .strictObject({
      target: pitchText.optional(),
      curve: z.array(curvePoint).max(1000).optional(),
    })
    .optional(),
  slideIn: z
    .strictObject({ from: z.enum(['below', 'above']), semitones: wholeNumber(60) })
    .optional(),
  trill: pitchText.optional(),
  above: z.union([z.literal(12), z.literal(19), z.literal(24)]).optional(),
  attack: z.enum(['hammer-on', 'pull-off', 'slide', 'slide-plucked', 'tap']).optional(),
});

/** One entry of `degreewise:notes`. Curve points are [at, amount] in percent. */
export type NoteExtras = z.output<typeof noteSchema>;

const notesSchema = z.array(noteSchema).max(1_000_000);

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
  const { anchor, role, anticipation, attack, slideIn, trill, harmonic } = note;
  return {
    ...(anchor === undefined ? {} : { anchor }),
    ...(role === undefined ? {} : { role }),
    ...(anticipation === undefined ? {} : { anticipation }),
    ...pinned,
    ...bendExtras(note),
    ...(slideIn?.kind === 'interval' ? { slideIn: intervalOf(slideIn) } : {}),
    ...(trill === undefined ? {} : { trill: formatPitch(trill.upper) }),
    ...(harmonic === undefined ? {} : { above: harmonic.above }),
    ...(needsSource(attack) && !hasSource ? { attack } : {}),
  };
}

/** Whether an attack starts from the note before it on its string. */
export function needsSource(
  attack: Attack | undefined,
): attack is 'hammer-on' | 'pull-off' | 'slide' | 'slide-plucked' {
  return attack !== undefined && attack !== 'tap';
}

function intervalOf(s: Extract<SlideIn, { kind: 'interval' }>) {
  return { from: s.from, semitones: s.semitones };
}

function bendExtras(note: Extract<Note, { kind: 'pitched' }>): Partial<NoteExtrasJson> {
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

function decode<T>(field: string, schema: z.ZodType<T>, text: string): Result<T> {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    return fail(leftAside(field, 'is not JSON'));
  }
  const r = schema.safeParse(raw);
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

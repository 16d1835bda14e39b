import { nameOfPitch } from '../move/naming';
import type { MoveRequest } from '../move/request';
import { firstStage, nextStage } from '../move/stage';
import { barAt } from '../phrase/time';
import type { NoteId, Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { mapNotes, notesOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { midiOf } from '../theory/pitch';
import { checkPhrase } from '../validity/check-phrase';
import { laidPrint, laneBars, type MomentMusic, musicOf } from './laid';
import { sourceWith } from './part-build';
import { layPart, NEW, type PartFound } from './part-now';

/** An edited part taken back to where it came from. */
export interface PartBack {
  /** The source as it becomes. */
  readonly source: Phrase;
  /** The whole, whose part is then what that source gives. */
  readonly whole: Phrase;
  /** What becomes other in the source, moment by moment, in words without a full stop. */
  readonly words: readonly string[];
}

/** So often notes that came out in another octave are put where they belong. */
const ROUNDS = 3;

/**
 * Takes what was changed in a part back to its source: moved to its key and chords by the same rules
 * (M2, M4); what was not changed stays as the source has it, note by note. The new source is then laid
 * again: only where it gives exactly what stands in the whole is it an answer.
 */
export function takeBack(whole: Phrase, found: PartFound): Result<PartBack> {
  const back = movedBack(found);
  if (!back.ok) return back;
  const shifts = new Map<NoteId, number>(octavesBack(found, back.value));
  let problem = 'it does not come out as it stands here';
  for (let round = 0; round < ROUNDS; round++) {
    const made = sourceWith(found, shifted(back.value, shifts));
    if (!made.ok) return made;
    const wrong = checkPhrase(made.value)[0];
    if (wrong !== undefined) return fail({ message: `in its source, ${wrong.message}` });
    const again = layPart(made.value, whole, found.bars, found.part, found.octaves);
    if (!again.ok) return again;
    const differs = difference(found, musicOf(found.now), musicOf(again.value.given));
    if (differs === null) return ok(together(whole, found, made.value, again.value.given));
    problem = differs.why;
    if (differs.octaves.size === 0) break;
    for (const [id, k] of differs.octaves) shifts.set(id, (shifts.get(id) ?? 0) + k);
  }
  return fail({ message: problem });
}

/** The part as it stands, over the source's own chords and in its key: pitches alone mean something. */
function movedBack({ source, moved, now }: PartFound): Result<Phrase> {
  const standing: Phrase = { ...moved, voices: now };
  const wrong = checkPhrase(standing)[0];
  if (wrong !== undefined) return fail({ message: `cut out of the whole, ${wrong.message}` });
  const requests: MoveRequest[] = [{ to: { kind: 'key', key: source.key } }];
  if (source.chords.length > 0) {
    const bars = laneBars(source, 0, source.bars.length);
    if (bars === null) {
      return fail({ message: 'the chords of its source change between the beats' });
    }
    requests.push({ to: { kind: 'lane', bars }, way: 'chord' });
  }
  let stage = firstStage(standing);
  for (const request of requests) {
    const next = nextStage(stage, request);
    if (!next.ok) return next;
    stage = next.value;
  }
  return ok(stage.now);
}

/** Octaves by which each note must go further: those of the nearest note that was not changed. */
function octavesBack({ source, given, now }: PartFound, back: Phrase): Map<NoteId, number> {
  const was = new Map(notesOf(source).map((n) => [n.note.id, n.note]));
  const same = new Set(unchangedNotes(musicOf(given), musicOf(now)));
  const known = notesOf(back).flatMap(({ note, onset }) => {
    const own = was.get(note.id);
    if (note.kind === 'dead' || own === undefined || own.kind === 'dead') return [];
    const by = midiOf(own.pitch) - midiOf(note.pitch);
    return same.has(note.id) && by % 12 === 0 ? [{ onset, octaves: by / 12 }] : [];
  });
  return new Map(
    notesOf(back).map(({ note, onset }) => {
      const near = known.reduce<(typeof known)[number] | null>(
        (a, b) => (a === null || Math.abs(b.onset - onset) < Math.abs(a.onset - onset) ? b : a),
        null,
      );
      return [note.id, near?.octaves ?? 0];
    }),
  );
}

/** Ids of the notes that are as they were given. */
export function unchangedNotes(
  before: readonly MomentMusic[],
  now: readonly MomentMusic[],
): readonly NoteId[] {
  const was = new Map(before.flatMap((m) => m.notes.map((n) => [n.id, JSON.stringify(n)])));
  return now.flatMap((m) =>
    m.notes.flatMap((n) => (was.get(n.id) === JSON.stringify(n) ? [n.id] : [])),
  );
}

function shifted(p: Phrase, octaves: ReadonlyMap<NoteId, number>): Phrase {
  return mapNotes(p, ({ note }) => {
    const k = octaves.get(note.id) ?? 0;
    if (note.kind === 'dead' || k === 0) return note;
    const up = <T extends { readonly octave: number }>(x: T): T => ({ ...x, octave: x.octave + k });
    const { bend, trill } = note;
    return {
      ...note,
      pitch: up(note.pitch),
      ...(bend === undefined || bend.shape === 'curl'
        ? {}
        : { bend: { ...bend, target: up(bend.target) } }),
      ...(trill === undefined ? {} : { trill: { ...trill, upper: up(trill.upper) } }),
    } satisfies PitchedNote;
  });
}

/** How what the new source gives differs from what stands in the whole; null where it does not. */
function difference(
  { now, source }: PartFound,
  wanted: readonly MomentMusic[],
  given: readonly MomentMusic[],
): { readonly why: string; readonly octaves: ReadonlyMap<NoteId, number> } | null {
  if (JSON.stringify(wanted) === JSON.stringify(given)) return null;
  const comes = new Map(given.flatMap((m) => m.notes.map((n) => [n.id, n])));
  const octaves = new Map<NoteId, number>();
  const names = new Map(
    now.flatMap((v) =>
      v.events.flatMap((e) => e.notes.map((n) => [n.id, { n, at: e.onset }] as const)),
    ),
  );
  let why = 'it would not give the same lengths and signs here';
  for (const n of wanted.flatMap((m) => m.notes)) {
    const other = comes.get(n.id)?.midi[0];
    const here = names.get(n.id);
    if (other === undefined || n.midi[0] === undefined || other === n.midi[0]) continue;
    if (here?.n.kind === 'pitched') {
      const { number } = barAt(source, here.at);
      why = `no note of its source gives ${nameOfPitch(here.n.pitch)} in its bar ${number} by the rules of moving`;
    }
    if ((n.midi[0] - other) % 12 === 0) octaves.set(n.id, (n.midi[0] - other) / 12);
    else return { why, octaves: new Map() };
  }
  return { why, octaves };
}

/** Both as they become: new notes are known by the same id in both. */
function together(
  whole: Phrase,
  found: PartFound,
  made: Phrase,
  given: Phrase['voices'],
): PartBack {
  const { part, source } = found;
  const taken = new Set(notesOf(source).map((n) => n.note.id));
  const fresh = new Map<NoteId, NoteId>();
  let number = 0;
  const idFor = (id: NoteId): NoteId => {
    const known = fresh.get(id);
    if (known !== undefined || !id.startsWith(NEW)) return known ?? id;
    do number++;
    while (taken.has(`n${number}`));
    fresh.set(id, `n${number}`);
    return `n${number}`;
  };
  const renamed = mapNotes(made, ({ note }) => ({ ...note, id: idFor(note.id) }));
  const laid = mapNotes({ ...found.moved, voices: given }, ({ note }) => ({
    ...note,
    id: idFor(note.id),
  }));
  const inWhole = new Map(
    [...fresh].map(([from, to]) => [from.slice(NEW.length), part.notes + to]),
  );
  const next: Phrase = {
    ...mapNotes(whole, ({ note }) => {
      const id = inWhole.get(note.id);
      return id === undefined ? note : { ...note, id };
    }),
    parts: (whole.parts ?? []).map((p) =>
      p.notes === part.notes
        ? {
            ...{ ...p, octaves: part.octaves, title: source.meta.title },
            laid: laidPrint(laid.voices),
          }
        : p,
    ),
  };
  return { source: renamed, whole: next, words: wordsOf(source, renamed) };
}

/** What becomes other, moment by moment; what only gets other lengths or signs is told bar by bar. */
function wordsOf(before: Phrase, after: Phrase): readonly string[] {
  const text = (e: PhraseEvent) =>
    e.notes.map((n) => (n.kind === 'dead' ? 'a dead note' : nameOfPitch(n.pitch))).join(' and ');
  const words: string[] = [];
  const signs = new Map<string, string[]>();
  for (const voice of [0, 1]) {
    const old = new Map(before.voices[voice]?.events.map((e) => [e.onset, e]));
    const now = new Map(after.voices[voice]?.events.map((e) => [e.onset, e]));
    for (const onset of [...new Set([...old.keys(), ...now.keys()])].sort((a, b) => a - b)) {
      const [was, is] = [old.get(onset), now.get(onset)];
      if (JSON.stringify(was) === JSON.stringify(is)) continue;
      const { number } = barAt(before, onset);
      const where = number === 0 ? 'the pickup' : `bar ${number}`;
      if (was === undefined) words.push(`${where}: ${text(is!)} is new`);
      else if (is === undefined) words.push(`${where}: ${text(was)} goes`);
      else if (text(was) !== text(is)) words.push(`${where}: ${text(was)} becomes ${text(is)}`);
      else signs.set(where, [...(signs.get(where) ?? []), text(is)]);
    }
  }
  const other = [...signs].map(
    ([where, notes]) => `${where}: another length, sign or place of ${notes.join(', ')}`,
  );
  return [...words, ...other];
}

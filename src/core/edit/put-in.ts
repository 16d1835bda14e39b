import { movePhrase } from '../move/move';
import { handFor } from '../neck/handy-place';
import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { chordSign, formatChord } from '../theory/chord';
import { rootAt } from '../understand/spell';
import { pasteInto } from './clip';
import { cannot, done, type Outcome } from './outcome';
import { voiceOf } from './select';
import type { EditState } from './state';

/**
 * Puts a phrase in at the cursor, note by note as it is. On an empty page a phrase that has chords or
 * a pickup comes whole: with its lane, key, metre, tempo, feel, marks and instrument. What the page is
 * called stays.
 */
export function putIn(s: EditState, clip: Phrase): Outcome {
  return isEmptyPage(s) && (clip.chords.length > 0 || clip.pickup > 0)
    ? takeWhole(s, clip)
    : handThere(pasteInto(s, clip));
}

/** The hand goes to where the last of what was put in is played, so that writing goes on there. */
function handThere(outcome: Outcome): Outcome {
  if (outcome.kind !== 'done') return outcome;
  const { state } = outcome;
  const fresh = new Set(state.selection.fresh);
  const last = voiceOf(state)
    .events.filter((e) => e.notes.some((n) => fresh.has(n.id)))
    .at(-1);
  const hand = (last?.notes ?? []).reduce((h, n) => handFor(h, n.fret), state.pen.hand);
  return { ...outcome, state: { ...state, pen: { ...state.pen, hand } } };
}

/** Nothing was written or said yet, and the cursor is where the page begins. */
function isEmptyPage({ phrase: p, selection }: EditState): boolean {
  const silent = p.voices.every((v) => v.events.length === 0);
  const bare = p.chords.length === 0 && p.marks.length === 0 && p.pickup === 0;
  return silent && bare && p.bars.length === 1 && selection.cursor.onset === 0;
}

function takeWhole(s: EditState, clip: Phrase): Outcome {
  const { id, parent, meta } = s.phrase;
  const phrase: Phrase = { ...clip, id, parent, meta };
  const notes = clip.voices.flatMap((v) => v.events.flatMap((e) => e.notes.map((n) => n.id)));
  const next: EditState = {
    ...s,
    phrase,
    selection: {
      ...s.selection,
      voice: 0,
      cursor: { ...s.selection.cursor, onset: phrase.length },
      corner: null,
      fresh: notes,
      typed: '',
    },
  };
  const count = notes.length === 1 ? 'a note' : `${notes.length} notes`;
  const lane = clip.chords.length === 0 ? '' : 'chords, ';
  return handThere(done(next, `${count} put in with ${lane}key and metre`));
}

/**
 * Puts a phrase in at the cursor so that over the chord there every note is what it was over its own
 * (the way *chord* of M1): from I to IV in one step.
 */
export function putInOverChord(s: EditState, clip: Phrase): Outcome {
  const { chord } = rootAt(s.phrase, s.selection.cursor.onset);
  if (chord === null) return cannot('no chord stands at the cursor');
  const moved = movePhrase(clip, { to: { kind: 'chord', chord } });
  if (!moved.ok) return cannot(moved.problems[0]!.message);
  const outcome = pasteInto(s, moved.value.phrase);
  if (outcome.kind !== 'done') return outcome;
  const changed = moved.value.report.notes.filter((n) => n.adaptations.some((a) => a.fallback));
  const over = `over ${chordSign(formatChord(chord))}`;
  const lost = [
    ...(changed.length === 0
      ? []
      : [`${changed.length === 1 ? 'a note' : `${changed.length} notes`} not quite as before`]),
    ...(fingersIn(moved.value.phrase) < fingersIn(clip) ? ['without its fingers'] : []),
  ];
  return handThere(done(outcome.state, [`${outcome.say}, ${over}`, ...lost].join(', ')));
}

function fingersIn(p: Phrase): number {
  return notesOf(p).filter(({ note }) => note.kind === 'pitched' && note.finger !== undefined)
    .length;
}

import { changesAt, type MoveChange } from '../move/changes';
import { childTitle } from '../move/child';
import { readGoal } from '../move/goal';
import { movePhrase } from '../move/move';
import type { MoveReport } from '../move/request';
import { barSpans, fullLength } from '../phrase/time';
import { placeWords } from '../phrase/time-words';
import type { Bar, ChordChange, Phrase, PhraseEvent } from '../phrase/types';
import { isTake, takesOf } from '../practice/takes';
import type { LeftOut, Take } from '../practice/types';
import { fail, ok, type Result } from '../result';
import { withGaps } from './gaps';
import type { Carried, ItemOfPhrase, LessonItem, LessonMove } from './types';
import { speaksOfPhrase } from './types';

/** Music of an item: what is printed, and what is heard. */
export interface Sheet {
  /** What it is, where an item has several: `before`, `over IV7 in A`. */
  readonly caption: string;
  readonly printed: Phrase;
  /** Another than what is printed where something is to be filled in. */
  readonly heard: Phrase;
  /** Degrees under the notes, or places for them. */
  readonly degrees: 'told' | 'asked';
  /** What is missing and where, for who fills it in. */
  readonly gaps: readonly PhraseEvent[];
  /** Its empty bars are written in by hand. */
  readonly writtenIn: boolean;
  /** What a move changed and where. */
  readonly changes: readonly MoveChange[];
  /** What accompanies it; whether that is printed on its lines. */
  readonly comping: { readonly phrase: Phrase; readonly printed: boolean } | null;
  /** Why it is not there, in place of music; null where it is. */
  readonly leftOut: string | null;
}

/** The phrase of the lesson that an item speaks of. @throws RangeError in a lesson that was not checked. */
export function phraseOf(lesson: Carried, item: ItemOfPhrase): Phrase {
  const found = lesson.phrases.find((p) => p.id === item.phrase);
  if (found === undefined) throw new RangeError(`no phrase ${item.phrase} in the lesson`);
  return found;
}

/** The music of an item in the order of the page; none for what is no music. */
export function sheetsOf(lesson: Carried, item: LessonItem): Result<readonly Sheet[]> {
  if (!speaksOfPhrase(item)) return ok([]);
  const phrase = phraseOf(lesson, item);
  switch (item.kind) {
    case 'phrase':
      return ok([plain(phrase)]);
    case 'solo': {
      const { comping } = item;
      const part = lesson.phrases.find((p) => p.id === comping?.phrase);
      if (comping === undefined || part === undefined) return ok([plain(phrase)]);
      return ok([{ ...plain(phrase), comping: { phrase: part, printed: comping.printed } }]);
    }
    case 'neck':
      return ok([]);
    case 'pair': {
      const moved = moveAs(phrase, item.move);
      if (!moved.ok) return moved;
      const after = plain(moved.value.phrase, 'after');
      const changes = changesAt(after.printed, moved.value.report);
      return ok([plain(phrase, 'before'), { ...after, changes }]);
    }
    case 'rounds': {
      const takes = takesOf(phrase, item.cycle);
      if (!takes.ok) return takes;
      return ok(
        Array.from({ length: takes.value.count }, (_, i) => round(phrase, takes.value.at(i))),
      );
    }
    case 'gaps': {
      const gapped = withGaps(phrase, item.every);
      if (gapped === null) return fail({ message: 'the phrase is too short for a gap' });
      return ok([{ ...plain(phrase), printed: gapped.phrase, gaps: gapped.missing }]);
    }
    case 'degrees':
      return ok([{ ...plain(phrase), degrees: 'asked' }]);
    case 'answer':
      return ok([{ ...plain(withAnswer(phrase)), writtenIn: true }]);
  }
}

const plain = (phrase: Phrase, caption = ''): Sheet => ({
  caption,
  printed: phrase,
  heard: phrase,
  degrees: 'told',
  gaps: [],
  writtenIn: false,
  changes: [],
  comping: null,
  leftOut: null,
});

/** A phrase moved as the lesson says, called by where it went. */
export function moveAs(
  p: Phrase,
  { kind, text, ...how }: LessonMove,
): Result<{ readonly phrase: Phrase; readonly report: MoveReport }> {
  const to = readGoal({ kind, text }, p.key);
  if (!to.ok) return to;
  const moved = movePhrase(p, { to: to.value, ...how });
  if (!moved.ok) return moved;
  const { phrase, report } = moved.value;
  const [broken] = report.unplayable;
  if (broken !== undefined) return fail({ message: broken, fix: 'Choose another goal.' });
  return ok({ phrase: titled(phrase, childTitle(p, phrase, [to.value])), report });
}

const titled = (p: Phrase, title: string): Phrase => ({ ...p, meta: { ...p.meta, title } });

function round(p: Phrase, take: Take | LeftOut): Sheet {
  if (!isTake(take)) {
    return { ...plain(p, take.goal.text), leftOut: take.why };
  }
  if (take.goal === null) return plain(p, 'as it is');
  const to = readGoal(take.goal, p.key);
  const title = to.ok ? childTitle(p, take.phrase, [to.value]) : p.meta.title;
  return { ...plain(titled(take.phrase, title), take.goal.text), changes: take.changes };
}

/** The phrase and as many empty bars over the same chords. */
export function withAnswer(p: Phrase): Phrase {
  const length = fullLength(p);
  const body = length - p.pickup;
  const plainBars = p.bars.map(({ meter }): Bar => ({ meter }));
  const again = p.chords
    .filter((c) => c.onset >= p.pickup)
    .map((c): ChordChange => ({ ...c, onset: c.onset + body }));
  const first = chordAt(p, p.pickup);
  const last = p.chords.at(-1);
  const opens =
    first === undefined || again[0]?.onset === length || last?.symbol === first.symbol
      ? []
      : [{ onset: length, symbol: first.symbol }];
  const lane = [...p.chords, ...opens, ...again];
  return {
    ...p,
    bars: [...p.bars, ...plainBars],
    length: length + body,
    chords: lane.filter((c, i) => i === 0 || lane[i - 1]!.symbol !== c.symbol),
  };
}

function chordAt(p: Phrase, onset: number): ChordChange | undefined {
  return p.chords.filter((c) => c.onset <= onset).at(-1);
}

/** Where moments are missing, for who fills them in: on the page they look like rests. */
export function gapsAsked({ gaps, heard }: Pick<Sheet, 'gaps' | 'heard'>): string {
  return `Missing: ${gaps.map((e) => placeOf(heard, e)).join('; ')}.`;
}

/** `bar 2, beat 3` of a moment. */
export function placeOf(p: Phrase, e: PhraseEvent): string {
  return placeWords(p, e.onset);
}

/** Bars of a phrase, the pickup not counted. */
export const barsIn = (p: Phrase): number => barSpans(p).filter((s) => s.number > 0).length;

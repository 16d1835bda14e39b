import { startEditing } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { decodePhrase } from '../../io/json/decode';
import { encodeCompact } from '../../io/json/encode';
import type { Unkept } from '../../storage/unkept';
import { type Corrected, correctedPhrase, type SoundKey, uncorrected } from './corrections';
import { type Kept, KeptBefore } from './keep-caught';
import type { CaughtTake } from './messages';
import { isTakeData, isWorkData } from './unkept-check';
import { type KeptData, type TakeData, UNKEPT_VERSION, type WorkData } from './unkept-form';

/** What was caught before, as it stands on the page. */
export interface Resumed {
  readonly take: CaughtTake;
  readonly all: readonly Corrected[];
  readonly right: ReadonlySet<SoundKey>;
  readonly kept: KeptBefore;
}

/** Texts of phrases that were written once: what is said of a long take is written again and again. */
const texts = new WeakMap<Phrase, string>();

/** A phrase as it is written; the first time it takes a few milliseconds. */
export function textOf(p: Phrase): string {
  const known = texts.get(p);
  if (known !== undefined) return known;
  const made = encodeCompact(p);
  texts.set(p, made);
  return made;
}

export function takeData(take: CaughtTake): TakeData {
  const phrases = take.phrases.map(({ phrase, heard, ...rest }) => ({
    ...rest,
    text: textOf(phrase),
    heard: [...heard],
  }));
  return { ...take, version: UNKEPT_VERSION, phrases };
}

export function workData(c: Corrected, kept: Kept | null): WorkData {
  const { phrase } = correctedPhrase(c);
  return {
    version: UNKEPT_VERSION,
    text: textOf(phrase),
    history: c.history,
    made: c.made,
    kept:
      kept === null
        ? null
        : {
            text: textOf(kept.phrase),
            history: kept.history,
            revision: kept.revision,
            caught: kept.caught === phrase ? null : textOf(kept.caught),
          },
  };
}

/**
 * What was caught before, read and checked.
 * @returns why it is not shown, where something of it is not as it was written.
 */
export function resumed({ head, take: data, parts }: Unkept): Result<Resumed> {
  if (!isTakeData(data) || !parts.every(isWorkData) || parts.length !== data.phrases.length) {
    return fail({
      message: 'what lies here of it is damaged, or was written by a newer Degreewise',
      fix: 'Load the page again, so that it is the newest one.',
    });
  }
  const phrases: CaughtPhrase[] = [];
  const all: Corrected[] = [];
  const kept = new KeptBefore();
  for (const [i, { text, heard, doubts = [], ...rest }] of data.phrases.entries()) {
    const work = parts[i]!;
    const asCaught = decodePhrase(text);
    if (!asCaught.ok) return asCaught;
    const now = work.text === text ? asCaught : decodePhrase(work.text);
    if (!now.ok) return now;
    const caught = { ...rest, doubts, phrase: asCaught.value, heard: new Map(heard) };
    phrases.push(caught);
    all.push(standing(caught, now.value, work));
    if (work.kept === null) continue;
    const before = keptAs(work.kept, now.value);
    if (!before.ok) return before;
    kept.set(caught.phrase.id, before.value);
  }
  const { version: _, ...rest } = data;
  return ok({ take: { ...rest, phrases }, all, right: new Set(head.right), kept });
}

/** A phrase as it was corrected, with the way back. */
function standing(caught: CaughtPhrase, phrase: Phrase, { history, made }: WorkData): Corrected {
  const begun = uncorrected(caught);
  if (history.steps.length === 0) return begun;
  const { selection } = begun.state;
  return {
    ...begun,
    state: { ...startEditing(phrase), selection },
    history,
    made,
  };
}

function keptAs({ text, history, revision, caught }: KeptData, now: Phrase): Result<Kept> {
  const phrase = decodePhrase(text);
  if (!phrase.ok) return phrase;
  const was = caught === null ? ok(now) : decodePhrase(caught);
  if (!was.ok) return was;
  return ok({ caught: was.value, phrase: phrase.value, history, revision });
}

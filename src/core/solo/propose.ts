import { usualWords } from '../joins/usual';
import { joinWords } from '../joins/words';
import { checkPlayable } from '../neck/playable';
import { shownTitle } from '../phrase/record';
import { beatTicks } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { checkPhrase } from '../validity/check-phrase';
import { assemble, type Frame } from './assemble';
import { pinProblems } from './check-pins';
import type { Chosen } from './chosen';
import { emptyBars } from './empty';
import { phrasePins } from './pins';
import { Placer } from './placer';
import { featuresOf } from './scores';
import { Seeker } from './seeker';
import { tasteWords } from './taste';
import { TORN_WORDS } from './torn';
import type { Solo, SoloPart, SoloTask } from './types';
import { nothingUsable, usablePhrases } from './usable';
import { writtenWords } from './written';

/** More bars in a row are not filled: eight choruses of 32 are 256, and a way through takes longer the longer it is (*ours*). */
const MOST_FORM_BARS = 300;

/**
 * Fills a form with phrases: for each chorus the best way through it, or one that is drawn in
 * proportion. Choruses differ; what is pinned stands in each.
 * @param placer One of the same form and phrases remembers what it has moved.
 * @returns At most `count` choruses, fewer where there are no more; or why there is none.
 */
export function proposeSolos(
  task: SoloTask,
  frame: (number: number) => Frame,
  placer = new Placer(task.form, task.phrases),
): Result<readonly Solo[]> {
  const seeker = seekerOf(task, placer);
  return seeker.ok ? solosOf(task, seeker.value, frame) : seeker;
}

/** What seeks ways for a task; or which pin is wrong, or why there is nothing to choose from. */
export function seekerOf(task: SoloTask, placer: Placer): Result<Seeker> {
  const { form, phrases, options } = task;
  const [wrong, ...more] = pinProblems(task);
  if (wrong !== undefined) return fail(wrong, ...more);
  const { length } = form.bars;
  if (options.fill !== false && length > MOST_FORM_BARS) {
    return fail({
      message: `that is ${length} bars, and at most ${MOST_FORM_BARS} are filled at once`,
      fix: 'Take fewer choruses, or a shorter form.',
    });
  }
  const usable = options.fill === false ? [] : usablePhrases(phrases, form, options);
  if (usable.length === 0 && phrasePins(options).length === 0) {
    return fail({
      message: nothingUsable(form, options.level),
      fix: 'Give others, or another form.',
    });
  }
  return Seeker.of(task, usable, placer);
}

function solosOf(
  task: SoloTask,
  seeker: Seeker,
  frame: (number: number) => Frame,
): Result<readonly Solo[]> {
  const { options } = task;
  const solos: Solo[] = [];
  const known = new Set<string>();
  const count = options.count ?? 1;
  for (let n = 0; solos.length < count && n < 3 * count; n++) {
    // Without a seed the first is the best, and the others are drawn.
    const seed = options.seed === undefined ? (n === 0 ? null : n) : options.seed + n;
    const chosen = seeker.seek(seed);
    if (!chosen.ok) return chosen;
    if (chosen.value === null) continue;
    const name = chosen.value.map((c) => `${c.candidate.index}:${c.candidate.start}`).join(' ');
    if (known.has(name)) continue;
    known.add(name);
    solos.push(soloOf(task, chosen.value, seeker, frame(solos.length + 1)));
  }
  if (solos.length > 0) return ok(solos);
  return fail({
    message: 'no way leads through the form with these phrases',
    fix: 'Give more phrases, or let each stand more often.',
  });
}

function soloOf(task: SoloTask, chosen: readonly Chosen[], seeker: Seeker, frame: Frame): Solo {
  const { form, phrases } = task;
  const parts = chosen.map(({ candidate, moved, pinned }, i): SoloPart => {
    return {
      firstBar: candidate.start + 1,
      lastBar: candidate.end,
      phrase: phrases[candidate.index]!,
      index: candidate.index,
      octaves: candidate.octaves,
      pinned,
      report: moved.report,
      why: whyAfter(task, chosen[i - 1] ?? null, chosen[i]!, chosen[i - 2] ?? null),
    };
  });
  const empty = emptyBars(task, chosen, seeker);
  const notes = parts.map((p) => `${barsInWords(p)}: “${shownTitle(p.phrase.meta)}”`).join('\n');
  const meta = { ...frame.meta, notes };
  return { phrase: assemble(form, chosen, { ...frame, meta }), parts, empty };
}

/**
 * Why a phrase stands after another, in parts of a sentence.
 * @param earlier What stands before the one before, where something does.
 */
export function whyAfter(
  { form, phrases, options: { taste = {} } }: SoloTask,
  before: Chosen | null,
  { candidate, elsewhere }: Chosen,
  earlier: Chosen | null,
): readonly string[] {
  const roles = [
    ...tasteWords(taste, before?.candidate ?? null, candidate, phrases),
    ...(candidate.suits === 1 ? ['its own chords are like these'] : []),
    ...writtenWords(phrases[candidate.index]!, form.form),
    ...(candidate.torn > 0 ? [TORN_WORDS] : []),
    ...(elsewhere === undefined ? [] : [elsewhere]),
  ];
  const { meter } = form.form;
  const onset = candidate.from;
  if (before === null) return [...usualWords({ onset, rest: null }, meter), ...roles];
  const rest = (onset - before.candidate.until) / beatTicks(meter);
  // Bars that stay empty are told by themselves.
  const waits = candidate.start > before.candidate.end ? null : Math.max(0, rest);
  const cuts =
    before.candidate.until > candidate.from
      ? ['it begins before the phrase before has ended, which is cut short']
      : [];
  const features = featuresOf(before.candidate, candidate, earlier?.candidate);
  const usual = usualWords({ onset, rest: waits }, meter);
  return [...cuts, ...joinWords(features, earlier !== null), ...usual, ...roles];
}

/** 'Bar 3' or 'Bars 3 to 4'. */
export function barsInWords({ firstBar, lastBar }: Pick<SoloPart, 'firstBar' | 'lastBar'>): string {
  return firstBar === lastBar ? `Bar ${firstBar}` : `Bars ${firstBar} to ${lastBar}`;
}

/** What a solo breaks as a whole: rules of the phrase and of the neck, in words; empty where it is sound. */
export function faultsOf(p: Phrase): readonly string[] {
  return [...checkPhrase(p), ...checkPlayable(p)].map((x) => x.message);
}

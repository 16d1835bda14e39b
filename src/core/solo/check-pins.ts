import type { LaidForm } from '../form/lay';
import { shownTitle } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import type { Problem } from '../result';
import { barsOfPin, type PhrasePin, phrasePins } from './pins';
import type { Pin, SoloTask } from './types';
import { neckOf, whyNotInForm } from './usable';

/** What is wrong with pins, each with its bar, before anything is moved. */
export function pinProblems({ form, phrases, options }: SoloTask): readonly Problem[] {
  const problems: Problem[] = [];
  const by = new Map<number, string>();
  const [first] = phrasePins(options);
  const resting = new Set((options.pins ?? []).flatMap((p) => (p.index === null ? [p.start] : [])));
  if (form.bars.every((_, bar) => resting.has(bar))) {
    return [{ message: 'every bar is left empty', fix: 'Leave one for a phrase.' }];
  }
  for (const pin of options.pins ?? []) {
    const name = pin.index === null ? 'the rest' : `“${shownTitle(phrases[pin.index]!.meta)}”`;
    const why = whyNotAt(pin, form, phrases, first);
    if (why !== null) {
      problems.push({
        message: `${name} cannot stand there: ${why}`,
        bar: pin.start + 1,
      });
      continue;
    }
    const [from, to] = barsOfPin(pin, phrases);
    for (let bar = from; bar < to; bar++) {
      const other = by.get(bar);
      if (other !== undefined) {
        const message = `${other} and ${name} would both stand there`;
        problems.push({ message, fix: 'Take one of them away.', bar: bar + 1 });
        break;
      }
      by.set(bar, name);
    }
  }
  return problems;
}

function whyNotAt(
  pin: Pin,
  form: LaidForm,
  phrases: readonly Phrase[],
  first: PhrasePin | undefined,
): string | null {
  const { length } = form.bars;
  if (pin.start < 0 || pin.start >= length) return `the form has ${length} bars`;
  if (pin.index === null) return null;
  const phrase = phrases[pin.index]!;
  const no = whyNotInForm(phrase, form);
  if (no !== null) return no;
  if (pin.start + phrase.bars.length > length) {
    return `it has ${phrase.bars.length} bars and would end behind the form, which has ${length}`;
  }
  return first !== undefined && neckOf(phrase) !== neckOf(phrases[first.index]!)
    ? `it is for another instrument or tuning than “${shownTitle(phrases[first.index]!.meta)}”`
    : null;
}

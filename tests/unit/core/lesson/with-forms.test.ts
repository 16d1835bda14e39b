import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { checkLesson } from '../../../../src/core/lesson/check';
import { addPhrases, lessonOf } from '../../../../src/core/lesson/edit';
import { formsMissing, withForms } from '../../../../src/core/lesson/with-forms';
import type { Phrase } from '../../../../src/core/phrase/types';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const birth = { id: 'l', now: '2026-11-29T08:00:00Z', title: 'Quay' };
const A = { letter: 'A', alter: 0 } as const;
const form = standardForm('blues')!;

function solo(id: string): Phrase {
  const laid = layForm(form, A);
  if (!laid.ok) throw new Error('laid');
  const meta = { ...samples[0]!.meta, title: id };
  const made = proposeSolos(
    { form: laid.value, phrases: samples, options: { count: 1, seed: 1 } },
    () => ({ id, tempo: form.tempo, meta }),
  );
  if (!made.ok) throw new Error('made');
  return made.value[0]!.phrase;
}

const kinds = (l: ReturnType<typeof withForms>) => l.items.map((i) => i.kind).join(' ');

describe('a solo that was kept', () => {
  const [first, second] = [solo('one'), solo('two')];

  it('brings its form into a lesson, before it and once', () => {
    const l = withForms(lessonOf([samples[0]!, first, second], birth), []);
    expect(kinds(l)).toBe('phrase form solo solo');
    expect(l.items[1]).toEqual({ kind: 'form', id: 'i4', form, tonic: A });
    expect(checkLesson(l)).toEqual([]);
  });

  it('says why it brings none', () => {
    const three = { meter: { beats: 3, beatType: 4 } } as const;
    const [, ...bars] = first.bars;
    const uneven = { ...first, bars: [...bars, three] };
    const other = { ...second, key: { ...second.key, mode: 'minor' as const } };
    const l = lessonOf([uneven, other, { ...solo('bare'), chords: [] }, solo('whole')], birth);
    expect(formsMissing(l, [])).toEqual([
      '“one” brings no form: its bars are in 4/4 and 3/4, and a form has one metre',
      '“two” brings no form: no form here, of yours or a standard one, has its chords',
      '“bare” brings no form: it has no chords',
    ]);
    expect(formsMissing(l, [], l)).toEqual([]);
  });

  it('leaves what the lesson showed before as it is', () => {
    const was = lessonOf([first], birth);
    expect(kinds(withForms(addPhrases(was, [second]), [], was))).toBe('solo form solo');
    const only = addPhrases(was, [samples[0]!]);
    expect(withForms(only, [], was)).toBe(only);
  });
});

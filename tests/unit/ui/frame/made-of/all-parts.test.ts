import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../../src/core/form/lay';
import { standardForm } from '../../../../../src/core/form/standard';
import type { Phrase } from '../../../../../src/core/phrase/types';
import { mapNotes, notesOf } from '../../../../../src/core/phrase/walk';
import { proposeSolos } from '../../../../../src/core/solo/propose';
import { allApart, layAllAnew, takeOver } from '../../../../../src/ui/frame/made-of/all-parts';
import { lookAtParts } from '../../../../../src/ui/frame/made-of/part-looks';
import { build } from '../../../../support/build';

const NOW = '2026-01-01T00:00:00.000Z';
const sources = ['q 3/5 3/7 2/8 2/5', 'q 2/5 2/8 1/5 1/8'].map((text, i) => ({
  ...build(text, { key: 'A', chords: 'A7' }),
  id: `source-${i}`,
}));
const form = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });

/** The first source in bars 1 and 2 (over other chords), the second in bar 3. */
const whole = (() => {
  if (!form.ok) throw new Error('blues');
  const pins = [0, 0, 1].map((index, start) => ({ start, index }));
  const task = { form: form.value, phrases: sources, options: { fill: false, pins } };
  const made = proposeSolos(task, () => ({
    id: 'whole',
    tempo: form.value.form.tempo,
    meta: { title: 'A solo', tags: [], created: NOW, modified: NOW },
  }));
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value[0]!.phrase;
})();
const marks = whole.parts!.map((p) => p.notes);
const from =
  (more: ReadonlyMap<string, Phrase> = new Map()) =>
  (id: string) =>
    more.get(id) ?? sources.find((p) => p.id === id) ?? null;
const shaken = (p: Phrase, some: (id: string) => boolean = () => true) =>
  mapNotes(p, ({ note }) =>
    note.kind === 'pitched' && some(note.id) ? { ...note, vibrato: 'narrow' } : note,
  );
const states = (p: Phrase, source = from()) => lookAtParts(p, source).map((l) => l.state.kind);

describe('all parts of a solo at once', () => {
  it('change their sources, one that two of them are from once', () => {
    const edited = shaken(whole);
    expect(states(edited)).toEqual(['edited', 'edited', 'edited']);
    const made = takeOver(edited, marks, from());
    expect(made.done).toBe(3);
    expect([...made.sources.keys()].sort()).toEqual(['source-0', 'source-1']);
    for (const p of made.sources.values()) {
      expect(notesOf(p).every(({ note }) => note.kind === 'pitched' && note.vibrato)).toBe(true);
    }
    expect(states(made.whole, from(made.sources))).toEqual(['as laid', 'as laid', 'as laid']);
    expect(made.whole.voices).toEqual(edited.voices);
  });

  it('leave what was changed in another way as it stands', () => {
    // Of the two from one source only the first is changed: the second is no longer what it gives.
    const edited = shaken(whole, (id) => id.startsWith(marks[0]!));
    const made = takeOver(edited, marks, from());
    expect(made.done).toBe(1);
    expect(made.whole.voices).toEqual(edited.voices);
    expect(states(made.whole, from(made.sources))).toEqual(['as laid', 'unsure', 'as laid']);
    // Laid anew it is what its source gives now.
    const anew = layAllAnew(made.whole, marks, from(made.sources));
    expect(anew.done).toBe(1);
    expect(states(anew.whole, from(made.sources))).toEqual(['as laid', 'as laid', 'as laid']);
    const shakenNow = notesOf(anew.whole).filter(
      ({ note }) => note.kind === 'pitched' && note.vibrato !== undefined,
    );
    expect(shakenNow.length).toBe(8);
  });

  it('go their own way, and come back', () => {
    const apart = allApart(shaken(whole), marks, true);
    expect(states(apart)).toEqual(['apart', 'apart', 'apart']);
    expect(states(allApart(apart, marks, false))).toEqual(['edited', 'edited', 'edited']);
  });
});

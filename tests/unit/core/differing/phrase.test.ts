import { describe, expect, it } from 'vitest';
import { phraseDifferences } from '../../../../src/core/differing/phrase';
import { differingFields } from '../../../../src/core/differing/words';
import { placeWords } from '../../../../src/core/phrase/time-words';
import type { Phrase } from '../../../../src/core/phrase/types';
import { OWN_FORM } from '../../../support/lesson';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);

/** A phrase with its first voice changed. */
function withEvents(p: Phrase, change: (e: Phrase['voices'][0]['events']) => typeof e): Phrase {
  const [first, ...more] = p.voices;
  return {
    ...p,
    voices: [{ ...first, events: change(first.events) }, ...more] as Phrase['voices'],
  };
}

describe('what differs between two versions of a phrase', () => {
  it('is nothing where only the id, the time of change and the names of notes differ', () => {
    for (const p of samples) {
      const renamed = withEvents(p, (events) =>
        events.map((e) => {
          const [first, ...more] = e.notes;
          return { ...e, notes: [{ ...first, id: `x${first.id}` }, ...more] };
        }),
      );
      const meta = { ...p.meta, modified: '2030-01-01T00:00:00.000Z' };
      expect(phraseDifferences(p, { ...renamed, id: 'other', meta })).toEqual([]);
    }
  });

  it('is a note taken out, at its place, whichever it is', () => {
    for (const p of samples) {
      for (const [i, { onset }] of p.voices[0].events.entries()) {
        const less = withEvents(p, (events) => events.filter((_, n) => n !== i));
        const said = [`notes at ${placeWords(p, onset)}`];
        expect(phraseDifferences(p, less)).toEqual(said);
        expect(phraseDifferences(less, p)).toEqual(said);
      }
    }
  });

  it('is told with short values, and with the first places of many', () => {
    const p = samples.find((s) => s.chords.length > 4)!;
    const q: Phrase = {
      ...p,
      tempo: { bpm: 61, unit: 'half' },
      chords: [],
      meta: { ...p.meta, title: 'Other', tags: ['a', 'b'], notes: 'Slowly!' },
    };
    const said = phraseDifferences(q, p);
    expect(said).toContain(`title ('Other' / '${p.meta.title}')`);
    expect(said).toContain(
      `tempo (half = 61 / ${p.tempo.unit.replace('-', ' ')} = ${p.tempo.bpm})`,
    );
    expect(said).toContain(`tags (a, b / ${p.meta.tags.join(', ') || 'none'})`);
    expect(said).toContain('notes for students');
    const chords = said.find((w) => w.startsWith('chords at'));
    expect(chords).toMatch(/^chords at bar 1, beat 1; .*; .* and \d+ more places?$/u);
  });

  it('is named by its fields where it is no phrase', () => {
    const meta = { ...OWN_FORM.meta, title: 'Other', modified: '2030-01-01T00:00:00.000Z' };
    expect(differingFields(OWN_FORM, { ...OWN_FORM, id: 'x', meta, mode: 'minor' })).toEqual([
      'title',
      'mode',
    ]);
    expect(differingFields(OWN_FORM, { ...OWN_FORM })).toEqual([]);
  });
});

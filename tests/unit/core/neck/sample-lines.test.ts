import { describe, expect, it } from 'vitest';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { readSamples } from '../../../support/samples';

const CHORDAL = new Set(['fingerstyle', 'comping', 'strums', 'let ring']);

/** A line of single notes and double stops on a guitar in standard tuning, two chords in it at most. */
function isLine(p: Phrase): boolean {
  const strings = p.instrument.tuning.map((t) => t.letter).join('');
  return (
    strings === 'EBGDAE' &&
    p.instrument.capo === 0 &&
    p.voices.length === 1 &&
    !p.meta.tags.some((t) => CHORDAL.has(t)) &&
    p.voices[0].events.filter((e) => e.notes.length > 2).length <= 2
  );
}

/**
 * The weights of lead were drawn towards these very fingerings, so this says how well they are met,
 * not how well a new line would be: that is the held-out figure in the decisions on fingering.
 */
describe('[N4] the written fingerings of the sample lines', () => {
  const lines = readSamples().filter((s) => isLine(s.phrase));

  it('are mostly found again from pitches and techniques alone', () => {
    let notes = 0;
    let agreed = 0;
    for (const { phrase } of lines) {
      const [best] = findFingerings(problemOf(phrase), { style: 'lead' });
      for (const { note } of notesOf(phrase)) {
        if (note.kind === 'dead') continue;
        notes++;
        const place = best!.places.get(note.id)!;
        if (place.string === note.string && place.fret === note.fret) agreed++;
      }
    }
    console.log(`${lines.length} sample lines: ${agreed} of ${notes} notes where they are written`);
    expect(lines.length).toBeGreaterThan(15);
    expect(agreed / notes).toBeGreaterThan(0.7);
  });
});

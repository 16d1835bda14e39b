import { describe, expect, it } from 'vitest';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { noteAlone, type OtherPlace, otherPlaces } from '../../../../src/core/neck/to-place';
import { placeMidi } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { midiOf } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

const places = (p: Phrase) =>
  notesOf(p)
    .map(({ note }) => `${note.string}/${note.fret}`)
    .join(' ');

describe('a note at another place of the same pitch', () => {
  it('takes along what is hammered or slid on its string', () => {
    const p = build('e 3/5 3/7(h) 2/5 1/5');
    const there = otherPlaces(p, ['n2']);
    expect(there.map((o) => `${o.string}/${o.fret}`)).toEqual(['2/3', '4/12', '5/17', '6/22']);
    const [up, down] = there;
    expect(up!.phrase.ok && places(up!.phrase.value)).toBe('2/1 2/3 2/5 1/5');
    expect(down!.phrase.ok && places(down!.phrase.value)).toBe('4/10 4/12 2/5 1/5');
  });

  it('is refused where a string is taken, pinned, or a rule would be broken, with the reason', () => {
    const said = (o: OtherPlace) => (o.phrase.ok ? 'possible' : o.phrase.problems[0]!.message);
    // E4 of string 2 is on string 3 at fret 9, where C4 is held.
    const both = build('q 3/5+2/5');
    const high = notesOf(both).find(({ note }) => note.string === 2)!.note.id;
    const there = otherPlaces(both, [high]).find((o) => o.string === 3)!;
    expect(said(there)).toBe('string 3 is played at the same time');
    expect(otherPlaces(build('q 3/5(pin)'), ['n1']).every((o) => !o.phrase.ok)).toBe(true);
    // A bent note cannot be open: E4 bent a whole tone on string 1.
    const open = otherPlaces(build('q 2/5(bend:F#4)'), ['n1']).find((o) => o.string === 1)!;
    expect(said(open)).toBe('an open string cannot be bent');
  });

  it('sounds the same and stays valid and playable, for phrases made by chance', () => {
    let moved = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const p = seededPhrase(seed, { maxEvents: 6 });
      const known = checkPlayable(p).length;
      const { note } = notesOf(p)[seed % notesOf(p).length]!;
      for (const o of otherPlaces(p, [note.id])) {
        if (!o.phrase.ok) continue;
        const q = o.phrase.value;
        moved++;
        expect(checkPhrase(q), places(q)).toEqual(checkPhrase(p));
        expect(checkPlayable(q).length).toBeLessThanOrEqual(known);
        const at = notesOf(q).find((x) => x.note.id === note.id)!.note;
        expect(`${at.string}/${at.fret}`).toBe(`${o.string}/${o.fret}`);
        for (const { note: n } of notesOf(q))
          if (n.kind === 'pitched' && n.harmonic === undefined)
            expect(placeMidi(q.instrument, n)).toBe(midiOf(n.pitch));
      }
    }
    expect(moved).toBeGreaterThan(40);
  });

  it('is heard by itself as a phrase that is valid', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const p = seededPhrase(seed, { maxEvents: 4 });
      for (const { note } of notesOf(p)) expect(checkPhrase(noteAlone(p, note.id)!)).toEqual([]);
    }
  });
});

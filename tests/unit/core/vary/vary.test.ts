import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { variedChild } from '../../../../src/core/vary/child';
import { readHow } from '../../../../src/core/vary/read-how';
import { VARIATION_IDS, type VariationId, variationOf } from '../../../../src/core/vary/table';
import { varyPhrase } from '../../../../src/core/vary/vary';
import { build } from '../../../support/build';

/** Over A7 at the fifth fret: ♭3 3 5 R, then 6 5 3 and a long R (invented here). */
const LINE = build('e 3/5 3/6 2/5 1/5 2/7 2/5 3/6 - | q 4/7 - h -', {
  chords: 'A7',
  key: 'A blues',
  meter: '4/4',
});

function best(p: Phrase, ...how: VariationId[]): Phrase {
  const made = varyPhrase(p, how, { count: 1 });
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value[0]!.phrase;
}

/** `onset string/fret pitch` of every note, onsets in eighths. */
function listing(p: Phrase): readonly string[] {
  return notesOf(p).map(({ note, onset }) => {
    const pitch = note.kind === 'dead' ? 'x' : formatPitch(note.pitch);
    return `${onset / 5_040} ${note.string}/${note.fret} ${pitch}`;
  });
}

describe('varyPhrase', () => {
  it('gives the same results for the same seed, and may give others for another', () => {
    const of = (seed: number) => varyPhrase(LINE, ['thinned'], { seed, count: 5 });
    expect(of(7)).toEqual(of(7));
    expect([1, 2, 3, 4, 5].some((s) => JSON.stringify(of(s)) !== JSON.stringify(of(0)))).toBe(true);
  });

  it('leaves its phrase as it is and no two results alike', () => {
    const text = JSON.stringify(LINE);
    for (const id of VARIATION_IDS) {
      const made = varyPhrase(LINE, [id], { count: 20 });
      if (!made.ok) continue;
      const seen = made.value.map(
        (v) => JSON.stringify(listing(v.phrase)) + JSON.stringify(v.phrase),
      );
      expect(new Set(seen).size).toBe(seen.length);
    }
    expect(JSON.stringify(LINE)).toBe(text);
  });

  it('says of a line in the scale already that it is so', () => {
    const minor = build('q 3/5 3/7 2/5 2/8', { chords: 'A7', key: 'A blues' });
    const made = varyPhrase(minor, ['minor-pentatonic']);
    expect(made.ok ? [] : made.problems.map((x) => x.message)).toEqual(['it is so already']);
  });

  it('joins variations, one going on from the other, with a reason for each', () => {
    const made = varyPhrase(LINE, ['double-below', 'slide-in']);
    if (!made.ok) throw new Error(made.problems[0]?.message);
    const [first] = made.value;
    expect(first!.reasons).toHaveLength(2);
    const slid = notesOf(first!.phrase).filter(
      ({ note, event }) => event.notes.length === 2 && 'slideIn' in note,
    );
    expect(slid.length).toBeGreaterThan(1);
  });

  it('says in words why there is none, and which of several', () => {
    const one = varyPhrase(LINE, ['single-notes']);
    expect(one).toEqual({
      ok: false,
      problems: [{ message: 'it is a line of single notes already' }],
    });
    const two = varyPhrase(LINE, ['thinned', 'single-notes']);
    expect(two.ok ? '' : two.problems[0]!.message).toBe(
      'variation 2 (single-notes): it is a line of single notes already',
    );
  });

  it('is of no avail for a phrase of silence, in words', () => {
    const silence = build('w -', { chords: 'A7' });
    for (const id of VARIATION_IDS) expect(varyPhrase(silence, [id]).ok).toBe(false);
  });
});

describe('what a player would do (common practice)', () => {
  it('hammers ♭3 into 3 as a grace note', () => {
    const p = build('q 3/6 2/5 h 1/5', { chords: 'A7', key: 'A blues' });
    const { graces } = best(p, 'grace').voices[0].events[0]!;
    expect(graces?.[0].notes).toEqual([
      { pitch: { letter: 'C', alter: 0, octave: 4 }, string: 3, fret: 5 },
    ]);
  });

  it('bends ♭7 to R on the second string', () => {
    const p = build('q 3/7 q 2/8 h 2/10', { chords: 'A7', key: 'A blues' });
    const bent = notesOf(best(p, 'bend')).filter(({ note }) => 'bend' in note);
    expect(bent.map(({ note }) => `${note.string}/${note.fret}`)).toContain('2/8');
  });

  it('takes ♭6 of the key over the tonic of a minor key, and 6 over a minor chord elsewhere', () => {
    const home = build('w 1/14', { chords: 'F#m', key: 'F# minor' });
    expect(listing(best(home, 'thirds'))).toContain('0 2/15 D5');
    // A ♯9 over the third sounds as the key's ♭3: it is the same tonic, in blues and rock.
    const sharp = build('q - 2/14 h 1/9', { chords: 'F#7#9', key: 'F# minor' });
    const approached = listing(best(sharp, 'approach-above')).join();
    expect(approached).toMatch(/ D\d/u);
    expect(approached).not.toContain('D#');
    // So does the tonic under its other name.
    const other = build('w 1/11', { chords: 'Ebm', key: 'D# minor' });
    expect(listing(best(other, 'thirds'))).toContain('0 2/12 Cb5');
    const second = build('w 1/14', { chords: 'F#m', key: 'E' });
    expect(listing(best(second, 'thirds'))).toContain('0 2/16 D#5');
  });

  it('turns 3 to 4 on the way through the minor pentatonic, and to ♭3 where the line comes to rest', () => {
    const p = build('q 2/5 3/5 4/7 3/5 | h 3/5+2/5 -', { chords: 'C | C', key: 'C' });
    // E is C's 3 on string 2; the pair at the end is R and 3.
    const made = varyPhrase(p, ['minor-pentatonic']);
    if (!made.ok) throw new Error('refused');
    const heard = notesOf(made.value[0]!.phrase).map(({ note }) =>
      note.kind === 'pitched' ? formatPitch(note.pitch) : 'x',
    );
    expect(heard).toContain('F4');
    expect(heard.slice(-2).sort()).toEqual(['C4', 'Eb4']);
  });

  it('leads up to R from the semitone below it', () => {
    const p = build('q 3/6 - h 4/7', { chords: 'A7', key: 'A blues' });
    expect(listing(best(p, 'approach-below'))).toContain('3 4/6 G#3');
  });
});

describe('names', () => {
  it('are read with commas and refused with the list', () => {
    expect(readHow('sixths, slide-in')).toEqual({ ok: true, value: ['sixths', 'slide-in'] });
    const wrong = readHow('sixth');
    expect(wrong.ok ? '' : wrong.problems[0]!.message).toBe("there is no variation 'sixth'");
    expect(readHow('sixths,').ok).toBe(false);
  });

  it('stand once each, with words and a promise that ends without a full stop', () => {
    const words = VARIATION_IDS.map((id) => variationOf(id).words);
    expect(new Set(words).size).toBe(words.length);
    for (const id of VARIATION_IDS) expect(variationOf(id).promise).toMatch(/[^.]$/u);
  });

  it('make the title of a child, which knows its parent', () => {
    const child = variedChild(LINE, LINE, ['sixths'], { id: 'x', now: '2026-01-01T00:00:00Z' });
    expect([child.parent, child.meta.title]).toEqual([LINE.id, `${LINE.meta.title}, in sixths`]);
  });
});

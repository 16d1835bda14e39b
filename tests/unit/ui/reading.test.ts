import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../src/core/phrase/types';
import { notesOf } from '../../../src/core/phrase/walk';
import { analyse } from '../../../src/core/understand/analyse';
import { degreeLabels, usualView } from '../../../src/publish/degree-labels';
import { changeInShort, differenceWords } from '../../../src/ui/compare/difference-words';
import { compare, compareWords } from '../../../src/ui/compare/differences';
import { scoreInWords } from '../../../src/ui/score/note-words';
import { readTags } from '../../../src/ui/shared/tags-field';
import { laneName } from '../../../src/ui/shared/words';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

describe('the score in words', () => {
  it('names bar, beat, string, fret, degree and technique of every note', () => {
    const p = build('e 3/5 3/7(h) q 2/8(bend:A4) h 1/5(vib:wide)+2/5 | w 4/x5', {
      key: 'C',
      chords: 'C7 | F7',
    });
    const [first, second] = scoreInWords(p);
    expect(first!.heading).toBe('Bar 1, over C7');
    expect(first!.notes.map((n) => n.text)).toEqual([
      'Beat 1, string 3, fret 5: C, R of C7, for an eighth',
      'Beat 1 and, string 3, fret 7: D, 2 of C7 (extension), hammered on, for an eighth',
      'Beat 2, string 2, fret 8: G, 5 of C7, bent a whole tone to A, 6 of C7 (extension), for a quarter',
      'Beat 3, string 1, fret 5: A, 6 of C7 (extension), wide vibrato, for a half note',
      'Beat 3, string 2, fret 5: E, 3 of C7, for a half note',
    ]);
    expect(second!.notes[0]!.text).toBe('Beat 1, string 4, fret 5: dead note, for a whole note');
  });

  it('says how long a note of a tuplet is as it is written, where its length alone would not', () => {
    const said = (text: string) =>
      scoreInWords(build(text)).flatMap((b) =>
        b.notes.map((n) => n.text.replace(/^.*, for /u, '')),
      );
    expect(said('e3 3/5 e3 3/5 e3 3/5 q 3/5 h -')).toEqual([
      ...Array(3).fill('a triplet eighth'),
      'a quarter',
    ]);
    // A dotted eighth of a triplet lasts as long as a plain one.
    expect(said('e.3 3/5 s3 3/5 e3 3/5 q 3/5 h -')).toEqual([
      'a dotted eighth of a triplet',
      'a triplet 16th',
      'a triplet eighth',
      'a quarter',
    ]);
    expect(said('s6 3/5 s6 3/5 s6 3/5 s6 3/5 s6 3/5 s6 3/5 q 3/5 h -')[0]).toBe(
      'a 16th of a sextuplet',
    );
  });

  it('says every note of every sample once, the pickup as bar 0', () => {
    for (const { name, phrase } of readSamples()) {
      const ids = scoreInWords(phrase).flatMap((b) => b.notes.map((n) => n.id));
      expect([...ids].sort(), name).toEqual(
        notesOf(phrase)
          .map((n) => n.note.id)
          .sort(),
      );
      const first = scoreInWords(phrase)[0]!;
      if (phrase.pickup > 0) expect(first.heading, name).toMatch(/^Pickup/u);
    }
  });
});

describe('degrees under the music', () => {
  it('a bend leads from its start to its target (D5), an anticipation has its sign (D2)', () => {
    // Check value of D2: over F7 | B♭7 a D on the last eighth, tied over, is 3 of B♭7.
    const p = build('q 2/13(bend:D5) h - e - e 2/3 | w -', { key: 'F', chords: 'F7 | Bb7' });
    const tied = {
      ...p,
      voices: [
        {
          ...p.voices[0],
          events: p.voices[0].events.map((e, i) => (i === 1 ? { ...e, duration: 15_120 } : e)),
        },
      ],
    } as typeof p;
    const texts = [...degreeLabels(analyse(tied), 'chord')!.values()].map((l) => l.text);
    expect(texts).toEqual(['5→6', '3^']);
    const inKey = [...degreeLabels(analyse(tied), 'key')!.values()].map((l) => l.text);
    expect(inKey).toEqual(['5→6', '6']);
    expect(degreeLabels(analyse(tied), 'off')).toBeNull();
  });

  it('counts from the key where there are no chords', () => {
    expect(usualView(analyse(build('w 3/5', { key: 'C' })))).toBe('key');
    expect(usualView(analyse(build('w 3/5', { key: 'C', chords: 'C7' })))).toBe('chord');
  });
});

describe('comparing', () => {
  const upper = build('q 3/5 3/7 2/5 2/8', { key: 'C', chords: 'C7', title: 'One' });

  it('finds nothing between a phrase and itself', () => {
    for (const { name, phrase } of readSamples()) {
      const found = compare(phrase, phrase);
      expect(found.facts, name).toEqual([]);
      expect(found.notes, name).toEqual([]);
      expect(found.equal, name).toBe(notesOf(phrase).length);
    }
  });

  it('names the same pitch elsewhere, another pitch, another technique and what one lacks', () => {
    const lower = build('q 4/10 3/7(vib) 2/6 - ', { key: 'C', chords: 'C7' });
    const found = compare(upper, lower);
    expect(found.notes.map((n) => [n.what, n.upper, n.lower])).toEqual([
      ['Bar 1, beat 1', 'C, string 3 fret 5, as R', 'C, string 4 fret 10, as R'],
      ['Bar 1, beat 2', 'D, string 3 fret 7, as 2', 'D, string 3 fret 7, as 2, vibrato'],
      ['Bar 1, beat 3', 'E, string 2 fret 5, as 3', 'F, string 2 fret 6, as 4'],
      ['Bar 1, beat 4', 'G, string 2 fret 8, as 5', 'nothing'],
    ]);
    expect(found.notes.map((n) => n.kinds)).toEqual([
      ['place'],
      ['technique'],
      ['pitch', 'degree', 'place'],
      ['above'],
    ]);
    // In the music each note is marked with the kinds of its row.
    expect([...found.upperMarked.values()]).toEqual(found.notes.map((n) => n.kinds));
    expect(found.lowerMarked.size).toBe(3);
    expect(found.equal).toBe(0);
  });

  it('tells length, a later moment, the octave and the degree alone apart', () => {
    const other = build('q 3/5 - 2/5 e 2/8 -', { key: 'C', chords: 'C7', title: 'One' });
    expect(compare(upper, other).notes.map((n) => [n.kinds, n.upper, n.lower])).toEqual([
      [['above'], 'D, string 3 fret 7, as 2', 'nothing'],
      [
        ['rhythm'],
        'G, string 2 fret 8, as 5, for a quarter',
        'G, string 2 fret 8, as 5, for an eighth',
      ],
    ]);
    expect(changeInShort(compare(upper, other), [])).toBe('2 notes (taken out 1, rhythm 1)');
    expect(changeInShort(compare(other, upper), [])).toBe('2 notes (new 1, rhythm 1)');
    const late = build('q 3/5 3/7 2/5 e - 2/8', { key: 'C', chords: 'C7', title: 'One' });
    expect(compare(upper, late).notes.map((n) => [n.kinds, n.upper, n.lower])).toEqual([
      [
        ['rhythm'],
        'G, string 2 fret 8, as 5, on beat 4, for a quarter',
        'G, string 2 fret 8, as 5, on beat 4 and, for an eighth',
      ],
    ]);
    const high = build('q 1/8 3/7 2/5 2/8', { key: 'C', chords: 'C7', title: 'One' });
    expect(compare(upper, high).notes.map((n) => [n.kinds, n.upper, n.lower])).toEqual([
      [['pitch', 'place'], 'C, string 3 fret 5, as R', 'C an octave higher, string 1 fret 8, as R'],
    ]);
    const over = build('q 3/5 3/7 2/5 2/8', { key: 'C', chords: 'F7', title: 'One' });
    expect(compare(upper, over).notes.map((n) => n.kinds)).toEqual(
      Array.from({ length: 4 }, () => ['degree']),
    );
  });

  it('names what differs in key, chords, meter and feel', () => {
    const lower = {
      ...upper,
      key: build('w 3/5', { key: 'Eb' }).key,
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 } as const,
    };
    expect(compare(upper, lower).facts.map((f) => [f.what, f.upper, f.lower])).toEqual([
      ['Key', 'C major', 'E♭ major'],
      ['Feel', 'straight', 'shuffle (eighths 2:1)'],
    ]);
  });

  it('tells what has no row of its own, and never nothing where something differs', () => {
    const dynamics: Phrase = { ...upper, marks: [{ kind: 'dynamic', onset: 0, value: 'p' }] };
    const found = compare(upper, { ...dynamics, meta: { ...dynamics.meta, source: 'A lesson' } });
    expect([found.facts, found.notes]).toEqual([[], []]);
    expect(differenceWords(found.notes, found.equal, 0, found.besides)).toBe(
      'Every note is the same. Also different: where it comes from, dynamics and words at bar 1, beat 1.',
    );
    expect(changeInShort(found, [])).toContain('dynamics and words');
    // Versions have a row for what is said to students.
    const noted = { ...upper, meta: { ...upper.meta, notes: 'Slowly' } };
    expect(changeInShort(compare(upper, noted), compareWords(upper, noted))).toBe(
      'notes for students',
    );
    for (const { name, phrase } of readSamples()) {
      expect(compare(phrase, phrase).besides, name).toEqual([]);
    }
  });

  it('is the same seen from the other side', () => {
    const samples = readSamples();
    samples.slice(1).forEach(({ phrase }, i) => {
      const before = samples[i]!.phrase;
      const one = compare(before, phrase);
      const other = compare(phrase, before);
      expect(other.notes).toHaveLength(one.notes.length);
      expect(other.equal).toBe(one.equal);
      expect([...other.upperMarked.keys()].sort()).toEqual([...one.lowerMarked.keys()].sort());
    });
  });
});

describe('the lane as a line', () => {
  it('repeats a chord that goes on and puts changes inside the bar behind it', () => {
    const p = build('w 3/5 | w 3/5 | w 3/5', { key: 'G', chords: 'G7 | | C7 D7' });
    expect(laneName(p)).toBe('G7 | G7 | C7 D7');
    expect(laneName(build('w 3/5 | w 3/5', { chords: 'Bbm7' }))).toBe('B♭m7');
    expect(laneName(build('w 3/5'))).toBe('no chords');
  });
});

describe('tags', () => {
  it('are divided by commas, each once, without blanks around them', () => {
    expect(readTags(' blues,  double   stops ,, blues, ')).toEqual(['blues', 'double stops']);
  });
});

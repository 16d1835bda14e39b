import { describe, expect, it } from 'vitest';
import { childOf, childTitle } from '../../../../src/core/move/child';
import { type Goal, readGoal } from '../../../../src/core/move/goal';
import { movePhraseOn } from '../../../../src/core/move/move';
import type { Destination, MoveRequest } from '../../../../src/core/move/request';
import { spread } from '../../../../src/core/move/several';
import type { Phrase } from '../../../../src/core/phrase/types';
import { parseKey } from '../../../../src/core/theory/key';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { quick } from '../../../support/moves';
import { readSamples } from '../../../support/samples';

function chain(p: Phrase, ...requests: readonly MoveRequest[]) {
  const r = movePhraseOn(p, requests);
  if (!r.ok) throw new Error(r.problems.map((x) => x.message).join());
  return r.value;
}

function to(p: Phrase, kind: Goal['kind'], text: string): Destination {
  const d = readGoal({ kind, text }, p.key);
  if (!d.ok) throw new Error(text);
  return d.value;
}

const heard = (m: ReturnType<typeof chain>) =>
  m.report.notes.map((n) => formatPitch(n.after.pitch));

describe('moves join', () => {
  const p = quick('[C] {C7} q 3:5 2:5 1:3 1:6');

  it('key, chord, octave and beat in one go, with one report from the first to the last', () => {
    const m = chain(
      p,
      { to: to(p, 'key', 'F') },
      { to: to(p, 'chord', 'Bb7') },
      { to: { kind: 'octaves', octaves: -1 } },
      { to: { kind: 'beat', at: { bar: 1, beat: 2 } } },
    );
    // R 3 5 ♭7 of C7 are R 3 5 ♭7 of the IV7 of F (M3): up 5, up 5, down 12.
    expect(heard(m)).toEqual(['Bb3', 'D4', 'F4', 'Ab4']);
    expect(m.phrase.key.tonic.letter).toBe('F');
    expect(m.phrase.chords[0]!.symbol).toBe('Bb7');
    expect(m.report.notes[0]!.before.pitch).toEqual({ letter: 'C', alter: 0, octave: 4 });
    expect(m.report.notes[0]!.onset).toBe(10_080);
    expect(m.report.segments.map((s) => s.semitones)).toEqual([5, 5, -12]);
  });

  it('what lies between needs no place: up two octaves and a chord down again', () => {
    const high = build('q 1/12 1/15', { chords: 'C7' });
    const m = chain(
      high,
      { to: { kind: 'octaves', octaves: 2 } },
      { to: { kind: 'octaves', octaves: -2 } },
    );
    expect(m.phrase.voices).toEqual(high.voices);
  });

  it('says which of the moves cannot be', () => {
    const r = movePhraseOn(p, [
      { to: to(p, 'key', 'F') },
      { to: to(p, 'chord', 'F7'), way: 'tonal' },
    ]);
    expect(r.ok ? '' : r.problems[0]!.message).toMatch(/^move 2: the way tonal/u);
  });
});

describe('several at once', () => {
  const key = parseKey('D')!;
  const texts = (goals: readonly Goal[]) => {
    const r = spread(goals, key);
    return r.ok ? r.value.map((l) => l.map((g) => g.text).join(' ')) : r.problems[0]!.message;
  };

  it('one phrase to I, IV and V, or to all keys round the circle of fourths', () => {
    expect(texts([{ kind: 'chord', text: 'I7, IV7,V7' }])).toEqual(['I7', 'IV7', 'V7']);
    const keys = 'G C F Bb Eb Ab Db F# B E A'.split(' ');
    expect(texts([{ kind: 'key', text: 'all' }])).toEqual(keys);
    expect(
      texts([
        { kind: 'key', text: 'F,G' },
        { kind: 'chord', text: 'I7,IV7' },
      ]),
    ).toEqual(['F I7', 'F IV7', 'G I7', 'G IV7']);
  });

  it('refuses a gap and more than can be looked through', () => {
    expect(texts([{ kind: 'chord', text: 'I7,,V7' }])).toMatch(/nothing between two commas/u);
    expect(
      texts([
        { kind: 'key', text: 'all' },
        { kind: 'chord', text: 'I,ii,IV,V,vi' },
      ]),
    ).toMatch(/55 phrases at once/u);
  });
});

describe('what a child is called', () => {
  const move = (p: Phrase, kind: Goal['kind'], text: string) => {
    const d = to(p, kind, text);
    const m = chain(p, { to: d });
    return childOf(p, m.phrase, {
      id: `${p.id}+`,
      now: '2026-11-27T00:00:00.000Z',
      title: childTitle(p, m.phrase, [d]),
    });
  };

  it('says what it is, without a chain of words', () => {
    const p = build('q 3/5 2/5', { key: 'C', chords: 'C7', title: 'Gate' });
    const one = move(p, 'chord', 'IV7');
    expect(one.meta.title).toBe('Gate over IV7 in C');
    const two = move(one, 'key', 'F');
    expect(two.meta.title).toBe('Gate over IV7 in F');
    const three = move(two, 'octaves', '1');
    expect(three.meta.title).toBe('Gate over IV7 in F, an octave up');
    expect(move(three, 'octaves', '-1').meta.title).toBe('Gate over IV7 in F');
    expect(move(p, 'key', 'Eb').meta.title).toBe('Gate in E♭');
  });

  it('a name of one’s own stays, whatever it looks like', () => {
    const p = build('q 3/5 2/5', { key: 'C', chords: 'C7', title: 'Bridge over Troubles in D' });
    expect(move(p, 'key', 'G').meta.title).toBe('Bridge over Troubles in D in G');
  });

  it('notes for students that quote chords or degrees are the parent’s, said once', () => {
    const notes = 'Lean on the ♭7 before IV7.';
    const p = build('q 3/5 2/5', { key: 'C', chords: 'C7', title: 'Gate', meta: { notes } });
    const one = move(p, 'chord', 'IV7');
    expect(one.meta.notes).toBe(`Written for “Gate” in C: ${notes}`);
    expect(move(one, 'key', 'F').meta.notes).toBe(one.meta.notes);
    const plain = build('q 3/5', { chords: 'C7', meta: { notes: 'Play it slowly.' } });
    expect(move(plain, 'chord', 'IV7').meta.notes).toBe('Play it slowly.');
    expect(move(p, 'octaves', '1').meta.notes).toBe(notes);
  });
});

describe('another instrument as one of the moves', () => {
  const p = quick('[A] {A7} e 3:5 3:7h8 2:5 2:8b10 h 1:5');

  it('keeps the pitches and looks for places on the new neck', () => {
    const m = chain(p, { to: to(p, 'instrument', 'ukulele') });
    expect(heard(m)).toEqual(['C4', 'D4', 'Eb4', 'E4', 'G4', 'A4']);
    expect(m.phrase.instrument.name).toBe('Ukulele');
    expect(checkPhrase(m.phrase)).toEqual([]);
  });

  it('joins the others in any order, with one report from the first to the last', () => {
    const key = to(p, 'key', 'F');
    const on = to(p, 'instrument', 'bass4');
    const one = chain(p, { to: key }, { to: on });
    const other = chain(p, { to: on }, { to: key });
    for (const m of [one, other]) {
      expect(m.phrase.instrument.tuning).toHaveLength(4);
      expect(m.phrase.chords[0]!.symbol).toBe('F7');
      expect(checkPhrase(m.phrase)).toEqual([]);
      expect(m.report.notes.map((n) => n.before.fret)).toEqual([5, 7, 8, 5, 8, 5]);
      expect(m.report.general.some((a) => a.rule === 'M7' && a.fallback)).toBe(true);
    }
  });

  it('a tuning keeps the instrument, and what it does not have goes by octaves, reported', () => {
    const low = quick('[E] {E7} q 6:0 6:3 5:2 r');
    const m = chain(low, { to: to(low, 'instrument', 'drop D, capo 4') });
    expect(m.phrase.instrument).toMatchObject({ name: low.instrument.name, capo: 4 });
    expect(m.report.general.map((a) => a.text).join()).toMatch(/an octave higher: 1 of the notes/u);
  });

  it('a sample goes to any instrument and comes out whole, or it is said why not', () => {
    const some = readSamples().filter((_, i) => i % 8 === 0);
    for (const { phrase } of some) {
      for (const name of ['bass4', 'ukulele']) {
        const r = movePhraseOn(phrase, [{ to: to(phrase, 'instrument', name) }]);
        if (r.ok) expect(checkPhrase(r.value.phrase), `${phrase.meta.title} ${name}`).toEqual([]);
        else expect(r.problems[0]!.message).toMatch(/dead note|do not fit/u);
      }
    }
  });

  it('a title tells it', () => {
    const d = to(p, 'instrument', 'ukulele');
    const m = chain(p, { to: d });
    const born = { id: 'c', now: '2026-01-01T00:00:00.000Z', title: childTitle(p, m.phrase, [d]) };
    const child = childOf({ ...p, meta: { ...p.meta, title: 'Mooring' } }, m.phrase, born);
    const titled = { ...child, meta: { ...child.meta, title: 'Mooring, on ukulele' } };
    const key = to(p, 'key', 'D');
    expect(childTitle({ ...p, meta: { ...p.meta, title: 'Mooring' } }, m.phrase, [d])).toBe(
      'Mooring, on ukulele',
    );
    expect(childTitle(titled, chain(titled, { to: key }).phrase, [key])).toBe(
      'Mooring in D, on ukulele',
    );
  });
});

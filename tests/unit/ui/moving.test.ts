import { describe, expect, it } from 'vitest';
import { factsOf } from '../../../src/core/library/facts';
import { sortPhrases } from '../../../src/core/library/sort';
import { childTitle, placedTitle } from '../../../src/core/move/child';
import type { Goal } from '../../../src/core/move/goal';
import { notesOf } from '../../../src/core/phrase/walk';
import { midiOf } from '../../../src/core/theory/pitch';
import { checkPhrase } from '../../../src/core/validity/check-phrase';
import {
  EMPTY_FORM,
  type MoveForm,
  movedBack,
  movedOn,
  readMoveForm,
  writeMoveForm,
} from '../../../src/ui/move/move-form';
import { goalInWords, movedInWords, stepsInWords } from '../../../src/ui/move/move-words';
import { reportInWords } from '../../../src/ui/move/report-words';
import { choicesInUse, runMove } from '../../../src/ui/move/run-move';
import { children, newChords } from '../../../src/ui/move/several';
import { quickChords, quickKeys } from '../../../src/ui/shared/destinations';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

const form = (goal: Goal | null, more: Partial<MoveForm> = {}): MoveForm => ({
  ...EMPTY_FORM,
  goal,
  ...more,
});

function moved(...args: Parameters<typeof runMove>) {
  const outcome = runMove(...args);
  if (outcome.kind !== 'moved') throw new Error(JSON.stringify(outcome));
  return outcome;
}

const midis = (p: ReturnType<typeof build>) =>
  notesOf(p).map(({ note }) => (note.kind === 'pitched' ? midiOf(note.pitch) : null));

describe('the address of a move', () => {
  it('holds the whole form and nothing else', () => {
    const forms: MoveForm[] = [
      EMPTY_FORM,
      form({ kind: 'chord', text: 'V7/ii' }, { way: 'hold', adapt: true }),
      form({ kind: 'key', text: 'F#m' }, { way: 'chord', octave: 'down', hand: 'area' }),
      form({ kind: 'lane', text: 'I7 | IV7 | I7 V7' }, { hand: 'strings' }),
      form({ kind: 'steps', text: '-3' }),
      form({ kind: 'octaves', text: '1' }, { octave: 'up' }),
      form({ kind: 'beat', text: '0:4.5' }),
      movedOn(form({ kind: 'lane', text: 'I7 | IV7' }, { way: 'hold', octave: 'up', adapt: true })),
      form({ kind: 'key', text: 'F' }, { without: [{ id: 'n3', technique: 'vibrato' }] }),
    ];
    for (const f of forms) expect(readMoveForm(writeMoveForm(f))).toEqual(f);
  });

  it('leaves out what it does not understand', () => {
    expect(readMoveForm({ to: 'IV7', way: 'sideways', hand: 'third', adapt: 'maybe' })).toEqual(
      form({ kind: 'chord', text: 'IV7' }),
    );
  });
});

describe('choices', () => {
  const phrase = build('q 3/5 2/5 1/5 2/5', { key: 'C', chords: 'C7' });
  const choices = (goal: Goal, more: Partial<MoveForm> = {}) =>
    choicesInUse(phrase, form(goal, more))!;

  it('offers the ways that go with the destination, the usual one first (M1, M2)', () => {
    expect(choices({ kind: 'chord', text: 'F7' }).ways).toEqual(['chord', 'real', 'hold']);
    expect(choices({ kind: 'key', text: 'Eb' }).ways).toEqual(['real', 'chord', 'hold']);
    expect(choices({ kind: 'key', text: 'Ebm' }).ways).toEqual(['chord', 'hold']);
    expect(choices({ kind: 'steps', text: '2' }).ways).toEqual(['tonal']);
  });

  it('offers an octave only where there is one to choose, and no hand for another beat', () => {
    expect(choices({ kind: 'chord', text: 'F7' }).octaves).toEqual(['nearest', 'up', 'down']);
    expect(choices({ kind: 'chord', text: 'F7' }, { way: 'hold' }).octaves).toEqual([]);
    expect(choices({ kind: 'steps', text: '2' }).octaves).toEqual([]);
    expect(choices({ kind: 'beat', text: '1:2' }).hands).toEqual([]);
  });

  it('takes the usual way where the one in the address does not go with the goal', () => {
    const other = form({ kind: 'key', text: 'Cm' }, { way: 'real' });
    expect(choicesInUse(phrase, other)?.way).toBe('chord');
    expect(runMove(phrase, other).kind).toBe('moved');
  });
});

describe('moving by the form', () => {
  // MUSIC: over C7 this is R 3 5 ♭7; over F7 the same roles are F A C E♭ (common practice).
  const phrase = build('q 3/5 2/5 1/3 1/6', { key: 'C blues', chords: 'C7' });

  it('moves to a numeral in the key of the phrase', () => {
    const result = moved(phrase, form({ kind: 'chord', text: 'IV' }, { octave: 'up' }));
    expect(midis(result.phrase)).toEqual([65, 69, 72, 75]);
    expect(result.phrase.chords.map((c) => c.symbol)).toEqual(['F7']);
  });

  it('a bare tonic keeps a blues a blues', () => {
    const result = moved(phrase, form({ kind: 'key', text: 'G' }));
    expect(result.phrase.key).toEqual({ tonic: { letter: 'G', alter: 0 }, mode: 'blues' });
    const major = moved(phrase, form({ kind: 'key', text: 'G major' }));
    expect(major.phrase.key.mode).toBe('major');
  });

  it('moves by steps, octaves and beats', () => {
    expect(midis(moved(phrase, form({ kind: 'steps', text: '−1' })).phrase)[0]).toBe(59);
    expect(midis(moved(phrase, form({ kind: 'octaves', text: '1' })).phrase)).toEqual([
      72, 76, 79, 82,
    ]);
    const beat = moved(phrase, form({ kind: 'beat', text: '1:2.5' }));
    expect(notesOf(beat.phrase)[0]!.onset).toBe(15_120);
    expect(midis(beat.phrase)).toEqual(midis(phrase));
  });

  it('says what is wrong with the text, and what to do, for every kind of goal', () => {
    const wrong: readonly (readonly [Goal, RegExp])[] = [
      [{ kind: 'chord', text: 'Hm' }, /neither a chord symbol nor a numeral.*IV7/u],
      [{ kind: 'key', text: 'H' }, /'H' is no key.*Bb/u],
      [{ kind: 'lane', text: 'I7 | IV7' }, /the lane has 2 bars and the phrase 1 bar.*Give 1 bar/u],
      [{ kind: 'lane', text: 'Q' }, /neither a chord symbol nor a numeral/u],
      [{ kind: 'steps', text: 'two' }, /no number of scale steps.*2 is up a third/u],
      [{ kind: 'steps', text: '29' }, /no number of scale steps/u],
      [{ kind: 'octaves', text: '9' }, /no number of octaves/u],
      [{ kind: 'beat', text: '1:late' }, /no bar and beat.*2\.5/u],
      [{ kind: 'beat', text: '7:1' }, /no such bar.*bar from 1 to 1/u],
    ];
    for (const [goal, message] of wrong) {
      const outcome = runMove(phrase, form(goal));
      if (outcome.kind !== 'problems') throw new Error(`${goal.kind} ${goal.text} was understood`);
      const text = outcome.problems.map((p) => `${p.message} ${p.fix ?? ''}`).join();
      expect(text, goal.text).toMatch(message);
    }
  });

  it('waits where nothing was asked yet', () => {
    for (const goal of [
      null,
      { kind: 'chord', text: ' ' },
      { kind: 'steps', text: '0' },
    ] as const) {
      expect(runMove(phrase, form(goal)).kind).toBe('nothing');
    }
  });

  it('every quick destination leads to a valid phrase, whatever the mode', () => {
    const few = [1, 3, 8, 15].map((i) => readSamples()[i]!);
    expect(new Set(few.map((s) => s.phrase.key.mode))).toEqual(
      new Set(['major', 'minor', 'blues']),
    );
    for (const { name, phrase: p } of few) {
      const goals: Goal[] = [
        ...quickChords(p).map((g): Goal => ({ kind: 'chord', text: g.text })),
        ...quickKeys(p).map((g): Goal => ({ kind: 'key', text: g.text })),
      ];
      expect(goals, name).toHaveLength(17);
      for (const goal of goals) {
        const result = moved(p, form(goal));
        expect(checkPhrase(result.phrase), `${name} ${goal.text}`).toEqual([]);
      }
    }
  });
});

describe('moves join', () => {
  const phrase = build('q 3/5 2/5 1/3 1/6', { key: 'C', chords: 'C7', title: 'Gate' });

  it('moves on from there: numerals are those of the key it has come to', () => {
    const first = movedOn(form({ kind: 'key', text: 'F' }));
    expect(first.goal).toBeNull();
    expect(moved(phrase, first).phrase.key.tonic.letter).toBe('F');
    const then = { ...first, goal: { kind: 'chord', text: 'IV7' } as const };
    const result = moved(phrase, then);
    expect(result.phrase.chords[0]!.symbol).toBe('Bb7');
    expect(childTitle(phrase, result.phrase, result.to)).toBe('Gate over IV7 in F');
    expect(stepsInWords(phrase, [first.done[0]!.goal, then.goal])).toBe(
      'to F major, then over B♭7',
    );
    expect(movedBack(first)).toEqual(form({ kind: 'key', text: 'F' }));
  });

  it('makes several phrases of one, all or none', () => {
    let id = 0;
    const app = { newId: () => `new-${id++}`, now: () => '2026-11-27T00:00:00.000Z' };
    const keys = children(app, phrase, EMPTY_FORM, { kind: 'key', text: 'all' });
    expect(keys.ok && keys.value.phrases.map((p) => p.meta.title)).toEqual(
      'F B♭ E♭ A♭ D♭ F♯ B E A D G'.split(' ').map((k) => `Gate in ${k}`),
    );
    const wrong = children(app, phrase, EMPTY_FORM, { kind: 'chord', text: 'I7, Q' });
    expect(wrong.ok ? [] : wrong.problems.map((p) => p.message)).toEqual([
      expect.stringMatching(/^Over Q: /u),
    ]);
  });

  it('says for which of several it is that a wish could not be kept', () => {
    const app = { newId: () => 'new', now: () => '2026-11-27T00:00:00.000Z' };
    // B♭, A and so on would lie on the open string, which cannot be shaken.
    const low = build('q 6/1(vib) 4/1 h 3/2', { key: 'F', chords: 'F7', title: 'Gate' });
    const made = children(app, low, EMPTY_FORM, { kind: 'key', text: 'Bb, E' });
    expect(made.ok && made.value.remarks).toEqual([
      expect.stringMatching(/^In E major: an octave higher than asked, since E with its vibrato/u),
    ]);
  });

  it('says for which of several a note could not be kept, and where', () => {
    const app = { newId: () => 'new', now: () => '2026-11-27T00:00:00.000Z' };
    const waltz = readSamples().find((s) => s.phrase.meta.title === 'Slack Water Waltz')!.phrase;
    const made = children(app, waltz, EMPTY_FORM, { kind: 'chord', text: 'A7' });
    expect(made.ok && made.value.remarks).toContain(
      'Over A7, bar 4, beat 2: an artificial harmonic over A4, which sounds A5: no string has a node that sounds it.',
    );
  });

  it('keeps no copy over the chord that the phrase is over', () => {
    const texts = (p: typeof phrase, f: MoveForm = EMPTY_FORM, here = p) =>
      newChords(p, here, f).map((c) => c.text);
    expect(phrase.chords.map((c) => c.symbol)).toEqual(['C7']);
    expect(texts(phrase)).toEqual(['IV7', 'V7']);
    // An octave higher, over other chords, over none or from another key it is a phrase of its own.
    expect(texts(phrase, form(null, { octave: 'up' }))).toEqual(['I7', 'IV7', 'V7']);
    const F7 = build('q 3/5', { chords: 'F7' }).chords.map((c) => ({ ...c, onset: 10_080 }));
    expect(texts({ ...phrase, chords: [...phrase.chords, ...F7] })).toEqual(['I7', 'IV7', 'V7']);
    expect(texts({ ...phrase, chords: [] })).toHaveLength(3);
    const inF = movedOn(form({ kind: 'key', text: 'F' }));
    expect(texts(phrase, inF, moved(phrase, inF).phrase)).toEqual(['I7', 'IV7', 'V7']);
  });

  it('makes them from where the moves before have led', () => {
    let id = 0;
    // The clock goes on while they are made.
    const now = () => new Date(Date.UTC(2026, 10, 27) + 5 * id).toISOString();
    const app = { newId: () => `new-${id++}`, now };
    const inF = movedOn(form({ kind: 'key', text: 'F' }));
    const places = children(app, phrase, inF, { kind: 'chord', text: 'I7, IV7, V7' });
    expect(
      places.ok && places.value.phrases.map((p) => [p.meta.title, p.chords[0]!.symbol]),
    ).toEqual([
      ['Gate over I7 in F', 'F7'],
      ['Gate over IV7 in F', 'Bb7'],
      ['Gate over V7 in F', 'C7'],
    ]);
    // Where the last changed come first, and in a lesson that is made of them, they stand as they were asked for.
    const listed = places.ok ? sortPhrases(places.value.phrases.map(factsOf), 'changed') : [];
    expect(listed.map((f) => f.title.slice(0, 13))).toEqual([
      'Gate over I7 ',
      'Gate over IV7',
      'Gate over V7 ',
    ]);
    // The eleven other keys are those beside the key it has come to.
    const keys = children(app, phrase, inF, { kind: 'key', text: 'all' });
    const names = keys.ok ? keys.value.phrases.map((p) => p.meta.title) : [];
    expect(names).toHaveLength(11);
    expect(names).toContain('Gate in C');
    expect(names).not.toContain('Gate in F');
  });

  it('leaves a title its own words after over, and says the key and the octave once', () => {
    const child = (title: string) => ({
      ...{ ...phrase, parent: 'one' },
      meta: { ...phrase.meta, title },
    });
    const titled = (title: string, goal: Parameters<typeof form>[0]) => {
      const { phrase: next, to } = moved(child(title), form(goal));
      return childTitle(child(title), next, to);
    };
    const solo = 'Solo over twelve-bar blues in A in C';
    const up = { kind: 'octaves', text: '1' } as const;
    expect(titled(solo, up)).toBe(`${solo}, an octave up`);
    expect(titled(`${solo}, an octave down`, up)).toBe(solo);
    expect(titled(solo, { kind: 'key', text: 'F' })).toBe('Solo over twelve-bar blues in A in F');
    expect(titled('Gate over V7 in G', { kind: 'key', text: 'F' })).toBe('Gate over I7 in F');
  });

  it('names another place on the neck without a chain of places', () => {
    const at = placedTitle(phrase, '', 'around fret 7');
    expect(at).toBe('Gate, around fret 7');
    const child = { ...phrase, parent: phrase.id, meta: { ...phrase.meta, title: at } };
    expect(placedTitle(child, 'bars 5 to 8', 'around fret 2')).toBe(
      'Gate, bars 5 to 8, around fret 2',
    );
    const part = { ...child, meta: { ...child.meta, title: 'Gate, bars 5 to 8, around fret 2' } };
    expect(placedTitle(part, '', 'around fret 9')).toBe('Gate, around fret 9');
    // Moved to another chord the fret says nothing any more.
    const { phrase: next, to } = moved(part, form({ kind: 'chord', text: 'IV7' }));
    expect(childTitle(part, next, to)).toBe('Gate over IV7 in C');
    // A phrase of nobody's may be called so by hand.
    const own = { ...phrase, meta: { ...phrase.meta, title: 'Gate, around fret 7' } };
    expect(placedTitle(own, '', 'around fret 2')).toBe('Gate, around fret 7, around fret 2');
  });
});

describe('quick destinations', () => {
  const labels = (key: string, chords: string) =>
    quickChords(build('w 3/5', { key, chords })).map((g) => `${g.label} ${g.detail}`);

  it('are in the kind of chord that the phrase is over', () => {
    expect(labels('D', 'D')).toEqual(['I D', 'IV G', 'V A', 'ii Em', 'vi Bm']);
    expect(labels('Eb', 'Ebmaj7')[0]).toBe('Imaj7 E♭maj7');
    expect(labels('G', 'G7').slice(0, 3)).toEqual(['I7 G7', 'IV7 C7', 'V7 D7']);
    expect(labels('A blues', 'A7')[1]).toBe('IV7 D7');
    expect(labels('Am', 'Am7')[1]).toBe('iv7 Dm7');
  });

  it('name twelve keys, the own one first, no tonic twice', () => {
    const keys = quickKeys(build('w 3/5', { key: 'Bb' })).map((k) => k.label);
    expect(keys[0]).toBe('B♭');
    expect(new Set(keys).size).toBe(12);
  });
});

describe('words', () => {
  it('name the destination after the title', () => {
    const p = build('w 3/5', { key: 'Bb', chords: 'Bb7', title: 'Gate' });
    expect(goalInWords(p, { kind: 'chord', text: 'IV7' })).toBe('over E♭7');
    expect(goalInWords(p, { kind: 'key', text: 'F#m' })).toBe('in F♯ minor');
    expect(goalInWords(p, { kind: 'steps', text: '-2' })).toBe('down 2 scale steps');
    expect(goalInWords(p, { kind: 'beat', text: '0:4' })).toBe('from beat 4 of the pickup');
  });

  it('say that it was moved to a key or beat, and over a chord', () => {
    const p = build('w 3/5', { key: 'Bb', chords: 'Bb7', title: 'Gate' });
    expect(movedInWords(p, { kind: 'key', text: 'F#m' })).toBe('to F♯ minor');
    expect(movedInWords(p, { kind: 'beat', text: '1:2.5' })).toBe('to bar 1, beat 2.5');
    expect(movedInWords(p, { kind: 'chord', text: 'IV7' })).toBe('over E♭7');
    expect(movedInWords(p, { kind: 'octaves', text: '1' })).toBe('an octave up');
  });

  it('write a double flat as the music does', () => {
    // The seventh of a diminished chord lies a semitone below the minor one (common practice).
    const p = build('w 3/2=Bbb', { key: 'C', chords: 'Cdim7', title: 'Gate' });
    const { phrase, report } = moved(p, form({ kind: 'chord', text: 'C7' }));
    expect(reportInWords(phrase, report).notes.map((n) => n.degree)).toEqual(['𝄫7 becomes ♭7']);
  });

  it('tell of every note where it was, where it is, and why', () => {
    // Worked example 1 of the music rules: the bend on 6 widens to a whole tone over a maj7 chord.
    const p = build('w 3/5(bend:D4)+2/5(bend:F4)', { key: 'C', chords: 'G7' });
    const { phrase, report } = moved(p, form({ kind: 'chord', text: 'Cmaj7' }, { octave: 'up' }));
    const words = reportInWords(phrase, report);
    expect(words.general[0]?.text).toBe('G7 to Cmaj7: up 5 semitones.');
    const bent = words.notes.find((n) => n.before.includes('string 2'))!;
    expect(bent.place).toBe('Bar 1, beat 1');
    expect(bent.before).toBe('E bent to F, string 2 fret 5');
    expect(bent.after).toBe('A bent to B, string 2 fret 10');
    expect(bent.degree).toBe('6→♭7 becomes 6→7');
    expect(bent.marked).toBe(true);
    expect(words.marked.has(bent.id)).toBe(true);
    expect(words.notes.find((n) => n.before.includes('string 3'))!.degree).toBe('4→5');
  });

  it('hold: suggestions with their place, applied only when asked for (M6)', () => {
    const p = build('q 3/7 3/6 4/6 2/6', { key: 'Bb blues', chords: 'Bb7' });
    const held = moved(p, form({ kind: 'chord', text: 'IV7' }, { way: 'hold' }));
    const words = reportInWords(held.phrase, held.report);
    expect(words.suggestions.some((s) => s.canApply)).toBe(true);
    expect(words.suggestions[0]!.text).toMatch(
      /^Bar 1, beat 1, string 3: 7 clashes with the ♭7 of E♭7/u,
    );
    expect(midis(held.phrase)).toEqual(midis(p));
    const adapted = moved(p, form({ kind: 'chord', text: 'IV7' }, { way: 'hold', adapt: true }));
    expect(midis(adapted.phrase)[0]).toBe(midis(p)[0]! - 1);
  });

  it('another beat: only notes that come to stand over another chord are named', () => {
    const p = build('q 3/5 3/7 h - | w -', { key: 'C', chords: 'C7 | F7' });
    const { phrase, report } = moved(p, form({ kind: 'beat', text: '1:4' }));
    const words = reportInWords(phrase, report);
    const named = words.notes.filter((n) => n.marked);
    expect(named).toHaveLength(1);
    expect(named[0]!.place).toBe('Bar 2, beat 1');
    expect(named[0]!.degree).toBe('2 becomes 6');
    expect(named[0]!.reasons).toEqual([{ text: 'Stands over F7 now.', lost: false }]);
    expect(words.general.map((g) => g.text)).toContain('Every pitch stays where it was.');
  });
});

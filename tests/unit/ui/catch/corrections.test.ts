import { describe, expect, it } from 'vitest';
import { boundTo } from '../../../../src/core/edit/table';
import type { HeardNote } from '../../../../src/core/heard/types';
import { withEvents } from '../../../../src/core/phrase/voices';
import { notesOf } from '../../../../src/core/phrase/walk';
import { type CaughtPhrase, phrasesOf } from '../../../../src/io/heard/phrases';
import { takeOf } from '../../../../src/io/heard/take';
import { candidatesFor } from '../../../../src/ui/catch/candidates';
import {
  type Corrected,
  callIt,
  correct,
  correctedAnew,
  correctedPhrase,
  doAgain,
  goToSound,
  rhythmIsRight,
  soundChosen,
  soundKey,
  takeBack,
  uncorrected,
} from '../../../../src/ui/catch/corrections';
import type { CaughtTake } from '../../../../src/ui/catch/messages';
import { anew, written } from '../../../../src/ui/catch/use-corrections';

/** Quarters at 120, a rest of two beats after the fourth. */
const PLAYED: readonly HeardNote[] = [60, 64, 67, 64, 62, 65, 69, 65].map((pitch, i) => {
  const onset = 0.5 * (i + (i < 4 ? 0 : 4));
  const curve = Array.from({ length: 20 }, (_, k) => ({ at: onset + 0.024 * k, midi: pitch }));
  return {
    onset,
    end: onset + 0.48,
    pitch,
    start: pitch,
    curve,
    attack: 'pluck',
    muted: false,
    confidence: 0.9,
  };
});

function caught(notes = PLAYED, lane?: string) {
  const heard = { notes, dead: [], seconds: 8 };
  const take = takeOf(heard, { bpm: 120, start: 0, ...(lane === undefined ? {} : { lane }) });
  let id = 0;
  const names = { newId: () => `p${id++}`, now: '2026-11-27T00:00:00Z', title: 'Caught' };
  const made = take.ok ? phrasesOf(take.value, names) : take;
  if (!made.ok) throw new Error(made.problems[0]!.message);
  return made.value;
}

/** Keys of the page for writing, one after the other, on a note of the recording. */
function keys(c: Corrected, note: number, ...names: readonly string[]): Corrected {
  let now = goToSound(c, soundKey(PLAYED[note]!))!;
  for (const name of names) {
    const bound = boundTo(name, now.state.pen.reading)!;
    const { next, outcome } = correct(now, bound.command, bound.value, 1000);
    if (outcome.kind !== 'done') throw new Error(outcome.because);
    now = next;
  }
  return now;
}

const noteOf = (c: Corrected, note: number) => {
  const { phrase, heard } = correctedPhrase(c);
  return notesOf(phrase).find(
    (n) => heard.get(n.note.id)?.onset === PLAYED[note]!.onset && n.note.kind === 'pitched',
  )!;
};

/** A take as the worker tells it. */
function take(notes = PLAYED, lane = ''): CaughtTake {
  const said = { lane, key: '' };
  const of = { bpm: 120, bpmFound: false, toClock: false, bpmBefore: null, fits: true };
  const rest = { key: 'C', keyFound: false, feel: '', bars: [], remarks: [], notes: PLAYED };
  const metre = { meter: { beats: 4, beatType: 4 } as const, readings: [], without: [] };
  const recorded = {
    dead: [],
    seconds: 8,
    title: 'Caught',
    now: '2026-11-27T00:00:00Z',
    playedTo: null,
  };
  return {
    ...of,
    ...rest,
    ...metre,
    recorded,
    said,
    phrases: caught(notes, lane === '' ? undefined : lane),
  };
}

describe('correcting what was caught', () => {
  it('goes by the keys of the page for writing, back and forth', () => {
    const [first] = caught().map(uncorrected);
    const before = noteOf(first!, 1);
    const moved = keys(first!, 1, 'z', 'e', 'v');
    const after = noteOf(moved, 1);
    expect(after.note.string).not.toBe(before.note.string);
    expect(after.event.duration).toBe(before.event.duration / 2);
    expect(after.note).toHaveProperty('vibrato');
    expect(soundChosen(moved)).toBe(soundKey(PLAYED[1]!));
    const back = takeBack(takeBack(takeBack(moved)));
    expect(back.state.phrase).toEqual(first!.state.phrase);
    expect(takeBack(back).told).toMatchObject({ refused: true });
    expect(doAgain(doAgain(doAgain(back))).state.phrase).toEqual(moved.state.phrase);
  });

  it('a name is undone as one step, and stays when all is written anew', () => {
    const all = caught().map(uncorrected);
    const proposed = all[1]!.state.phrase.meta;
    const typed = ['L', 'Lo', 'Low'].reduce(
      (c, title, i) => callIt(c, { title, tags: ['riff'] }, i),
      all[1]!,
    );
    expect(takeBack(typed).state.phrase.meta).toEqual(proposed);
    const over = correctedAnew([all[0]!, typed], caught(PLAYED, 'C7 | F7'), 0);
    expect(over.lost).toBe(0);
    const [first, second] = over.all.map((c) => c.state.phrase.meta);
    expect(second).toMatchObject({ title: 'Low', tags: ['riff'] });
    expect(first!.title).toBe('Caught, 1: single notes over V7 in F');
    // The note it begins with is taken out: the name stays with the others. It was made once, and not letter by letter.
    const shorter = correctedAnew([all[0]!, typed], caught(PLAYED.filter((_, i) => i !== 4)), 0);
    expect([shorter.lost, shorter.all[1]!.state.phrase.meta.title]).toEqual([0, 'Low']);
    expect(typed.made).toHaveLength(1);
    expect(typed.made[0]).toHaveLength(1);
  });

  it('is made once more when all is written anew: over chords, and without a note', () => {
    const all = caught().map(uncorrected);
    const moved = [keys(all[0]!, 1, 'z', 'e'), keys(all[1]!, 5, 'Ctrl+ArrowDown', 'v')];
    const over = correctedAnew(moved, caught(PLAYED, 'C7 | F7'), 0);
    expect(over.lost).toBe(0);
    for (const [i, note] of [
      [0, 1],
      [1, 5],
    ] as const) {
      const { note: was, event } = noteOf(moved[i]!, note);
      const { note: is, event: now } = noteOf(over.all[i]!, note);
      expect([is.string, now.duration]).toEqual([was.string, event.duration]);
      expect(is).toMatchObject('vibrato' in was ? { vibrato: was.vibrato } : {});
    }
    expect(over.all[0]!.state.phrase.chords).not.toEqual([]);
    expect(over.all[0]!.history.done).toBe(2);
    // What was taken back is not made once more; what lies on a note that is gone is told.
    const one = correctedAnew([takeBack(moved[0]!), moved[1]!], caught(PLAYED), 0);
    expect(one.all.map((c) => c.history.done)).toEqual([1, 2]);
    const without = PLAYED.filter((_, i) => i !== 1);
    expect(correctedAnew(moved, caught(without), 0).lost).toBe(2);
  });

  it('what is lost has its way back, also after it was written anew once more', () => {
    const first = written(take(), new Set());
    const corrected = { ...first, all: [keys(first.all[0]!, 1, 'v'), ...first.all.slice(1)] };
    const less = PLAYED.filter((_, i) => i !== 1);
    const lost = anew(corrected, take(less), new Set([1]));
    expect([lost.lost, lost.before?.all]).toEqual([1, corrected.all]);
    const over = anew(lost, take(less, 'C7'), new Set([1]));
    expect([over.lost, over.before?.all]).toEqual([1, corrected.all]);
    // Lost once more, there are two steps back.
    const more = { ...over, all: [keys(over.all[0]!, 2, 'v'), ...over.all.slice(1)] };
    const none = anew(more, take(less.slice(2), 'C7'), new Set([1, 0, 2]));
    expect([none.lost, none.before?.all, none.before?.before?.all]).toEqual([
      1,
      more.all,
      corrected.all,
    ]);
  });

  it('what was chosen of a rhythm belongs to the tempo and metre in which it was, with the way back', () => {
    const guessing = (c: CaughtPhrase) => ({
      ...c,
      phrase: withEvents(c.phrase, 0, (events) => events.map((e) => ({ ...e, guessed: true }))),
    });
    const chosen = { ...take(), phrases: take().phrases.map(guessing) };
    const right = rhythmIsRight(uncorrected(chosen.phrases[0]!), soundKey(PLAYED[1]!), 0);
    expect(right.history.done).toBe(1);
    const first = written({ ...chosen, said: { ...chosen.said, otherwise: [0.5, 1] } }, new Set());
    const before = { ...first, all: [right, ...first.all.slice(1)] };
    // Over other chords it is as it was.
    const over = { ...chosen, said: { ...first.take.said, lane: 'C7' } };
    const same = anew(before, over, new Set());
    expect([same.lost, same.rhythms, same.all[0]!.history.done]).toEqual([0, 0, 1]);
    // One that is let go by its digit is no loss.
    const less = { ...chosen, said: { ...first.take.said, otherwise: [1] } };
    expect(anew(before, less, new Set()).lost).toBe(0);
    const fast = anew(before, { ...chosen, said: { lane: '', key: '' }, bpm: 240 }, new Set());
    expect([fast.lost, fast.rhythms, fast.all[0]!.history.done]).toEqual([3, 3, 0]);
    expect(fast.before).toBe(before);
  });

  it('a fret of two digits is one step, also when it is made once more', () => {
    const [first] = caught().map(uncorrected);
    const typed = keys(first!, 2, '1', '2');
    expect(typed.history.done).toBe(1);
    expect(noteOf(typed, 2).note).toMatchObject({ fret: 12 });
    const again = correctedAnew([typed], caught(), 0);
    expect(noteOf(again.all[0]!, 2).note).toMatchObject({ fret: 12 });
  });

  it('names what a note may be instead, and each of it can be done', () => {
    const [first] = caught().map(uncorrected);
    const at = goToSound(first!, soundKey(PLAYED[1]!))!;
    // The octave above begins as much there: it is what was taken for a note an octave lower.
    const pitches = [-12, -1, 1, 12].map((by) => ({ by, begins: by === 12 ? 0.4 : 0, sounds: 0 }));
    const others = { pitches, attacks: [0.97, 0.01, 0.01, 0.01], bends: 0.02 };
    const offered = candidatesFor(at.state, { ...PLAYED[1]!, confidence: 0.6, others });
    expect(offered.length).toBeGreaterThan(3);
    const named = offered.map((o) => o.words).filter((w) => w.includes(' of the key, '));
    // The key that is found is F.
    expect(named[0]).toBe('E5, 7 of the key, fret 12 on string 1');
    expect(offered.map((o) => o.kind)).toContain('absent');
    // Of one that is sure a digit means something else before.
    const sure = candidatesFor(at.state, { ...PLAYED[1]!, others });
    expect(sure.slice(0, 4).map((o) => o.kind)).not.toContain('absent');
    expect(new Set(offered.map((o) => o.words)).size).toBe(offered.length);
    for (const o of offered) {
      if (o.kind === 'absent') continue;
      const { next, outcome } = correct(at, o.command, o.value, 0);
      expect(outcome.kind).toBe('done');
      expect(next.state.phrase).not.toEqual(at.state.phrase);
    }
  });
});

import { describe, expect, it } from 'vitest';
import { COMMANDS } from '../../../../src/core/edit/table';
import type { PitchedNote } from '../../../../src/core/phrase/types';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { analyse } from '../../../../src/core/understand/analyse';
import { build } from '../../../support/build';
import { chosen, cursorOn, ordered, refusal, said } from '../../../support/technique';

describe('several notes at once', () => {
  const push = build('h. - e 3/5 3/7 | w 3/7', { chords: 'F7 | Bb7' });

  it('are all counted with the next chord unless all are', () => {
    const p = build('h 3/2 q 3/5 e 3/7 3/2(ant) | w 3/7', { chords: 'F7 | Bb7' });
    const s = chosen(p, 2, 3);
    const flags = (x: typeof s) =>
      [2, 3].map((i) => {
        const { id } = x.phrase.voices[0].events[i]!.notes[0];
        return analyse(x.phrase).byId.get(id)!.anticipates;
      });
    expect(flags(s)).toEqual([false, true]);
    const all = ordered(s, 'mean.anticipation');
    expect(flags(all)).toEqual([true, true]);
    const none = ordered(all, 'mean.anticipation');
    expect(flags(none)).toEqual([false, false]);
    // Whichever comes first.
    const turned = build('h 3/2 q 3/5 e 3/7(ant) 3/2 | w 3/7', { chords: 'F7 | Bb7' });
    expect(flags(ordered(chosen(turned, 2, 3), 'mean.anticipation'))).toEqual([true, true]);
  });

  it('are refused where one of them has no chord after it', () => {
    expect(refusal(chosen(push), 'mean.anticipation')).toBe(
      'no other chord comes after one of them',
    );
  });

  const names = (s: ReturnType<typeof chosen>) =>
    s.phrase.voices[0].events.map((e) => formatPitch((e.notes[0] as PitchedNote).pitch));

  it('take their other names unless all have them', () => {
    // Over C7 Eb is D sharp, Gb is F sharp (D1).
    const s = chosen(build('h 3/8=D#4 2/7=Gb4', { chords: 'C7' }));
    const other = ordered(s, 'mean.respell');
    expect(names(other)).toEqual(['D#4', 'F#4']);
    const usual = ordered(other, 'mean.respell');
    expect(names(usual)).toEqual(['Eb4', 'Gb4']);
    expect(names(ordered(usual, 'mean.respell'))).toEqual(['D#4', 'F#4']);
  });

  it('leave those alone that have one name, and are refused where all have', () => {
    const s = chosen(build('h 3/9 2/7=Gb4', { chords: 'C7' }));
    expect(names(ordered(s, 'mean.respell'))).toEqual(['E4', 'F#4']);
    expect(refusal(chosen(build('h 3/9 3/12', { chords: 'C7' })), 'mean.respell')).toBe(
      'each of them has one usual name here',
    );
  });
});

describe('dead notes', () => {
  const dead = cursorOn(build('q 3/x7 3/x5 - -', { chords: 'C7' }), 3);

  it('have no pitch for what is about pitch, and that is said', () => {
    const about = ['mean.', 'bend.', 'move.semitone', 'move.octave', 'move.degree', 'hand.'];
    const alone = new Set([
      'hand.dead',
      'hand.pin',
      'bend.curve',
      'bend.unison',
      'bend.oblique',
      'hand.grace',
      'hand.grace-before',
    ]);
    let asked = 0;
    for (const command of COMMANDS) {
      if (!about.some((a) => command.id.startsWith(a)) || alone.has(command.id)) continue;
      const { ask } = command;
      const values =
        ask.kind === 'choice'
          ? ask.choices.map((c) => c.value)
          : ask.kind === 'number'
            ? [ask.least, ask.most]
            : ask.kind === 'nothing'
              ? [undefined]
              : [];
      for (const value of values) {
        asked++;
        expect([command.id, value, refusal(dead, command.id, value)]).toEqual([
          command.id,
          value,
          'a dead note has no pitch',
        ]);
      }
    }
    expect(asked).toBeGreaterThan(40);
  });

  it('are kept on their string like others', () => {
    const pinned = ordered(dead, 'hand.pin');
    expect(pinned.phrase.voices[0].events[0]!.notes[0].pinned).toBe(true);
    expect(ordered(pinned, 'hand.pin').phrase).toEqual(dead.phrase);
    const both = chosen(build('h 3/7(pin) 3/x7', { chords: 'C7' }));
    const all = ordered(both, 'hand.pin').phrase.voices[0].events.map((e) => e.notes[0].pinned);
    expect(all).toEqual([true, true]);
  });

  it('are said to stay where they are chosen with others', () => {
    const both = chosen(build('h 3/7 3/x7', { chords: 'C7' }));
    expect(said(both, 'hand.vibrato-next')).toBe('narrow vibrato; a dead note stays as it is');
    const two = chosen(build('q 3/7 3/x7 3/x5 -', { chords: 'C7' }));
    expect(said(two, 'move.semitone', 1)).toBe('a semitone higher; 2 dead notes stay as they are');
  });
});

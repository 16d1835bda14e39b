import { describe, expect, it } from 'vitest';
import { copyOf } from '../../../../src/core/edit/clip';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { emptyPhrase, press, typeKeys } from '../../../support/edit';

function ask(s: EditState, id: string, value?: unknown) {
  return runCommand(s, commandOf(id)!, value);
}

function run(s: EditState, id: string, value?: unknown): EditState {
  const outcome = ask(s, id, value);
  if (outcome.kind !== 'done') throw new Error(`${id}: ${outcome.because}`);
  return outcome.state;
}

const frets = (s: EditState, voice = 0) =>
  (s.phrase.voices[voice]?.events ?? []).map((e) => e.notes.map((n) => n.fret).join('.'));

describe('a second voice that is not there yet', () => {
  const second = press(startEditing(build('q 3/5 3/7 h -')), 'V');

  it.each(['move.semitone', 'take.cut', 'write.take-out', 'move.stretch'])(
    '%s finds no note in it',
    (id) => {
      const value = id === 'move.semitone' ? 1 : id === 'move.stretch' ? 'double' : undefined;
      expect(ask(second, id, value)).toEqual({
        kind: 'not applicable',
        because: 'no note is chosen',
      });
    },
  );

  it('is made by writing in it', () => {
    const written = press(second, 'ArrowDown', 'ArrowDown', 'w', '3');
    expect(frets(written, 1)).toEqual(['3']);
    expect(frets(written, 0)).toEqual(['5', '7']);
  });
});

describe('bars', () => {
  it('keep every chord when they are counted otherwise', () => {
    const p = build('w - | - | - | -', { chords: 'C7 | F7 | C7 | G7', bars: 4 });
    const three = run(startEditing(p), 'bar.meter', '3/4').phrase;
    expect(three.chords.map((c) => c.symbol)).toEqual(['C7', 'F7', 'C7', 'G7']);
    expect(three.bars.every((b) => b.meter.beats === 3)).toBe(true);
  });

  it('say where a held note ends at a bar that is put in', () => {
    const words = (line: string) => {
      const outcome = ask(press(startEditing(build(line)), 'ArrowRight'), 'bar.insert', 'after');
      return outcome.kind === 'done' ? outcome.say : outcome.because;
    };
    expect(words('h 3/5 w 3/7 h 3/5')).toBe(
      'a bar put in, what was held over the place ends there',
    );
    expect(words('h 3/5 3/7 | w 3/5')).toBe('a bar put in');
  });

  it('are put in and taken out with what stands in them', () => {
    const p = build('w 3/5 | 3/7 | 3/9', { chords: 'C7 | F7 | G7' });
    const s = press(startEditing(p), 'Enter', '|');
    expect(s.phrase.voices[0].events.map((e) => e.onset)).toEqual([0, 80_640, 120_960]);
    expect(s.phrase.chords.map((c) => c.onset)).toEqual([0, 80_640, 120_960]);
    const back = run(s, 'bar.delete');
    expect(back.phrase.bars).toHaveLength(3);
    expect(back.phrase.voices).toEqual(p.voices);
    expect(back.phrase.chords).toEqual(p.chords);
  });
});

describe('copying and pasting', () => {
  const line = startEditing(build('q 3/5 3/7 2/5 2/8', { chords: 'A7' }));

  it('takes what is chosen and puts it in elsewhere under new ids', () => {
    const chosen = press(line, 'Enter', 'Shift+ArrowRight', 'Shift+ArrowUp');
    const clip = copyOf(chosen, 'clip', '2026-11-25T12:00:00Z')!;
    expect(checkPhrase(clip)).toEqual([]);
    const pasted = run(press(chosen, 'End'), 'take.paste', clip);
    expect(frets(pasted)).toEqual(['5', '7', '5', '8', '7', '5']);
    const ids = pasted.phrase.voices[0].events.flatMap((e) => e.notes.map((n) => n.id));
    expect(new Set(ids).size).toBe(6);
  });

  it('says when a held note ends where something is put in', () => {
    const held = startEditing(build('h 3/5 3/7'));
    const clip = copyOf(press(line), 'clip', '2026-11-25T12:00:00Z')!;
    const at = { ...held, selection: { ...held.selection, cursor: { onset: 10_080, string: 3 } } };
    const outcome = ask(at, 'take.paste', clip);
    expect(outcome).toMatchObject({
      say: 'a note put in, what was held over the place ends there',
    });
  });
});

describe('moving what is chosen', () => {
  it('by frets, octaves and values, there and back', () => {
    const s = typeKeys(startEditing(emptyPhrase()), '7b');
    const up = press(s, 'Ctrl+ArrowUp');
    const n = up.phrase.voices[0].events[0]!.notes[0];
    expect(n).toMatchObject({ fret: 8, bend: { target: { letter: 'F', octave: 4 } } });
    expect(press(up, 'Ctrl+ArrowDown').phrase).toEqual(s.phrase);
    const octave = press(s, 'Ctrl+Shift+ArrowUp');
    expect(frets(octave)).toEqual(['19']);
    expect(press(octave, 'Ctrl+Shift+ArrowDown').phrase).toEqual(s.phrase);
    const late = press(s, '>');
    expect(late.phrase.voices[0].events[0]!.onset).toBe(5_040);
    expect(press(late, '<').phrase).toEqual(s.phrase);
  });
});

describe('the instrument', () => {
  it('is tuned with the frets or with the pitches kept', () => {
    const s = startEditing(build('q 6/3 6/5 5/3 -'));
    const played = run(s, 'neck.tune-frets', 'dropD').phrase.voices[0].events;
    expect(played.map((e) => e.notes[0].kind === 'pitched' && e.notes[0].pitch.letter)).toEqual([
      ...['F', 'G', 'C'],
    ]);
    expect(frets(run(s, 'neck.tune-pitches', 'dropD'))).toEqual(['5', '7', '3']);
    expect(ask(startEditing(build('q 6/0')), 'neck.capo-pitches', 2)).toMatchObject({
      kind: 'not applicable',
    });
  });
});

import { expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { cursorOn, ordered } from '../../../support/technique';

const pair = build('q 2/7+3/7 1/5 h -', { chords: 'A7' });

it('chooses what is struck together, and is back at the same note where that is let go', () => {
  for (const string of [2, 3]) {
    const block = ordered(cursorOn(pair, string), 'choose.all', 'moment');
    const slid = ordered(block, 'hand.slide-in-next');
    expect(slid.phrase.voices[0].events[0]!.notes.map((n) => 'slideIn' in n)).toEqual([true, true]);
    const back = press(slid, 'Escape').selection;
    expect(back).toMatchObject({ corner: null, cursor: { onset: 0, string } });
  }
});

it('goes and chooses to either end by the keys of a text with lines as well', () => {
  const inside = press(startEditing(pair), 'Enter');
  for (const held of ['', 'Shift+']) {
    for (const end of ['Home', 'End']) {
      const by = (ctrl: string) => press(inside, `${ctrl}${held}${end}`).selection;
      expect(by('Ctrl+')).toEqual(by(''));
      expect(by('Ctrl+')).not.toEqual(inside.selection);
    }
  }
});

import { act } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { mapNotes, notesOf } from '../../src/core/phrase/walk';
import { loadEngraver } from '../../src/ui/score/engraver';
import { ScorePair } from '../../src/ui/score/score-pair';
import { ScoreView } from '../../src/ui/score/score-view';
import '../../src/ui/theme/theme.css';
import '../../src/ui/theme/fonts.css';
import '../../src/ui/theme/base.css';
import { build } from '../support/build';

const BARS = ['q 3/5 3/7 2/5 2/8', 'e 3/5 3/7(h) 2/5 2/8 q 1/5 1/8', 'h 2/8 3/7', 'w 3/5'];
const phrase = build([...BARS, ...BARS].join(' | '), {
  key: 'C',
  chords: 'C7 | F7 | G7 | C7 | C7 | F7 | G7 | C7',
});

let root: Root | null = null;
const place = document.createElement('div');

beforeAll(async () => {
  Object.assign(globalThis, { IS_REACT_ACT_ENVIRONMENT: true });
  document.body.append(place);
  await loadEngraver();
  await Promise.all([...document.fonts].map((f) => f.load()));
});

afterEach(async () => {
  await act(async () => root?.unmount());
  root = null;
});

async function show(element: React.ReactNode, width: number): Promise<void> {
  place.style.width = `${width}px`;
  root ??= createRoot(place);
  await act(async () => root?.render(element));
}

const systems = () => [...place.querySelectorAll('.system')];
const frame = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 50)));

describe('the engraved phrase', () => {
  it('follows the width of its container, with nothing outside it', async () => {
    const view = <ScoreView phrase={phrase} label="Notes" />;
    await show(view, 900);
    const wide = systems().length;
    expect(wide).toBeGreaterThan(1);
    for (const width of [420, 360, 700]) {
      place.style.width = `${width}px`;
      await act(frame);
      const right = place.getBoundingClientRect().right;
      for (const s of place.querySelectorAll('svg')) {
        expect(s.getBoundingClientRect().right).toBeLessThanOrEqual(right + 0.01);
      }
      if (width < 500) expect(systems().length).toBeGreaterThan(wide);
    }
  });

  it('leaves the lines alone in which nothing changed', async () => {
    await show(<ScoreView phrase={phrase} label="Notes" />, 440);
    const before = [...place.querySelectorAll('svg')];
    const drawn = before.map((svg) => svg.outerHTML);
    expect(before.length).toBeGreaterThan(2);
    const last = notesOf(phrase).at(-1)!.note.id;
    const edited: Phrase = mapNotes(phrase, ({ note }) =>
      note.id === last && note.kind === 'pitched' ? { ...note, vibrato: 'wide' } : note,
    );
    await show(<ScoreView phrase={edited} label="Notes" />, 440);
    const after = [...place.querySelectorAll('svg')];
    expect(after.slice(0, -1)).toEqual(before.slice(0, -1));
    after.slice(0, -1).forEach((svg, i) => {
      expect(svg).toBe(before[i]);
      expect(svg.outerHTML).toBe(drawn[i]);
    });
    expect(after.at(-1)!.outerHTML).not.toBe(drawn.at(-1));
  });

  it('says every note to a screen reader, and nothing of the drawing', async () => {
    await show(<ScoreView phrase={phrase} label="Notes of the test" />, 700);
    const list = place.querySelector('[aria-label="Notes of the test"]')!;
    expect(list.querySelectorAll('li li')).toHaveLength(notesOf(phrase).length);
    expect(list.textContent).toContain('Beat 1 and, string 3, fret 7: D');
    for (const svg of place.querySelectorAll('svg')) {
      expect(svg.closest('[aria-hidden="true"]')).not.toBeNull();
    }
  });

  it('text from a file is only ever text', async () => {
    const evil = '<img src=x onerror="document.title=1"><script>document.title=2</script>';
    const words: Phrase = { ...phrase, marks: [{ kind: 'words', onset: 0, text: evil }] };
    const title = document.title;
    await show(<ScoreView phrase={words} label="Notes" />, 700);
    expect(place.querySelector('script, img')).toBeNull();
    expect(place.querySelector('svg')!.textContent).toContain('<img src=x');
    expect(document.title).toBe(title);
  });
});

describe('two phrases under each other', () => {
  it('have their bars at one place on the screen, whatever their signatures', async () => {
    const lower = build(BARS.join(' | '), { key: 'Gb', chords: 'Gb7 | B7 | Db7 | Gb7' });
    await show(
      <ScorePair
        upper={{ phrase: build(BARS.join(' | '), { key: 'C', chords: 'C7' }), caption: 'before' }}
        lower={{ phrase: lower, caption: 'after', changed: new Set(['n1']) }}
      />,
      800,
    );
    const lines = [...place.querySelectorAll('.pair-line')];
    expect(lines.length).toBeGreaterThan(0);
    for (const line of lines) {
      const [above, below] = [...line.querySelectorAll('svg')].map((svg) => {
        const box = svg.getBoundingClientRect();
        return { top: box.top, left: box.left, width: box.width };
      });
      expect(below!.top).toBeGreaterThan(above!.top);
      expect([below!.left, below!.width]).toEqual([above!.left, above!.width]);
    }
    expect(place.querySelectorAll('.lower .dw-changed-mark').length).toBeGreaterThan(0);
    expect(place.querySelectorAll('.upper .dw-changed-mark')).toHaveLength(0);
    expect(place.querySelectorAll('ul[aria-label="Notes, before"]')).toHaveLength(1);
    expect(place.querySelectorAll('ul[aria-label="Notes, after"]')).toHaveLength(1);
  });
});

import { describe, expect, it } from 'vitest';
import type { DeadNote, Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { legendOf } from '../../../../src/engrave/legend/legend';
import { readMusicXml } from '../../../../src/io/musicxml/read/read-musicxml';
import { writeMusicXml } from '../../../../src/io/musicxml/write/write-musicxml';
import { readQuick } from '../../../../src/io/quick/read';
import { writeQuick } from '../../../../src/io/quick/write';
import { noteInWords } from '../../../../src/ui/score/note-words';
import { moved, toChord } from '../../../support/moves';
import { chosen, cursorOn, ordered, refusal, said } from '../../../support/technique';

/*
 * The edge of the pick dragged along a wound string: no pitch, down or up the neck (common practice).
 */

const origin = { id: 'x', now: '2026-11-27T00:00:00Z' };

function quick(text: string): Phrase {
  const read = readQuick(text, origin);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}

function counter() {
  let n = 0;
  return () => `m${++n}`;
}

function scrapes(p: Phrase): readonly (readonly [string: number, way: DeadNote['scrape']])[] {
  return notesOf(p).flatMap(({ note: n }) =>
    n.kind === 'dead' ? [[n.string, n.scrape] as const] : [],
  );
}

const BOTH = '[C, 4/4, 100 quarters, "both"] {C7} q 6:x9\\ 5:x9/ h 4:7';

describe('a pick scrape', () => {
  it('needs a string with a winding', () => {
    expect(checkPhrase(quick('q 4:x5\\'))).toEqual([]);
    expect(readQuick('q 2:x5\\', origin)).toMatchObject({
      ok: false,
      problems: [{ message: 'string 2 has no winding to scrape along' }],
    });
  });

  it('is written by a key that goes through its forms', () => {
    const s = cursorOn(quick('q 6:5 6:7'), 6);
    const down = ordered(s, 'pick.scrape-next');
    expect(scrapes(down.phrase)).toEqual([[6, 'down']]);
    expect(said(down, 'pick.scrape-next')).toBe('pick scrape up the neck');
    const up = ordered(down, 'pick.scrape-next');
    expect(scrapes(up.phrase)).toEqual([[6, 'up']]);
    expect(scrapes(ordered(up, 'pick.scrape-next').phrase)).toEqual([[6, undefined]]);
  });

  it('tells what the note loses by it, and is told when it is lost', () => {
    const bent = cursorOn(quick('q 4:5b7'), 4);
    expect(said(bent, 'pick.scrape-next')).toBe('pick scrape down the neck; bend taken off');
    const scraped = chosen(quick('q 6:x5\\'));
    expect(said(scraped, 'hand.dead')).toBe('with pitch; pick scrape taken off');
  });

  it('is refused on a plain string, in words', () => {
    expect(refusal(cursorOn(quick('q 1:5'), 1), 'pick.scrape-next')).toContain('no winding');
  });

  it('is said in quick text and read back', () => {
    const p = quick(BOTH);
    expect(scrapes(p)).toEqual([
      [6, 'down'],
      [5, 'up'],
    ]);
    expect(quick(writeQuick(p).text).voices).toEqual(p.voices);
  });

  it('travels through MusicXML, without our own fields too', () => {
    const p = quick(BOTH);
    const xml = writeMusicXml(p);
    expect(xml).toContain('<other-technical>pick scrape down</other-technical>');
    const plain = xml.replace(/<miscellaneous>[\s\S]*<\/miscellaneous>/u, '');
    for (const text of [xml, plain]) {
      const read = readMusicXml(text, { newId: counter(), now: origin.now });
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      expect(scrapes(read.value.phrase)).toEqual(scrapes(p));
    }
  });

  it('keeps its string in a move, like a dead note (M11)', () => {
    const p = quick(BOTH);
    expect(scrapes(moved(p, toChord(p, 'F7')).phrase)).toEqual(scrapes(p));
  });

  it('is explained in the legend and said to whoever listens', () => {
    const p = quick(BOTH);
    const signs = legendOf(p, { staves: 'both', width: 900 }).map((e) => e.sign);
    expect(signs).toEqual(expect.arrayContaining(['pick-scrape-down', 'pick-scrape-up']));
    expect(noteInWords(p, notesOf(p)[0]!, null)).toContain(
      'dead note, the pick scraped down the neck along the string',
    );
  });
});

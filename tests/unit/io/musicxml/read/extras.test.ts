import { describe, expect, it } from 'vitest';
import type { Phrase, PitchedNote } from '../../../../../src/core/phrase/types';
import { notesOf } from '../../../../../src/core/phrase/walk';
import { writeMusicXml } from '../../../../../src/io/musicxml/write/write-musicxml';
import { build } from '../../../../support/build';
import { imported } from '../../../../support/score-text';

/*
 * What our own two fields bring back, and that an entry is discarded where the note it names was
 * edited in another program (section 6; the form of the fields is described in `misc.ts`).
 */

const PHRASE = build(
  'q 3/7(anchor:key,pin) 2/8=G(bend:A4,role:blue-note) 3/9(ant) 4/7(in:-1,anchor:goal)',
  { chords: 'C', key: 'C blues', meta: { tags: ['sixths'], level: 4, notes: 'slowly\nthen not' } },
);

function pitched(p: Phrase): readonly PitchedNote[] {
  return notesOf(p).map(({ note }) => {
    if (note.kind !== 'pitched') throw new Error('dead note');
    return note;
  });
}

/** Changes the file as an editor would; every change must hit. */
function edited(...changes: readonly (readonly [RegExp, string])[]) {
  let xml = writeMusicXml(PHRASE);
  for (const [what, by] of changes) {
    expect(xml).toMatch(what);
    xml = xml.replace(what, by);
  }
  return imported(xml);
}

describe('our own fields', () => {
  it('bring back ids, anchors, roles, pins, the mode, and what is said about the phrase', () => {
    const { phrase, listed } = imported(writeMusicXml(PHRASE));
    expect(phrase).toEqual(PHRASE);
    expect(listed).toEqual([]);
  });

  it('are found without xml ids, by the fingerprint alone', () => {
    const { phrase } = edited([/ id="[nt]\d+(\.\d+)?"/gu, '']);
    expect(phrase).toEqual(PHRASE);
  });

  it.each<[string, readonly (readonly [RegExp, string])[]]>([
    [
      'the pitch',
      // The second note a semitone lower on both staves, with its fret.
      [
        [
          /<step>G<\/step>(\s*)<octave>4<\/octave>/gu,
          '<step>F</step><alter>1</alter><octave>4</octave>',
        ],
        [/<fret>8<\/fret>/gu, '<fret>7</fret>'],
      ],
    ],
    [
      'the place, the pitch kept',
      [[/<string>2<\/string>(\s*)<fret>8<\/fret>/gu, '<string>3</string><fret>12</fret>']],
    ],
  ])('an entry whose note changed in %s is discarded, the others stay', (_, changes) => {
    const { phrase, listed } = edited(...changes);
    const [first, second, third] = pitched(phrase);
    expect([first?.anchor, first?.pinned, first?.id]).toEqual(['key', true, 'n1']);
    expect([second?.role, second?.id]).toEqual([undefined, 'new1']);
    // What the standard part says is kept: the bend, its target named anew.
    expect(second?.bend?.shape).toBe('bend');
    expect(third?.anticipation).toBe(true);
    expect(listed.join()).toContain('1 note was edited elsewhere');
  });

  it('an entry whose note was only given another name is discarded, the name kept', () => {
    // The third note, E4, becomes F flat.
    const { phrase, listed } = edited([
      /<step>E<\/step>(\s*)<octave>4/gu,
      '<step>F</step><alter>-1</alter><octave>4',
    ]);
    expect(pitched(phrase)[2]).toMatchObject({ pitch: { letter: 'F', alter: -1 }, id: 'new1' });
    expect(pitched(phrase)[2]?.anticipation).toBeUndefined();
    expect(listed.join()).toContain('1 note was edited elsewhere');
  });

  it('an entry whose note moved in time is discarded', () => {
    const rest = '<note><rest/><duration>5040</duration><voice>$1</voice></note>';
    const { phrase, listed } = edited([
      // An eighth rest before the last note of each staff.
      /(?<=<\/note>)(?=(?:(?!<\/note>).)*<grace(?:(?!<\/note>).)*<voice>(\d)<)/gsu,
      rest,
    ]);
    expect(pitched(phrase).map((n) => n.anchor)).toEqual(['key', undefined, undefined, undefined]);
    expect(listed.join()).toContain('edited elsewhere');
  });

  it('an entry is not given to a note that carries another number', () => {
    // Two programs' worth of confusion: the ids of the first two notes exchanged.
    const { phrase } = edited(
      [/id="n1"/u, 'id="nX"'],
      [/id="n2"/u, 'id="n1"'],
      [/id="nX"/u, 'id="n2"'],
      [/id="t1"/u, 'id="tX"'],
      [/id="t2"/u, 'id="t1"'],
      [/id="tX"/u, 'id="t2"'],
    );
    expect(pitched(phrase).map((n) => n.anchor)).toEqual([undefined, undefined, undefined, 'goal']);
  });

  it('the width in the file goes before the target in the field', () => {
    const { phrase } = edited([/<bend-alter>2</gu, '<bend-alter>1<']);
    const bend = pitched(phrase)[1]?.bend;
    expect(bend).toMatchObject({ target: { letter: 'A', alter: -1, octave: 4 } });
  });

  it('a grace of another size is no slide-in of ours', () => {
    const { phrase } = edited(
      [/<fret>6<\/fret>/gu, '<fret>5</fret>'],
      [
        /<step>G<\/step>(\s*)<alter>1<\/alter>(\s*)<octave>3<\/octave>/gu,
        '<step>G</step><octave>3</octave>',
      ],
    );
    const last = phrase.voices[0].events[3];
    expect(last?.graces?.[0].notes[0]).toMatchObject({ string: 4, fret: 5 });
    expect(pitched(phrase)[3]?.attack).toBe('slide');
    expect(pitched(phrase)[3]?.slideIn).toBeUndefined();
  });

  it('another tuning in the file goes before the instrument in the field', () => {
    const { phrase } = edited([
      /<tuning-step>E<\/tuning-step>(\s*)<tuning-octave>2</u,
      '<tuning-step>D</tuning-step><tuning-octave>2<',
    ]);
    expect(phrase.instrument.tuning.at(-1)).toEqual({ letter: 'D', alter: 0, octave: 2 });
  });

  it.each([
    ['no JSON', /(?<=name="degreewise:phrase">)[^<]*/u, '{"v":1,'],
    ['a later version', /(?<=name="degreewise:phrase">\{"v":)1/u, '2'],
    ['notes of another form', /(?<=name="degreewise:notes">)[^<]*/u, '[{"n":"one"}]'],
  ])('a field with %s is left aside and listed', (_, what, by) => {
    const { listed } = edited([what, by]);
    expect(listed.join()).toContain('left aside');
  });

  it('a hostile field cannot bring in what the model refuses', () => {
    const { phrase } = edited(
      [/(?<="id":")test(?=")/u, 'has spaces\\u0000'],
      [/(?<="created":")[^"]*/u, '2026-02-31T00:00:00Z'],
      [/(?<="tags":\[)"sixths"/u, '"a\\nb","a b",""'],
    );
    expect(phrase.id).toMatch(/^new/u);
    expect(phrase.meta.created).toBe('2026-02-03T04:05:06Z');
    expect(phrase.meta.tags).toEqual(['a b']);
    const own = edited([/(?<="parent":)null/u, '"test"']);
    expect(own.phrase.parent).toBeNull();
  });
});

import { describe, expect, it } from 'vitest';
import { checkPlayable } from '../../../../../src/core/neck/playable';
import { formatPitch } from '../../../../../src/core/theory/pitch';
import { encodePhrase } from '../../../../../src/io/json';
import { readMusicXml } from '../../../../../src/io/musicxml/read/read-musicxml';
import { plainly } from '../../../../support/plain-musicxml';
import {
  at,
  attributes,
  imported,
  lines,
  move,
  n,
  places,
  refused,
  score,
} from '../../../../support/score-text';

/*
 * Pitches, keys, tunings, strings and frets of plain files. Sources: W3C MusicXML 4.0 reference
 * (transpose, clef-octave-change, key, staff-tuning, capo, string, fret) and its tutorial
 * 'Tablature'; P3 and N2 of the project's rules.
 */

const tab = (tuning: string, rest = '') => {
  const strings = tuning.split(' ').reverse();
  const lines = strings.map((name, i) => {
    const m = /^([A-G])(#|b)?(\d)$/u.exec(name);
    if (m === null) throw new Error(name);
    const alter = m[2] === undefined ? '' : `<tuning-alter>${m[2] === '#' ? 1 : -1}</tuning-alter>`;
    return `<staff-tuning line="${i + 1}"><tuning-step>${m[1]}</tuning-step>${alter}<tuning-octave>${m[3]}</tuning-octave></staff-tuning>`;
  });
  return `<staff-details><staff-lines>${strings.length}</staff-lines>${lines.join('')}${rest}</staff-details>`;
};
const TAB_CLEF = '<clef><sign>TAB</sign><line>5</line></clef>';
const STANDARD = 'E4 B3 G3 D3 A2 E2';
const key = (fifths: number, mode?: string) =>
  `<key><fifths>${fifths}</fifths>${mode === undefined ? '' : `<mode>${mode}</mode>`}</key>`;

describe('pitch (P3)', () => {
  it('the octave of the clef changes nothing', () => {
    const clef = (change: string) => `<clef><sign>G</sign><line>2</line>${change}</clef>`;
    for (const change of ['', '<clef-octave-change>-1</clef-octave-change>']) {
      const { phrase } = imported(score([attributes({ rest: clef(change) }) + n('G4', 8)]));
      expect(lines(phrase)).toEqual(['0+40320 G4']);
      expect(phrase.instrument.clef).toBe('treble-8');
    }
  });

  it('sounding is written plus transposition, for key and chords too', () => {
    // Guitar parts are often written an octave up with <transpose>; and a part in B flat.
    const octave =
      '<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>';
    const up = imported(score([attributes({ rest: octave }) + n('A5', 8)]));
    expect(lines(up.phrase)).toEqual(['0+40320 A4']);
    const flat = '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>';
    const chord =
      '<harmony><root><root-step>E</root-step></root><kind>minor-seventh</kind></harmony>';
    const b = imported(
      score([attributes({ key: key(2, 'major'), rest: flat }) + chord + n('F#4', 8)]),
    );
    expect(lines(b.phrase)).toEqual(['0+40320 E4']);
    expect(b.phrase.key).toEqual({ tonic: { letter: 'C', alter: 0 }, mode: 'major' });
    expect(b.phrase.chords.map((c) => c.symbol)).toEqual(['Dm7']);
  });

  it('a transposition without steps takes the usual ones', () => {
    const t = '<transpose><chromatic>-3</chromatic></transpose>';
    const { phrase } = imported(score([attributes({ rest: t }) + n('Eb4', 8)]));
    expect(lines(phrase)).toEqual(['0+40320 C4']);
  });

  it('what would need three accidentals is respelled, what is no quarter tone is rounded; both listed', () => {
    const alter = (a: string) => n('C4', 4).replace('</step>', `</step><alter>${a}</alter>`);
    const { phrase, listed } = imported(score([attributes() + alter('3') + alter('-0.25')]));
    expect(lines(phrase).map((l) => l.split(' ')[1])).toEqual(['D#4', 'C4']);
    expect(listed.join()).toContain('triple accidental');
    expect(listed.join()).toContain('microtones');
  });

  it('a quarter tone is curled up to from the semitone below, on a fretted string', () => {
    const alter = (a: string) => n('E4', 4).replace('</step>', `</step><alter>${a}</alter>`);
    const { phrase, listed } = imported(score([attributes() + alter('0.5') + alter('-1.5')]));
    expect(plainly(phrase).map((x) => x.midi)).toEqual([64.5, 62.5]);
    expect(lines(phrase).map((l) => l.split(' ')[1])).toEqual(['E4', 'Ebb4']);
    expect(listed.join()).toContain('quarter tones are curled up to');
  });

  it('a quarter tone below the lowest fret is the semitone above it, of a stated tuning too', () => {
    const low = n('E2', 8).replace('</step>', '</step><alter>-0.5</alter>');
    for (const rest of ['', TAB_CLEF + tab('E4 B3 G3 D3 A2 E2')]) {
      const { phrase, listed } = imported(score([attributes({ rest }) + low]));
      expect(lines(phrase)).toEqual(['0+40320 E2']);
      expect(listed.join()).toContain('a quarter tone that no string can be bent up to');
      expect(listed.join()).not.toContain('seven strings');
    }
  });
});

describe('keys', () => {
  it.each([
    [key(-3, 'major'), 'Eb major'],
    [key(-3, 'minor'), 'C minor'],
    [key(4, 'minor'), 'C# minor'],
    [key(0, 'dorian'), 'D minor'],
    [key(0, 'mixolydian'), 'G major'],
    [key(-1, 'phrygian'), 'A minor'],
    [key(7, 'major'), 'C# major'],
    [key(9, 'major'), 'Eb major'],
  ])('%s', (text, expected) => {
    const { phrase } = imported(score([attributes({ key: text }) + n('E4', 8)]));
    const { tonic, mode } = phrase.key;
    const sign = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#', 2: '##' }[tonic.alter];
    expect(`${tonic.letter}${sign} ${mode}`).toBe(expected);
  });

  it('church modes, missing modes and later keys are listed', () => {
    const { listed } = imported(
      score([
        attributes({ key: key(1, 'lydian') }) + n('E4', 8),
        `<attributes>${key(2, 'major')}</attributes>${n('E4', 8)}`,
      ]),
    );
    expect(listed.join()).toContain("the mode 'lydian' is kept as major");
    expect(listed.join()).toContain('a change of key is not kept');
    expect(imported(score([attributes({ key: key(1) }) + n('E4', 8)])).listed.join()).toContain(
      'has no mode',
    );
  });
});

describe('tab', () => {
  it('tuning lines count from the bottom, strings from the top (P4)', () => {
    const { phrase } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab('D4 A3 G3 D3 A2 D2') }) +
          n('D2', 2, { technical: at(6, 0) }) +
          n('C#4', 2, { technical: at(2, 4) }) +
          n('F4', 4, { technical: at(1, 3) }),
      ]),
    );
    expect(phrase.instrument.tuning.map(formatPitch)).toEqual(['D4', 'A3', 'G3', 'D3', 'A2', 'D2']);
    expect(places(phrase)).toEqual(['6/0', '2/4', '1/3']);
  });

  it('strings that are named alone, on a staff or as scordatura, change the standard tuning', () => {
    const pitch = '<tuning-step>D</tuning-step><tuning-octave>2</tuning-octave>';
    const staff = `<staff-details><staff-lines>6</staff-lines><staff-tuning line="1">${pitch}</staff-tuning></staff-details>`;
    const scordatura = `<direction><direction-type><scordatura><accord string="6">${pitch}</accord></scordatura></direction-type></direction>`;
    for (const text of [attributes({ rest: staff }), attributes() + scordatura]) {
      const { phrase, listed } = imported(score([text + n('D3', 8)]));
      expect(phrase.instrument.tuning.map(formatPitch).join(' ')).toBe('E4 B3 G3 D3 A2 D2');
      expect(listed.join()).toMatch(/standard tuning/u);
      expect(listed.join()).not.toContain('names no tuning');
    }
  });

  it('re-entrant tunings and other numbers of strings (P4)', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab('A4 E4 C4 G4') }) +
          n('G4', 4, { technical: at(4, 0) }) +
          n('C4', 4, { technical: at(3, 0), chord: true }) +
          n('C5', 4, { technical: at(1, 3) }),
      ]),
    );
    expect(places(phrase)).toEqual(['3/0', '4/0', '1/3']);
    expect(phrase.instrument.clef).toBe('treble');
    expect(listed.join()).not.toContain('string and fret');
  });

  it('a capo: pitch is open string plus capo plus fret (N2)', () => {
    const { phrase } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab(STANDARD, '<capo>3</capo>') }) +
          n('D4', 8, { technical: at(2, 0) }),
      ]),
    );
    expect(phrase.instrument.capo).toBe(3);
    expect(places(phrase)).toEqual(['2/0']);
    expect(lines(phrase)).toEqual(['0+40320 D4']);
  });

  it('a part written an octave above what its frets sound is read by the frets', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab(STANDARD) }) +
          n('A5', 4, { technical: at(1, 5) }) +
          n('F#5', 4, { technical: at(2, 7) }),
      ]),
    );
    expect(lines(phrase).map((l) => l.split(' ')[1])).toEqual(['A4', 'F#4']);
    expect(places(phrase)).toEqual(['1/5', '2/7']);
    expect(listed.join()).toContain('written an octave above');
  });

  it('a fret that does not sound its pitch is put right, the pitch kept, and listed', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab(STANDARD) }) +
          n('A4', 2, { technical: at(1, 5) }) +
          n('B4', 2, { technical: at(1, 8) }) +
          n('C5', 4, { technical: at(1, 8) }),
      ]),
    );
    expect(places(phrase)).toEqual(['1/5', '1/7', '1/8']);
    expect(listed.filter((l) => l.includes('put right'))).toHaveLength(1);
    expect(listed.join()).toMatch(/bar 1, beat 2: a fret/u);
  });

  it('a string alone or a fret alone is enough where it fits', () => {
    const { phrase } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab(STANDARD) }) +
          n('D4', 4, { technical: '<string>3</string>' }) +
          n('C#4', 4, { technical: '<fret>6</fret>' }),
      ]),
    );
    expect(places(phrase)).toEqual(['3/7', '3/6']);
  });

  it('two notes on one string at once: one is moved, and listed', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: TAB_CLEF + tab(STANDARD) }) +
          n('B4', 8, { technical: at(2, 12) }) +
          n('G4', 8, { technical: at(2, 8), chord: true }),
      ]),
    );
    expect(places(phrase)[0]).not.toBe(places(phrase)[1]?.split('/')[0]);
    expect(new Set(places(phrase).map((p) => p.split('/')[0])).size).toBe(2);
    expect(listed.join()).toContain('two notes on one string');
  });
});

describe('strings that a file uses twice at once', () => {
  const strings = attributes({ rest: TAB_CLEF + tab(STANDARD) });

  it('in a chord: a note that no other string can sound is left out, and listed', () => {
    const { phrase, listed } = imported(
      score([
        strings +
          n('A2', 8, { technical: at(6, 5) }) +
          n('F#2', 8, { technical: at(6, 2), chord: true }),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+40320 A2']);
    expect(listed.join()).toContain('one is left out (dropped)');
  });

  it('across the voices: the second voice moves', () => {
    const { phrase, listed } = imported(
      score([
        strings +
          n('B3', 8, { technical: at(3, 4) }) +
          move('backup', 8) +
          n('rest', 4, { voice: '2' }) +
          n('G#3', 4, { voice: '2', technical: at(3, 1) }),
      ]),
    );
    expect(places(phrase)).toEqual(['3/4', '4/6']);
    expect(listed.join()).toContain('bar 1, beat 3: two notes on one string');
    // One that begins when the other ends has the string to itself.
    const after = imported(
      score([
        strings +
          n('B3', 4, { technical: at(3, 4) }) +
          n('rest', 4) +
          move('backup', 8) +
          n('rest', 4, { voice: '2' }) +
          n('G#3', 4, { voice: '2', technical: at(3, 1) }),
      ]),
    );
    expect(places(after.phrase)).toEqual(['3/4', '3/1']);
  });

  it('a note that is there twice is kept once', () => {
    const twice = n('A3', 8, { technical: at(4, 7) });
    const { phrase, listed } = imported(
      score([strings + twice + twice.replace('<note>', '<note><chord/>')]),
    );
    expect(places(phrase)).toEqual(['4/7']);
    expect(listed.join()).toContain('there twice');
  });

  it('a note that two voices share sounds once, in the longer one', () => {
    const { phrase, listed } = imported(
      score([
        attributes() +
          n('A3', 2) +
          n('C4', 6) +
          move('backup', 8) +
          n('A3', 8, { voice: '2' }) +
          n('E3', 8, { voice: '2', chord: true }),
      ]),
    );
    expect(lines(phrase, 0)).toEqual(['10080+30240 C4']);
    expect(lines(phrase, 1)).toEqual(['0+40320 A3 E3']);
    expect(listed.join()).toContain('shared by two voices');
  });
});

describe('tab beside notation', () => {
  const both =
    '<staves>2</staves><clef number="1"><sign>G</sign><line>2</line></clef><clef number="2"><sign>TAB</sign><line>5</line></clef>' +
    tab(STANDARD).replace('<staff-details>', '<staff-details number="2">');

  it('is merged by onset and pitch; techniques come from either (N2)', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: both }) +
          n('D4', 4, { staff: 1, notations: '<articulations><accent/></articulations>' }) +
          n('E4', 4, { staff: 1 }) +
          n('G4', 4, { staff: 1, chord: true }) +
          move('backup', 8) +
          n('D4', 4, { staff: 2, voice: '5', technical: `<hammer-on type="start"/>${at(4, 12)}` }) +
          n('G4', 4, { staff: 2, voice: '5', technical: at(3, 12) }) +
          n('E4', 4, {
            staff: 2,
            voice: '5',
            chord: true,
            technical: `<hammer-on type="stop"/>${at(4, 14)}`,
          }),
      ]),
    );
    expect(phrase.voices).toHaveLength(1);
    expect(lines(phrase)).toEqual(['0+20160 D4', '20160+20160 G4 E4']);
    expect(places(phrase)).toEqual(['4/12', '3/12', '4/14']);
    const [first, second] = phrase.voices[0].events;
    expect(first?.accent).toBe(true);
    expect(second?.notes.map((x) => (x.kind === 'pitched' ? x.attack : ''))).toEqual([
      undefined,
      'hammer-on',
    ]);
    expect(listed.join()).not.toContain('tab');
  });

  it('what the tab has alone is listed with its place and left out', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: both }) +
          n('D4', 4, { staff: 1 }) +
          n('E4', 4, { staff: 1 }) +
          move('backup', 8) +
          n('D4', 4, { staff: 2, voice: '5', technical: at(4, 12) }) +
          n('F4', 4, { staff: 2, voice: '5', technical: at(4, 15) }),
      ]),
    );
    expect(lines(phrase).map((l) => l.split(' ')[1])).toEqual(['D4', 'E4']);
    expect(listed.join()).toContain(
      'bar 1, beat 3: the tab has a note that the staff does not have',
    );
  });

  it('an octave between the staves does not keep them apart', () => {
    const { phrase, listed } = imported(
      score([
        attributes({ rest: both }) +
          n('D5', 8, { staff: 1 }) +
          move('backup', 8) +
          n('D4', 8, { staff: 2, voice: '5', technical: at(4, 12) }),
      ]),
    );
    expect(lines(phrase)).toEqual(['0+40320 D4']);
    expect(places(phrase)).toEqual(['4/12']);
    expect(listed.join()).toContain('an octave above');
  });
});

describe('strings and frets where the file has none', () => {
  it('come from the fingering engine and can be played (N3)', () => {
    const run = ['A3', 'C4', 'D4', 'E4', 'G4', 'A4', 'G4', 'E4'];
    const { phrase, listed } = imported(score([attributes() + run.map((p) => n(p, 1)).join('')]));
    expect(checkPlayable(phrase)).toEqual([]);
    expect(listed.join()).toContain('string and fret of 8 notes are chosen here by the fingering');
  });

  it('keep hammer-ons, pull-offs and slides on one string', () => {
    const start = (kind: string) => `<${kind} type="start"/>`;
    const stop = (kind: string) => `<${kind} type="stop"/>`;
    const { phrase } = imported(
      score([
        attributes() +
          n('C4', 2, { technical: start('hammer-on') }) +
          n('D4', 2, { technical: stop('hammer-on') + start('pull-off') }) +
          n('C4', 2, { technical: stop('pull-off'), notations: start('slide') }) +
          n('F4', 2, { notations: stop('slide') }),
      ]),
    );
    const strings = phrase.voices[0].events.map((e) => e.notes[0].string);
    expect(new Set(strings).size).toBe(1);
    const attacks = phrase.voices[0].events.map((e) =>
      e.notes[0].kind === 'pitched' ? e.notes[0].attack : null,
    );
    expect(attacks).toEqual([undefined, 'hammer-on', 'pull-off', 'slide-plucked']);
  });

  it('hammer-ons that cannot be are turned or plucked before the neck is asked', () => {
    const start = '<hammer-on type="start"/>';
    const stop = '<hammer-on type="stop"/>';
    const { phrase, listed } = imported(
      score([
        attributes() +
          n('D4', 2, { technical: start }) +
          n('C4', 2, { technical: stop + start }) +
          n('C4', 4, { technical: stop }),
      ]),
    );
    const attacks = phrase.voices[0].events.map((e) =>
      e.notes[0].kind === 'pitched' ? e.notes[0].attack : null,
    );
    expect(attacks).toEqual([undefined, 'pull-off', undefined]);
    expect(listed.join()).toContain('a hammer-on the wrong way is read as a pull-off');
    expect(listed.join()).toContain('bar 1, beat 3: a hammer-on without a note to start from');
    expect(listed.join()).toContain('by the fingering rules');
  });

  it('respect the ones that are given', () => {
    const { phrase } = imported(
      score([attributes() + n('E4', 4, { technical: at(3, 9) }) + n('G4', 2) + n('B4', 2)]),
    );
    expect(places(phrase)[0]).toBe('3/9');
    expect(checkPlayable(phrase)).toEqual([]);
  });

  it('a neck of more frets is assumed where the notes need it', () => {
    const { phrase, listed } = imported(score([attributes() + n('E6', 8)]));
    expect(phrase.instrument.frets).toBe(24);
    expect(listed.join()).toContain('need 24 frets');
  });

  it('a bass by its clef', () => {
    const clef =
      '<clef><sign>F</sign><line>4</line><clef-octave-change>-1</clef-octave-change></clef>';
    const { phrase } = imported(score([attributes({ rest: clef }) + n('E1', 8)]));
    expect(phrase.instrument.tuning.map(formatPitch)).toEqual(['G2', 'D2', 'A1', 'E1']);
    expect(phrase.instrument.clef).toBe('bass-8');
  });

  it('notes outside the instrument are refused with bar, beat and the octave that would do', () => {
    const [problem] = refused(score([attributes() + n('C5', 2) + n('A6', 2) + n('C6', 4)]));
    expect(problem).toMatchObject({ bar: 1, beat: 2 });
    expect(problem?.message).toContain('A6 cannot be played');
    expect(problem?.fix).toBe('Read it with the octave -1.');
    const [far] = refused(score([attributes() + n('C2', 4) + n('A6', 4)]));
    expect(far?.message).toContain('C2 and 1 more note cannot be played');
    expect(far?.fix).toContain('Choose another part');
  });

  it('another part with an octave is named where neither alone would do', () => {
    const part = (id: string, music: string) =>
      `<part id="${id}"><measure number="1">${attributes()}${music}</measure></part>`;
    const two = `<score-partwise><part-list><score-part id="P1"><part-name>Harp</part-name></score-part>
<score-part id="P2"><part-name>Flute</part-name></score-part></part-list>
${part('P1', n('C2', 4) + n('A6', 4))}${part('P2', n('C5', 4) + n('A6', 4))}</score-partwise>`;
    const [problem] = refused(two);
    expect(problem?.fix).toBe('Read part 2 with the octave -1.');
    const read = readMusicXml(two, {
      now: '2026-11-27T10:00:00Z',
      newId: counter(),
      part: 2,
      octave: -1,
    });
    expect(read.ok).toBe(true);
  });

  it('a chord of more notes than strings is refused with its place', () => {
    const chord = ['E2', 'G2', 'B2', 'D3', 'F3', 'A3', 'C4'].map((p, i) =>
      n(p, 4, { chord: i > 0 }),
    );
    const [problem] = refused(score([attributes() + n('C5', 4) + chord.join('')]));
    expect(problem).toMatchObject({ bar: 1, beat: 3 });
    expect(problem?.message).toContain('the 7 notes struck here cannot sound at once');
  });
});

it('a step of no length, which some programs write, moves nothing', () => {
  const still = '<forward><duration>0</duration></forward>';
  const { phrase } = imported(score([attributes() + n('C4', 4) + still + n('E4', 4)]));
  expect(phrase.voices[0].events.map((e) => e.onset)).toEqual([0, 20_160]);
});

describe('what to read', () => {
  const OPTIONS = { now: '2026-11-27T10:00:00Z' };
  const high = score([attributes() + n('C5', 4) + n('A6', 4)]);

  it('an octave on request, with the fret it needs', () => {
    const read = readMusicXml(high, { ...OPTIONS, newId: counter(), octave: -1 });
    if (!read.ok) throw new Error(read.problems[0]?.message);
    expect(lines(read.value.phrase).map((l) => l.split(' ').at(-1))).toEqual(['C4', 'A5']);
  });

  it('an octave that was chosen is not proposed again', () => {
    const read = readMusicXml(high, { ...OPTIONS, newId: counter(), octave: 1 });
    expect(!read.ok && read.problems[0]?.fix).not.toContain('Read it with');
  });

  it.each([
    ['seven strings', 'B1', 'a guitar with seven strings', 7],
    ['a bass', 'E1', 'a bass in E1 A1 D2 G2', 4],
    ['a bass with five strings', 'B0', 'a bass with five strings', 5],
  ])(
    'notes below the guitar are read for %s where no tuning is named',
    (_, low, words, strings) => {
      const { phrase, listed } = imported(score([attributes() + n(low, 4) + n('G2', 4)]));
      expect(phrase.instrument.tuning).toHaveLength(strings);
      expect(listed.join('\n')).toContain(words);
      encodePhrase(phrase);
    },
  );
});

function counter() {
  let next = 0;
  return () => `n${next++}`;
}

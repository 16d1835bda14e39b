import { describe, expect, it } from 'vitest';
import type { Note, Phrase, PhraseEvent, PitchedNote } from '../../../../../src/core/phrase/types';
import { bendSemitones } from '../../../../../src/core/phrase/walk';
import { formatPitch } from '../../../../../src/core/theory/pitch';
import { readMusicXml } from '../../../../../src/io/musicxml/read/read-musicxml';
import { writeMusicXml } from '../../../../../src/io/musicxml/write/write-musicxml';
import { readQuick } from '../../../../../src/io/quick/read';
import { at, attributes, imported, type NoteText, n, score } from '../../../../support/score-text';

/*
 * Techniques of plain files, by the table of section 6. Source of the elements: W3C MusicXML 4.0
 * reference; the pre-bend is the W3C's own example. Which sign means which technique is common
 * practice where the reference leaves it open.
 */

const TAB =
  '<clef><sign>TAB</sign><line>5</line></clef><staff-details><staff-lines>6</staff-lines>' +
  ['E2', 'A2', 'D3', 'G3', 'B3', 'E4']
    .map(
      (p, i) =>
        `<staff-tuning line="${i + 1}"><tuning-step>${p[0]}</tuning-step><tuning-octave>${p[1]}</tuning-octave></staff-tuning>`,
    )
    .join('') +
  '</staff-details>';

/** A file whose notes stand at string/fret. */
const file = (...notes: string[]) => imported(score([attributes({ rest: TAB }) + notes.join('')]));

const OPEN = [64, 59, 55, 50, 45, 40];
const NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];

/** A note at a place, its pitch reckoned from standard tuning. */
function p(string: number, fret: number, duration: number, o: NoteText = {}): string {
  const midi = OPEN[string - 1]! + fret;
  const pitch = `${NAMES[midi % 12]}${Math.floor(midi / 12) - 1}`;
  return n(pitch, duration, { ...o, technical: `${o.technical ?? ''}${at(string, fret)}` });
}

function events(f: ReturnType<typeof file>): readonly PhraseEvent[] {
  return f.phrase.voices[0].events;
}

function pitched(note: Note | undefined): PitchedNote {
  if (note?.kind !== 'pitched') throw new Error('no pitched note');
  return note;
}

function first(f: ReturnType<typeof file>, event = 0): PitchedNote {
  return pitched(events(f)[event]?.notes[0]);
}

const bend = (alter: number, inside = '', attributesText = '') =>
  `<bend${attributesText}><bend-alter>${alter}</bend-alter>${inside}</bend>`;

describe('bends', () => {
  const one = (...bends: string[]) => file(p(3, 7, 8, { technical: bends.join('') }));

  it.each([
    ['full', [bend(2)], 'bend', 'E4'],
    ['half', [bend(1)], 'bend', 'D#4'],
    ['one and a half', [bend(3)], 'bend', 'F4'],
    ['and release', [bend(2), bend(-2, '<release/>')], 'bend-release', 'E4'],
    ['and release told by the sign alone', [bend(2), bend(-2)], 'bend-release', 'E4'],
    ['pre-bend, negative as in the W3C example', [bend(-2, '<pre-bend/>')], 'pre-bend', 'E4'],
    ['pre-bend, positive: the element decides', [bend(2, '<pre-bend/>')], 'pre-bend', 'E4'],
    [
      'pre-bend and release',
      [bend(-1, '<pre-bend/>'), bend(-1, '<release/>')],
      'pre-bend-release',
      'D#4',
    ],
    [
      'release, positive: the element decides',
      [bend(2), bend(2, '<release/>')],
      'bend-release',
      'E4',
    ],
  ])('%s', (_, bends, shape, target) => {
    const b = first(one(...bends)).bend;
    expect(b?.shape).toBe(shape);
    expect(
      b !== undefined && b.shape !== 'curl' ? formatPitch(b.target).replace('Eb', 'D#') : '',
    ).toBe(target);
  });

  it('a quarter tone is a curl', () => {
    const f = one(bend(0.5));
    expect(first(f).bend?.shape).toBe('curl');
    expect(f.listed.join()).not.toContain('bend');
  });

  it('the timing is in percent of the note, by default from 25 to 75 (bend-sound)', () => {
    const timed = first(one(bend(2, '', ' first-beat="10" last-beat="40"')));
    expect(timed.bend?.curve).toEqual([
      { at: 0, amount: 0 },
      { at: 10, amount: 0 },
      { at: 40, amount: 100 },
      { at: 100, amount: 100 },
    ]);
    expect(first(one(bend(2))).bend?.curve).toEqual([
      { at: 0, amount: 0 },
      { at: 25, amount: 0 },
      { at: 75, amount: 100 },
      { at: 100, amount: 100 },
    ]);
  });

  it('the target is named as the chord has it: a semitone up from ♭3 is 3', () => {
    const chord = '<harmony><root><root-step>C</root-step></root><kind>dominant</kind></harmony>';
    const f = file(chord, n('Eb4', 8, { technical: bend(1) + at(3, 8) }));
    expect(first(f).bend).toMatchObject({ target: { letter: 'E', alter: 0, octave: 4 } });
  });

  it('each note of a double stop has its own width; one may be held', () => {
    const f = file(
      p(3, 5, 4, { technical: bend(2) }),
      p(2, 5, 4, { technical: bend(1), chord: true }),
      p(3, 9, 4, { technical: bend(2) }),
      p(2, 8, 4, { chord: true }),
    );
    const widths = events(f).map((e) => e.notes.map((x) => bendSemitones(pitched(x))));
    expect(widths).toEqual([
      [1, 2],
      [0, 2],
    ]);
  });

  it('over tied notes it belongs to the whole', () => {
    const f = file(
      p(3, 7, 4, { tie: ['start'], technical: bend(2) }),
      p(3, 7, 4, { tie: ['stop'], technical: bend(-2, '<release/>') }),
    );
    expect(events(f)).toHaveLength(1);
    expect(first(f).bend?.shape).toBe('bend-release');
  });

  it('that stands at the second of tied notes begins there', () => {
    const f = file(
      p(3, 7, 4, { tie: ['start'] }),
      p(3, 7, 4, { tie: ['stop'], technical: bend(2) }),
    );
    expect(events(f)).toHaveLength(1);
    // The second half; by the standard from 25 to 75 percent of the note that carries it.
    expect(first(f).bend?.curve.map((c) => `${c.at} ${c.amount}`)).toEqual([
      '0 0',
      '62.5 0',
      '87.5 100',
      '100 100',
    ]);
  });

  it('too wide for its string is narrowed, odd widths go to whole semitones; listed (M10)', () => {
    const low = file(p(6, 5, 8, { technical: bend(4) }));
    expect(bendSemitones(first(low))).toBe(2);
    expect(low.listed.join()).toContain('it is bent 2 semitones');
    const odd = one(bend(1.75));
    expect(bendSemitones(first(odd))).toBe(2);
    expect(odd.listed.join()).toContain('a bend of 1.75 semitones is kept as 2');
  });

  it('of an open string cannot be, and is listed', () => {
    const f = file(p(3, 0, 8, { technical: bend(2) }));
    expect(first(f).bend).toBeUndefined();
    expect(f.listed.join()).toContain('an open string cannot be bent: the bend is left out');
  });

  it('with the bar is a dip', () => {
    const f = one(bend(-2, '<with-bar>dip</with-bar>'));
    expect(first(f)).toMatchObject({ barDip: 2 });
    expect(first(f).bend).toBeUndefined();
  });
});

const span = (name: string, type: string, number = 1) =>
  `<${name} type="${type}" number="${number}"/>`;

describe('slides', () => {
  it('between notes: with a slur not plucked again, without it plucked', () => {
    const f = file(
      p(3, 5, 2, { notations: span('slide', 'start') + span('slur', 'start') }),
      p(3, 7, 2, {
        notations: span('slide', 'stop') + span('slur', 'stop') + span('slide', 'start', 2),
      }),
      p(3, 9, 4, { notations: span('slide', 'stop', 2) }),
    );
    expect(events(f).map((e) => pitched(e.notes[0]).attack)).toEqual([
      undefined,
      'slide',
      'slide-plucked',
    ]);
  });

  it('from a grace note is a slide-in over that interval, in double stops by number', () => {
    const f = file(
      p(3, 9, 0, { grace: true, notations: span('slide', 'start') + span('slur', 'start') }),
      p(2, 9, 0, {
        grace: true,
        chord: true,
        notations: span('slide', 'start', 2) + span('slur', 'start', 2),
      }),
      p(3, 10, 8, { notations: span('slide', 'stop') + span('slur', 'stop') }),
      p(2, 10, 8, { chord: true, notations: span('slide', 'stop', 2) + span('slur', 'stop', 2) }),
    );
    const below = { kind: 'interval', from: 'below', semitones: 1 };
    expect(events(f)[0]?.notes.map((x) => pitched(x).slideIn)).toEqual([below, below]);
    expect(events(f)[0]?.graces).toBeUndefined();
  });

  it('from and to nowhere', () => {
    const mark = (name: string) => ({ notations: `<articulations><${name}/></articulations>` });
    const f = file(
      p(3, 5, 2, mark('scoop')),
      p(3, 7, 2, mark('plop')),
      p(3, 5, 2, mark('doit')),
      p(3, 7, 2, mark('falloff')),
    );
    expect(
      events(f).map((e) => [pitched(e.notes[0]).slideIn, pitched(e.notes[0]).slideOut]),
    ).toEqual([
      [{ kind: 'indefinite', from: 'below' }, undefined],
      [{ kind: 'indefinite', from: 'above' }, undefined],
      [undefined, 'up'],
      [undefined, 'down'],
    ]);
  });

  it('a glissando is kept as a slide and listed', () => {
    const f = file(
      p(3, 5, 4, { notations: span('glissando', 'start') }),
      p(3, 9, 4, { notations: span('glissando', 'stop') }),
    );
    expect(first(f, 1).attack).toBe('slide-plucked');
    expect(f.listed.join()).toContain('a glissando is kept as a slide');
  });
});

describe('hammer-ons and pull-offs', () => {
  it('under one slur, as in the tutorial of the W3C', () => {
    const f = file(
      p(3, 8, 2, { technical: span('pull-off', 'start'), notations: span('slur', 'start') }),
      p(3, 7, 2, { technical: span('pull-off', 'stop') + span('pull-off', 'start') }),
      p(3, 5, 4, { technical: span('pull-off', 'stop'), notations: span('slur', 'stop') }),
    );
    expect(events(f).map((e) => pitched(e.notes[0]).attack)).toEqual([
      undefined,
      'pull-off',
      'pull-off',
    ]);
    expect(f.listed.join()).not.toContain('slur');
  });

  it('the start may stand before the stop in the file', () => {
    const f = file(
      p(3, 5, 2, { technical: span('hammer-on', 'start') }),
      p(3, 7, 2, { technical: span('hammer-on', 'start') + span('hammer-on', 'stop') }),
      p(3, 8, 4, { technical: span('hammer-on', 'stop') }),
    );
    expect(events(f).map((e) => pitched(e.notes[0]).attack)).toEqual([
      undefined,
      'hammer-on',
      'hammer-on',
    ]);
  });

  it('from a grace note', () => {
    const f = file(
      p(3, 5, 0, { grace: true, technical: span('hammer-on', 'start') }),
      p(3, 7, 8, { technical: span('hammer-on', 'stop') }),
    );
    expect(first(f).attack).toBe('hammer-on');
    expect(events(f)[0]?.graces?.[0].notes[0]).toMatchObject({ string: 3, fret: 5 });
  });

  it('the wrong way round are turned, from nowhere are plucked; both listed', () => {
    const f = file(
      p(3, 7, 2, { technical: span('hammer-on', 'start') }),
      p(3, 5, 2, { technical: span('hammer-on', 'stop') }),
      n('rest', 2),
      p(2, 5, 2, { technical: span('pull-off', 'stop') }),
    );
    expect(events(f).map((e) => pitched(e.notes[0]).attack)).toEqual([
      undefined,
      'pull-off',
      undefined,
    ]);
    expect(f.listed.join()).toContain('does not go up: it is a pull-off');
    expect(f.listed.join()).toMatch(/bar 1, beat 4: a pull-off has no note before it/u);
  });

  it('a tap', () => {
    expect(first(file(p(2, 12, 8, { technical: '<tap>T</tap>' }))).attack).toBe('tap');
  });

  it('a slur alone is not kept, and listed', () => {
    const f = file(
      p(3, 5, 4, { notations: span('slur', 'start') }),
      p(3, 7, 4, { notations: span('slur', 'stop') }),
    );
    expect(first(f, 1).attack).toBeUndefined();
    expect(f.listed.join()).toContain('slurs without hammer-on');
  });
});

describe('shakes', () => {
  const ornaments = (x: string) => ({ notations: `<ornaments>${x}</ornaments>` });
  const wave = (type: string, smufl = '') =>
    `<wavy-line type="${type}" number="1"${smufl === '' ? '' : ` smufl="${smufl}"`}/>`;

  it('a wavy line is vibrato, narrow or wide, over every note under it', () => {
    const f = file(
      p(3, 5, 2, ornaments(wave('start', 'guitarWideVibratoStroke') + wave('stop'))),
      p(3, 7, 2, ornaments(wave('start'))),
      p(3, 9, 2),
      p(3, 7, 2, ornaments(wave('stop'))),
    );
    expect(events(f).map((e) => pitched(e.notes[0]).vibrato)).toEqual([
      'wide',
      'narrow',
      'narrow',
      'narrow',
    ]);
  });

  it('over a tied note of a chord it stays on that note', () => {
    const f = file(
      p(3, 5, 2, { tie: ['start'] }),
      p(2, 5, 2, { tie: ['start'], chord: true, ...ornaments(wave('start')) }),
      p(3, 5, 2, { tie: ['stop', 'start'] }),
      p(2, 5, 2, { tie: ['stop', 'start'], chord: true }),
      p(3, 5, 4, { tie: ['stop'] }),
      p(2, 5, 4, { tie: ['stop'], chord: true, ...ornaments(wave('stop')) }),
    );
    expect(events(f)[0]?.notes.map((x) => pitched(x).vibrato)).toEqual(['narrow', undefined]);
  });

  it('a trill by its step, else to the next note of the key', () => {
    const f = file(
      p(3, 7, 2, ornaments('<trill-mark trill-step="half"/>')),
      p(3, 7, 2, ornaments('<trill-mark trill-step="whole"/>')),
      // C major: above E lies F, above F lies G.
      p(3, 9, 2, ornaments(`<trill-mark/>${wave('start')}${wave('stop')}`)),
      p(3, 10, 1, ornaments('<trill-mark/>')),
      // The next letter above E sharp is no step away in the key, so it is raised.
      n('E#4', 1, { ...ornaments('<trill-mark/>'), technical: at(3, 10) }),
    );
    expect(
      events(f).map((e) => {
        const { trill } = pitched(e.notes[0]);
        return trill === undefined ? '' : formatPitch(trill.upper);
      }),
    ).toEqual(['Eb4', 'E4', 'F4', 'G4', 'F#4']);
    expect(first(f, 2).vibrato).toBeUndefined();
  });

  it('tremolo picking by strokes', () => {
    const f = file(
      p(3, 7, 4, ornaments('<tremolo type="single">3</tremolo>')),
      p(3, 7, 4, ornaments('<tremolo type="start">2</tremolo>')),
    );
    expect(events(f).map((e) => e.tremolo)).toEqual([3, undefined]);
    expect(f.listed.join()).toContain('a tremolo between notes');
  });
});

describe('mutes and heads', () => {
  it('palm mute by <play>, or by words and dashes', () => {
    const play = { extra: '<play><mute>palm</mute></play>' };
    const played = file(p(5, 3, 4, play), p(5, 5, 4));
    expect(events(played).map((e) => e.palmMute)).toEqual([true, undefined]);
    const direction = (x: string) => `<direction><direction-type>${x}</direction-type></direction>`;
    const words = file(
      p(5, 3, 2),
      direction('<words>P.M.</words>').replace(
        '</direction-type>',
        '</direction-type><direction-type><dashes type="start" number="1"/></direction-type>',
      ),
      p(5, 3, 2),
      p(5, 5, 2),
      direction('<dashes type="stop" number="1"/>'),
      p(5, 7, 2),
    );
    expect(events(words).map((e) => e.palmMute)).toEqual([undefined, true, true, undefined]);
    expect(words.phrase.marks).toEqual([]);
  });

  it('let ring by a tie into nothing, or by words', () => {
    const tied = file(p(2, 5, 8, { notations: '<tied type="let-ring"/>' }));
    expect(first(tied).letRing).toBe(true);
    const words = file(
      '<direction><direction-type><words>let ring</words></direction-type></direction>',
      p(2, 5, 4),
      p(2, 5, 4),
    );
    expect(events(words).map((e) => pitched(e.notes[0]).letRing)).toEqual([true, undefined]);
  });

  it('dead notes keep their string and fret; unpitched ones without a place cannot', () => {
    const f = file(
      p(4, 5, 4, { head: '<notehead>x</notehead>' }),
      n('x', 2, { technical: at(5, 5), head: '<notehead>x</notehead>' }),
      n('x', 2),
    );
    expect(events(f).map((e) => e.notes[0])).toMatchObject([
      { kind: 'dead', string: 4, fret: 5 },
      { kind: 'dead', string: 5, fret: 5 },
    ]);
    expect(f.listed.join()).toContain('unpitched notes without string and fret');
  });

  it('dead notes of a staff without tab go to a string that sounds their pitch', () => {
    const { phrase, listed } = imported(
      score([attributes() + n('C4', 4, { head: '<notehead>x</notehead>' }) + n('C4', 4)]),
    );
    const [dead, sounding] = phrase.voices[0].events.map((e) => e.notes[0]);
    expect(dead?.kind).toBe('dead');
    expect([dead?.string, dead?.fret]).toEqual([sounding?.string, sounding?.fret]);
    // The x may have meant something else to whoever wrote it, so it is said.
    expect(listed.join()).toContain('a note with an x for its head is a dead note');
  });

  it('a ghost note has its head in parentheses', () => {
    const f = file(p(3, 5, 8, { head: '<notehead parentheses="yes">normal</notehead>' }));
    expect(first(f).ghost).toBe(true);
  });

  it('a rake is muted grace notes', () => {
    const rake = (string: number) =>
      p(string, 5, 0, {
        grace: true,
        head: '<notehead>x</notehead>',
        technical: '<other-technical>rake</other-technical>',
      });
    const f = file(rake(4), rake(3), rake(2), p(1, 8, 8));
    expect(events(f)[0]?.rake).toEqual([4, 3, 2]);
    expect(events(f)[0]?.graces).toBeUndefined();
  });
});

describe('harmonics', () => {
  const harmonic = (x: string) => ({ technical: `<harmonic>${x}</harmonic>` });

  it('a natural one over the node has the pitch that is heard, however it is written', () => {
    const f = file(
      n('G4', 2, { technical: `<harmonic><natural/><sounding-pitch/></harmonic>${at(3, 12)}` }),
      // Written at the node's own pitch, a D over the seventh fret.
      n('D4', 2, { technical: `<harmonic><natural/><touching-pitch/></harmonic>${at(3, 7)}` }),
      n('G3', 4, { technical: `<harmonic><natural/><base-pitch/></harmonic>${at(3, 5)}` }),
    );
    const read = events(f).map((e) => {
      const x = pitched(e.notes[0]);
      return [formatPitch(x.pitch), x.fret, x.harmonic?.above];
    });
    // The nodes of M11: 12 gives +12, 7 gives +19, 5 gives +24 over the open G3.
    expect(read).toEqual([
      ['G4', 12, 12],
      ['D5', 7, 19],
      ['G5', 5, 24],
    ]);
  });

  it('without string and fret a natural one goes to a node that sounds it', () => {
    const { phrase } = imported(
      score([attributes() + n('B4', 8, harmonic('<natural/><sounding-pitch/>'))]),
    );
    const note = pitched(phrase.voices[0].events[0]?.notes[0]);
    expect([note.string, note.fret, note.harmonic?.above]).toEqual([2, 12, 12]);
    // Touched at C4, which is the fifth fret of the G string: two octaves above that are heard.
    const touched = imported(
      score([attributes() + n('C4', 8, harmonic('<natural/><touching-pitch/>'))]),
    );
    const over = pitched(touched.phrase.voices[0].events[0]?.notes[0]);
    expect([over.string, over.fret, formatPitch(over.pitch)]).toEqual([3, 5, 'G5']);
  });

  it('artificial and pinch harmonics have the pitch of the fretted note', () => {
    const f = file(
      p(3, 5, 4, harmonic('<artificial/>')),
      p(3, 5, 2, {
        technical:
          '<harmonic><artificial/><base-pitch/></harmonic><other-technical>pinch harmonic</other-technical>',
      }),
      n('C5', 2, { technical: `<harmonic><artificial/><sounding-pitch/></harmonic>${at(3, 5)}` }),
    );
    expect(
      events(f).map((e) => {
        const x = pitched(e.notes[0]);
        return `${formatPitch(x.pitch)} ${x.harmonic?.kind} ${x.harmonic?.above}`;
      }),
    ).toEqual(['C4 artificial 12', 'C4 pinch 12', 'C4 artificial 12']);
  });

  it('one that no string can sound is a plain note, and listed', () => {
    const f = imported(score([attributes() + n('C5', 8, harmonic('<natural/>'))]));
    expect(pitched(f.phrase.voices[0].events[0]?.notes[0]).harmonic).toBeUndefined();
    expect(f.listed.join()).toContain('a harmonic that no string can sound there');
  });
});

describe('striking and fingers', () => {
  it('bow signs are pick strokes; an arpeggio upwards is a down-strum', () => {
    const chord = (direction: string) => {
      const notations = `<arpeggiate${direction}/>`;
      return p(3, 5, 2, { notations }) + p(2, 5, 2, { notations, chord: true });
    };
    const f = file(
      p(3, 5, 1, { technical: '<down-bow/>' }),
      p(3, 5, 1, { technical: '<up-bow/>' }),
      chord(' direction="up"'),
      chord(' direction="down"'),
      chord(''),
    );
    expect(events(f).map((e) => e.stroke ?? e.strum)).toEqual(['down', 'up', 'down', 'up', 'down']);
    expect(events(f).map((e) => e.strum !== undefined)).toEqual([false, false, true, true, true]);
  });

  it('articulations', () => {
    const mark = (x: string) => ({ notations: `<articulations>${x}</articulations>` });
    const f = file(
      p(3, 5, 2, mark('<staccato/>')),
      p(3, 5, 2, mark('<accent/>')),
      p(3, 5, 2, mark('<tenuto/>')),
      p(3, 5, 2, mark('<detached-legato/><strong-accent/><breath-mark/>')),
    );
    expect(events(f).map((e) => [e.staccato, e.accent, e.tenuto])).toEqual([
      [true, undefined, undefined],
      [undefined, true, undefined],
      [undefined, undefined, true],
      [true, true, true],
    ]);
    expect(f.listed.join()).toContain('breath mark: not kept');
    expect(f.listed.join()).toContain('a strong accent is kept as an accent');
  });

  it('fingers of both hands, and what has no place here', () => {
    const f = file(
      p(3, 5, 4, { technical: '<fingering>3</fingering><pluck>i</pluck>' }),
      p(3, 7, 4, { technical: '<fingering>5</fingering><pluck>x</pluck><snap-pizzicato/>' }),
    );
    expect(first(f)).toMatchObject({ finger: 3, pluck: 'i' });
    expect([first(f, 1).finger, first(f, 1).pluck]).toEqual([undefined, undefined]);
    expect(f.listed.filter((l) => l.includes('bar 1, beat 3'))).toHaveLength(3);
  });
});

describe('a tied unison with vibrato on one string', () => {
  const strings = (p: Phrase) =>
    p.voices[0].events.map((e) =>
      e.notes.map((x) => [x.string, x.kind === 'pitched' ? (x.vibrato ?? '') : 'x']),
    );
  it.each(['3:9~+2:5', '3:9+2:5~', '3:9~~+2:5~', '2:8+1:3~'])('%s comes back equal', (chord) => {
    for (const length of ['w', 'w_w_h']) {
      const written = readQuick(`h r ${length} ${chord} q 1:0`, ORIGIN);
      if (!written.ok) throw new Error(written.problems[0]?.message);
      for (const staves of ['both', 'staff', 'tab'] as const) {
        const xml = writeMusicXml(written.value, { staves });
        const read = readMusicXml(xml, { newId: () => 'x', now: ORIGIN.now });
        if (!read.ok) throw new Error(read.problems[0]?.message);
        expect(strings(read.value.phrase), `${length} ${staves}`).toEqual(strings(written.value));
      }
    }
  });
});

const ORIGIN = { id: 'x', now: '2026-11-27T10:00:00Z' };

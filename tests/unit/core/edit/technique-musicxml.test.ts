import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { writeMusicXml } from '../../../../src/io/musicxml/write/write-musicxml';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { chosen, cursorOn, ordered } from '../../../support/technique';

/* Names of elements: MusicXML 4.0, W3C Community Group Final Report. */

const c7 = (line: string) => build(line, { chords: 'C7' });
const one = cursorOn(c7('w 3/7'), 3);
const line = cursorOn(c7('h 3/5 3/7'), 3, 1);
const two = cursorOn(c7('w 3/7+2/8'), 3);

/** The notes of the tablature staff in order, without space between the tags. */
function notesOf(p: Phrase): string[] {
  const xml = writeMusicXml(p, { staves: 'tab' }).replace(/>\s+</gu, '><');
  return xml.match(/<note[ >].*?<\/note>/gu) ?? [];
}

const xmlOf = (p: Phrase) => notesOf(p).join('\n');

describe('what a key writes in MusicXML 4.0', () => {
  it.each<[string, Phrase, RegExp]>([
    [
      '<bend-alter> positive, pitch and fret of the start',
      press(one, 'B').phrase,
      /<step>D<\/step><octave>4<.*<bend [^>]*><bend-alter>2<\/bend-alter><\/bend>.*<fret>7</u,
    ],
    ['<bend-alter> 0.5 for a curl', press(one, 'c').phrase, /<bend-alter>0\.5<\/bend-alter>/u],
    [
      '<release> in a second, negative <bend>',
      press(one, 'B', 'B').phrase,
      /<bend-alter>2<\/bend-alter><\/bend><bend[^>]*><bend-alter>-2<\/bend-alter><release offset="\d+"\/>/u,
    ],
    [
      '<pre-bend> with a negative <bend-alter>',
      press(one, 'B', 'B', 'B').phrase,
      /<bend-alter>-2<\/bend-alter><pre-bend\/><\/bend>/u,
    ],
    [
      '<with-bar>, downwards',
      ordered(one, 'hand.bar-dip', 2).phrase,
      /<bend-alter>-2<\/bend-alter><with-bar>dip<\/with-bar>/u,
    ],
    [
      '<hammer-on> with <slur>',
      press(line, 'h').phrase,
      /<slur type="start".*<hammer-on type="start"[^>]*>H<.*\n.*<slur type="stop".*<hammer-on type="stop"/u,
    ],
    [
      '<pull-off>',
      press(cursorOn(c7('h 3/7 3/5'), 3, 1), 'h').phrase,
      /<pull-off type="start"[^>]*>P<.*\n.*<pull-off type="stop"/u,
    ],
    [
      '<slide> with <slur> where it is not plucked again',
      press(line, '/').phrase,
      /<slide type="start"[^>]*\/><slur type="start".*\n.*<slide type="stop"[^>]*\/><slur type="stop"/u,
    ],
    ['<tap>', press(one, 'T').phrase, /<tap>T<\/tap>/u],
    [
      'a slide-in as <grace> with <slide>',
      press(one, 'a').phrase,
      /<grace [^>]*\/>.*<slide type="start".*<fret>6<\/fret>.*\n.*<slide type="stop".*<fret>7<\/fret>/u,
    ],
    ['<scoop>', ordered(one, 'hand.slide-in', 'somewhere below').phrase, /<scoop\/>/u],
    ['<plop>', ordered(one, 'hand.slide-in', 'somewhere above').phrase, /<plop\/>/u],
    ['<falloff>', press(one, '\\').phrase, /<falloff\/>/u],
    ['<doit>', press(one, '\\', '\\').phrase, /<doit\/>/u],
    [
      '<wavy-line> of a narrow vibrato',
      press(one, 'v').phrase,
      /<wavy-line type="start"[^>]*smufl="guitarVibratoStroke"\/>.*<wavy-line type="stop"/u,
    ],
    [
      '<wavy-line> of a wide vibrato',
      press(one, 'v', 'v').phrase,
      /<wavy-line type="start"[^>]*smufl="guitarWideVibratoStroke"\/>/u,
    ],
    [
      '<trill-mark> of a half step',
      ordered(one, 'hand.trill', 1).phrase,
      /<trill-mark trill-step="half"\/>/u,
    ],
    [
      '<trill-mark> of a whole step',
      ordered(one, 'hand.trill', 2).phrase,
      /<trill-mark trill-step="whole"\/>/u,
    ],
    [
      '<grace> that is hammered from',
      ordered(one, 'hand.grace', '-2 hammer-on').phrase,
      /<grace [^>]*\/>.*<hammer-on type="start".*<fret>5<.*\n.*<hammer-on type="stop"/u,
    ],
    ['<notehead>x of a dead note', press(one, 'x').phrase, /<notehead>x<\/notehead>/u],
    ['a ghost note in parentheses', press(one, 'g').phrase, /<notehead parentheses="yes">/u],
    ['<tied type="let-ring">', press(one, 'l').phrase, /<tied type="let-ring"\/>/u],
    [
      '<natural> with <sounding-pitch>',
      press(one, 'o').phrase,
      /<step>D<\/step><octave>5<.*<harmonic><natural\/><sounding-pitch\/><\/harmonic>.*<fret>7</u,
    ],
    [
      '<artificial>',
      ordered(one, 'hand.harmonic', 'artificial').phrase,
      /<harmonic><artificial\/><\/harmonic>/u,
    ],
    [
      '<artificial> with <base-pitch> of a pinch harmonic',
      ordered(one, 'hand.harmonic', 'pinch').phrase,
      /<harmonic><artificial\/><base-pitch\/><\/harmonic><other-technical>/u,
    ],
    ['<down-bow>', press(one, 'd').phrase, /<down-bow\/>/u],
    ['<up-bow>', press(one, 'u').phrase, /<up-bow\/>/u],
    // A strum down goes from the lowest string up in pitch.
    ['<arpeggiate> up for a strum down', press(two, 'D').phrase, /<arpeggiate direction="up"\/>/u],
    [
      '<arpeggiate> down for a strum up',
      press(two, 'U').phrase,
      /<arpeggiate direction="down"\/>/u,
    ],
    ['<accent>', press(one, 'A').phrase, /<articulations><accent\/>/u],
    ['<staccato>', ordered(one, 'pick.mark', 'staccato').phrase, /<articulations><staccato\/>/u],
    ['<tenuto>', ordered(one, 'pick.mark', 'tenuto').phrase, /<articulations><tenuto\/>/u],
    ['<mute>palm of <play>', press(one, 'm').phrase, /<play><mute>palm<\/mute><\/play>/u],
    ['<tremolo>', ordered(one, 'pick.tremolo', '3').phrase, /<tremolo type="single">3<\/tremolo>/u],
    [
      '<other-technical> of a rake, on x-headed graces',
      ordered(one, 'pick.rake', 2).phrase,
      /<grace .*<notehead>x<.*<other-technical>rake<.*<string>5<.*\n.*<string>4</u,
    ],
    [
      '<fingering> and <pluck>',
      ordered(ordered(one, 'hand.finger', '3'), 'pick.finger', 'i').phrase,
      /<fingering>3<\/fingering><pluck>i<\/pluck>/u,
    ],
  ])('%s', (_, phrase, element) => {
    expect(xmlOf(phrase)).toMatch(element);
  });

  it('one <bend> on each note that bends', () => {
    const uneven = press(press(chosen(two.phrase), 'B'), 'Alt+ArrowUp').phrase;
    expect(notesOf(uneven).map((n) => n.match(/<bend-alter>/gu)?.length)).toEqual([1, 1]);
    const oblique = press(two, 'B').phrase;
    expect(notesOf(oblique).map((n) => n.match(/<bend-alter>/gu)?.length ?? 0)).toEqual([1, 0]);
  });
});

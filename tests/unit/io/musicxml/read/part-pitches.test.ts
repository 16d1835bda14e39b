import { expect, it } from 'vitest';
import { PartPitches } from '../../../../../src/io/musicxml/read/part-pitches';
import { parseXml, XML_LIMITS } from '../../../../../src/io/musicxml/xml/parse';
import { attributes, n, score } from '../../../../support/score-text';

function pitches(music: string): PartPitches {
  const xml = parseXml(score([attributes() + music]), XML_LIMITS);
  if (!xml.ok) throw new Error(xml.problems[0]!.message);
  return new PartPitches(xml.value);
}

it('what lies on no instrument is known before it is read, in the octave that is asked for', () => {
  const high = pitches(n('C5', 2) + n('A6', 6));
  expect([0, -1, -2].map((octave) => high.mayBeHeld({ octave }))).toEqual([false, true, true]);
  expect(pitches(n('C2', 4) + n('A6', 4)).mayBeHeld({})).toBe(false);
  // A five-string bass goes down to B0.
  expect(pitches(n('B0', 8)).mayBeHeld({})).toBe(true);
});

it('what says how it is played, or is not there, is left to be read', () => {
  const harmonic = '<notations><technical><harmonic><natural/></harmonic></technical></notations>';
  expect(pitches(n('B7', 8)).mayBeHeld({})).toBe(false);
  expect(pitches(n('B7', 8).replace('</note>', `${harmonic}</note>`)).mayBeHeld({})).toBe(true);
  expect(pitches(n('C5', 8)).mayBeHeld({ part: 9 })).toBe(true);
});

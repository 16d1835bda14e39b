import type { Consequences } from '../../core/edit/consequences';
import { count, keyName, tempoName } from '../shared/words';

/** What follows from a change, as sentences; one that says so where nothing does. */
export function consequenceWords(c: Consequences): readonly string[] {
  const lines = [
    c.bars === null ? '' : `${count(c.bars.after, 'bar')} instead of ${c.bars.before}.`,
    c.tempo === null
      ? ''
      : `The tempo is ${tempoName(c.tempo.after)} instead of ${tempoName(c.tempo.before)}.`,
    c.key === null ? '' : `The key is ${keyName(c.key.after)} instead of ${keyName(c.key.before)}.`,
    c.chords === 0
      ? ''
      : `${count(c.chords, 'chord')} ${c.chords === 1 ? 'has another name' : 'have other names'}.`,
    c.seconds === null || seconds(c.seconds.after) === seconds(c.seconds.before)
      ? ''
      : `Once through takes ${seconds(c.seconds.after)} instead of ${seconds(c.seconds.before)}.`,
    many(c.tied, 'holds over a bar line and gets a tie', 'hold over a bar line and get ties'),
    many(c.untied, 'no longer holds over a bar line', 'no longer hold over a bar line'),
    many(c.swung, 'starts at another moment of its beat', 'start at another moment of their beat'),
    soundLine(c),
    many(
      c.respelled,
      'sounds the same and has another name',
      'sound the same and have other names',
    ),
    many(c.refretted, 'lies at another fret', 'lie at other frets'),
    many(c.restrung, 'goes to another string', 'go to other strings'),
    many(c.degrees, 'is another degree of its chord', 'are other degrees of their chords'),
    many(c.keyDegrees, 'is another degree of the key', 'are other degrees of the key'),
    c.lost.length === 0 ? '' : `Taken off: ${c.lost.join(', ')}.`,
    ...c.unplayable.map((u) => `Out of reach: ${u}.`),
  ].filter((line) => line !== '');
  return lines.length === 0 ? ['Every note stays as it is.'] : lines;
}

function many(ids: readonly string[], one: string, more: string): string {
  if (ids.length === 0) return '';
  return `${count(ids.length, 'note')} ${ids.length === 1 ? one : more}.`;
}

function soundLine({ sounding, by }: Consequences): string {
  if (sounding.length === 0) return '';
  if (by === null) return many(sounding, 'sounds another pitch', 'sound other pitches');
  const far = `${count(Math.abs(by), 'semitone')} ${by > 0 ? 'higher' : 'lower'}`;
  return many(sounding, `sounds ${far}`, `sound ${far}`);
}

/** `12.5 s`. */
function seconds(s: number): string {
  return `${Math.round(s * 10) / 10} s`;
}

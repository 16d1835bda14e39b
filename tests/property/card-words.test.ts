import fc from 'fast-check';
import { expect, it } from 'vitest';
import { factsOf } from '../../src/core/library/facts';
import { LEVEL_WORDS } from '../../src/core/library/level-and-feel';
import type { Phrase } from '../../src/core/phrase/types';
import { define } from '../../src/core/search/define/define';
import { readQuery } from '../../src/core/search/query/read';
import { degreeSign } from '../../src/core/theory/degree';
import {
  chordName,
  count,
  keyName,
  laneName,
  levelName,
  meterName,
  tempoName,
} from '../../src/ui/shared/words';
import { libraryPhrase } from '../support/many';
import { readSamples } from '../support/samples';

/** Everything that a card says of a phrase, each part as it is printed (`ui/library/phrase-card.tsx`). */
function printed(p: Phrase): readonly string[] {
  const f = factsOf(p);
  const level = f.level === null ? [] : [`level ${levelName(f.level)}`, LEVEL_WORDS[f.level - 1]!];
  const style = f.styleOf === null ? [] : [f.styleOf];
  const bars = count(f.bars, 'bar');
  return [
    f.title,
    keyName(f.key),
    ...f.chords.map(chordName),
    f.chords.slice(0, 8).map(chordName).join(' '),
    bars,
    ...level,
    ...style,
    // The line under the title, from one end to the other.
    [bars, ...level.slice(0, 1), ...style].join(', '),
    ...f.degrees.map(degreeSign),
    ...f.tags,
    f.tags.join(' · '),
    // What the score of the card and the page of the phrase say besides.
    meterName(p),
    ...(p.chords.length > 0 ? [laneName(p)] : []),
    tempoName(p.tempo),
  ].filter((text) => text !== '');
}

/** Words of a named field, as they are printed, in the quotes that several words need. */
function named(p: Phrase): readonly string[] {
  const f = factsOf(p);
  const word = f.level === null ? [] : [LEVEL_WORDS[f.level - 1]!];
  return [
    ...word.flatMap((w) => [
      `level:"${w}"`,
      `level:${w.replaceAll(' ', '-')}`,
      `level:${w.replaceAll(' ', '-')}..5`,
    ]),
    ...(f.level === null ? [] : [`level:"${levelName(f.level)}"`]),
    `key:"${keyName(f.key)}"`,
    ...f.chords.map((c) => `chord:${chordName(c)}`),
    ...f.tags.map((t) => `tag:"${t}"`),
    `title:"${f.title}"`,
  ];
}

const samples = readSamples().map((s) => s.phrase);
const STYLES = ['the fiddlers of the coast', 'Gypsum & Sons', 'late trio'];

const phrases = fc.oneof(
  fc.constantFrom(...samples),
  fc
    .record({
      n: fc.nat(5_000),
      level: fc.constantFrom<(1 | 2 | 3 | 4 | 5)[]>(1, 2, 3, 4, 5),
      styleOf: fc.constantFrom(...STYLES),
    })
    .map(({ n, ...more }): Phrase => {
      const p = libraryPhrase(n);
      return { ...p, meta: { ...p.meta, ...more } };
    }),
);

it('what a card prints is found as it is printed', () => {
  fc.assert(
    fc.property(phrases, (p) => {
      for (const text of [...printed(p), ...named(p)]) {
        const read = readQuery(text);
        expect(read.ok ? null : read.problems, text).toBeNull();
        if (read.ok) expect(define(read.value.query, p).holds, text).toBe(true);
      }
    }),
    { numRuns: 20 },
  );
});

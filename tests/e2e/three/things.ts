import { type Collection, newCollection, withPhrases } from '../../../src/core/library/collection';
import { newPair } from '../../../src/core/library/pair';
import { newSearch } from '../../../src/core/library/saved-search';
import { newUse } from '../../../src/core/library/use';
import { headOf } from '../../../src/core/phrase/record';
import { newPlan, newTurn } from '../../../src/core/plan/edit';
import { KINDS } from '../../../src/io/kinds/kinds';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const DAY = '2026-11-28';

/** A new thing of a kind, with a mark in it. */
export function newThing(kind: string, id: string, mark: string, now: string): unknown {
  const birth = { id, now, title: mark };
  const plan = newPlan(
    { id: 'l', meta: { title: 'Plan', created: now, modified: now } },
    { ...birth, day: DAY, seed: 1 },
  );
  switch (kind) {
    case 'lesson':
      return {
        ...headOf('degreewise-lesson', 2, { ...birth, title: 'On the quay' }),
        meta: { title: 'On the quay', intro: mark, created: now, modified: now },
        phrases: [{ ...samples[1]!, id: 'inside' }],
        items: [{ id: 'i1', kind: 'phrase', phrase: 'inside' }],
      };
    case 'form':
      return {
        ...headOf('degreewise-form', 1, birth),
        mode: 'blues',
        meter: { beats: 4, beatType: 4 },
        feel: { kind: 'straight' },
        tempo: { bpm: 96, unit: 'quarter' },
        sections: [{ name: 'A', bars: 'I7|IV7|I7|I7' }],
      };
    case 'collection':
      return newCollection([], birth);
    case 'search':
      return newSearch({ find: 'with:slide' }, birth);
    case 'use':
      return newUse(['p-1'], { ...birth, day: DAY });
    case 'pair':
      return { ...newPair([`p-${mark}`, 'p-1'], birth), id };
    case 'plan':
      return { ...plan, student: mark };
    case 'turn':
      return newTurn(
        { log: 'log-1' },
        { item: 'phrase p-1', title: mark, step: { speed: 80, goal: null }, went: 'sits' },
        { ...birth, day: DAY },
      );
    default: {
      const sample = samples[id.length % samples.length]!;
      return {
        ...sample,
        id,
        meta: { ...sample.meta, title: `Quay ${id}`, tags: [mark], created: now, modified: now },
      };
    }
  }
}

interface Any {
  readonly meta: { readonly title: string; readonly tags?: readonly string[] };
  readonly tempo?: object;
}

/**
 * A thing after an edit of a person, with a new mark in the place of the one it had. Uses, pairs and turns are
 * written once and never changed: null.
 */
export function edited(
  key: string,
  text: string,
  mark: string,
  now: string,
  dice: number,
): string | null {
  const kind = key.slice(0, key.indexOf(' '));
  const value = JSON.parse(text) as Any;
  const meta = { ...value.meta, modified: now };
  if (kind === 'phrase') {
    const title = dice < 0.4 ? `Quay ${mark.length} ${Math.floor(dice * 10)}` : meta.title;
    const bpm = 60 + Math.floor(dice * 60);
    return canonical(kind, {
      ...value,
      meta: { ...meta, title, tags: ['river', mark] },
      tempo: { bpm, unit: 'quarter' },
    });
  }
  if (kind === 'lesson') return canonical(kind, { ...value, meta: { ...meta, intro: mark } });
  if (kind === 'plan') return canonical(kind, { ...value, meta, student: mark });
  if (kind === 'collection' && dice < 0.7) {
    const collection = { ...value, meta } as unknown as Collection;
    return canonical(kind, withPhrases(collection, [mark]));
  }
  if (kind === 'use' || kind === 'pair' || kind === 'turn') return null;
  return canonical(kind, { ...value, meta: { ...meta, title: mark } });
}

/** As it is kept: checked, with its fields in order. */
export function canonical(kind: string, value: unknown): string {
  const read = KINDS.find((k) => k.name === kind)!.decode(value);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return JSON.stringify(read.value);
}

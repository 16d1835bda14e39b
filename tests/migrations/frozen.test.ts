import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { removeItems } from '../../src/core/lesson/edit';
import { ASKED } from '../../src/core/library/saved-search';
import { mapNotes, notesOf } from '../../src/core/phrase/walk';
import { formatPitch } from '../../src/core/theory/pitch';
import { readCarried } from '../../src/io/folder/format';
import { decodePhrase } from '../../src/io/json';
import { decodeEarlier, decodeKept } from '../../src/io/json/decode-kept';
import { decodeForm, decodeLesson } from '../../src/io/json/decode-lesson';
import {
  decodeCollection,
  decodePair,
  decodeSearch,
  decodeUse,
} from '../../src/io/json/decode-order';
import { decodePlan, decodeTurn } from '../../src/io/json/decode-plan';
import { decodePlayed } from '../../src/io/json/decode-played';
import { KINDS } from '../../src/io/kinds/kinds';
import { decodeLibrary } from '../../src/io/library/decode';
import { ORDERS } from '../support/orders';

/*
 * Files as released programs wrote them. They are never changed and must open for ever; a new
 * version of a format adds its own file and its own facts.
 */

function frozen(name: string): string {
  return readFileSync(path.join(import.meta.dirname, name), 'utf8');
}

describe('version 1', () => {
  it('of a phrase opens and means what it meant', () => {
    const read = decodePhrase(frozen('phrase-v1.json'));
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const p = read.value;
    expect(p).toMatchObject({
      id: 'frozen-1',
      parent: 'frozen-0',
      meta: { title: 'Frozen <1> & "all"', level: 4, notes: 'First slowly.\nThen not.' },
      instrument: { capo: 2, frets: 22, clef: 'treble-8' },
      key: { tonic: { letter: 'G', alter: 0 }, mode: 'blues' },
      tempo: { bpm: 92.5, unit: 'quarter' },
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
      pickup: 10_080,
      length: 131_040,
    });
    expect(p.chords.map((c) => c.symbol)).toEqual(['G7', 'C7', null, 'D7#9', 'G13/B']);
    expect(p.bars.map((b) => b.ending ?? null)).toEqual([null, [1], [2]]);
    const notes = notesOf(p).map(({ note: n, onset }) =>
      n.kind === 'dead'
        ? `${onset} x${n.string}/${n.fret}`
        : `${onset} ${formatPitch(n.pitch)} ${n.string}/${n.fret} ${n.attack ?? ''}${n.bend?.shape ?? ''}`.trimEnd(),
    );
    expect(notes).toEqual(EXPECTED);
  });

  it('of a library opens', () => {
    const read = decodeLibrary(frozen('library-v1.json'));
    expect(read).toMatchObject({ ok: true });
    expect(read.ok && read.value.phrases.map((p) => p.id)).toEqual(['frozen-1', 'frozen-2']);
    const alone = decodePhrase(frozen('phrase-v1.json'));
    expect(read.ok && alone.ok && read.value.phrases[0]).toEqual(alone.ok && alone.value);
  });
});

describe('version 1 of an earlier version', () => {
  it('opens, and says when it was replaced', () => {
    const read = decodeKept(frozen('version-v1.json'));
    const alone = decodePhrase(frozen('phrase-v4.json'));
    if (!read.ok || !alone.ok) throw new Error('what is frozen must open');
    const { phrase, ...mark } = read.value;
    expect(mark).toEqual({
      ...{ format: 'degreewise-version', version: 1 },
      ...{ kept: '2026-11-28T04:30:00.000Z', why: 'restore' },
    });
    expect(phrase).toEqual(alone.value);
  });
});

describe('version 1 of an earlier version of what is no phrase', () => {
  it('opens, and holds what it held', () => {
    const read = decodeEarlier(frozen('earlier-v1.json'));
    const alone = decodeLesson(frozen('lesson-v2.json'));
    if (!read.ok || !alone.ok) throw new Error('what is frozen must open');
    const { thing, ...mark } = read.value;
    expect(mark).toEqual({
      ...{ format: 'degreewise-earlier', version: 1 },
      ...{ kept: '2026-11-28T17:30:00.000Z', why: 'edit' },
    });
    expect(thing).toEqual(alone.value);
  });
});

describe('version 1 of how a phrase was played', () => {
  it('opens, and says what was heard of each note', () => {
    const read = decodePlayed(frozen('played-v1.json'));
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.value).toMatchObject({ id: 'frozen-1', begin: -0.25, bars: [0.25, 1.35] });
    expect(read.value.sounds[0]).toMatchObject({ note: 'n1', onset: 0.3, muted: true });
    expect(read.value.sounds[1]!.pitches).toEqual([
      [0, 62.02],
      [0.3, 64],
      [0.48, 63.97],
    ]);
  });
});

describe('version 2', () => {
  it('of a phrase opens, and says which length was guessed', () => {
    const first = decodePhrase(frozen('phrase-v1.json'));
    const read = decodePhrase(frozen('phrase-v2.json'));
    if (!read.ok || !first.ok) throw new Error('the frozen phrases must open');
    const events = read.value.voices.flatMap((v) => v.events);
    expect(events.map((e, i) => (e.guessed ? i : -1)).filter((i) => i >= 0)).toEqual([0]);
    const sure = events.map(({ guessed: _, ...e }) => e);
    expect(sure).toEqual(first.value.voices.flatMap((v) => v.events));
  });
});

describe('version 2 of a library', () => {
  it('opens, with what is no phrase beside the phrases', () => {
    const read = decodeLibrary(frozen('library-v2.json'), [...KINDS, ORDERS]);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const alone = decodePhrase(frozen('phrase-v3.json'));
    expect(read.value.phrases.map((p) => p.id)).toEqual(['frozen-1', 'frozen-2']);
    expect(alone.ok && alone.value).toEqual(read.value.phrases[0]);
    expect(read.value.others).toMatchObject([
      { id: 'frozen-3', title: 'For "frozen-1"', phrase: 'frozen-1', sets: 1 },
    ]);
  });
});

describe('version 3', () => {
  it('of a phrase opens, and says along which string the pick was scraped', () => {
    const second = decodePhrase(frozen('phrase-v2.json'));
    const read = decodePhrase(frozen('phrase-v3.json'));
    if (!read.ok || !second.ok) throw new Error('the frozen phrases must open');
    const plain = mapNotes(read.value, ({ note }) => {
      if (note.kind !== 'dead') return note;
      const { scrape: _, ...rest } = note;
      return rest;
    });
    const dead = notesOf(read.value).flatMap(({ note }) => (note.kind === 'dead' ? [note] : []));
    expect(dead.map((n) => [n.string, n.scrape])).toEqual([[3, 'down']]);
    expect(plain.voices).toEqual(second.value.voices);
  });
});

describe('version 4', () => {
  it('of a phrase opens, and says what its parts were made of', () => {
    const third = decodePhrase(frozen('phrase-v3.json'));
    const read = decodePhrase(frozen('phrase-v4.json'));
    if (!read.ok || !third.ok) throw new Error('the frozen phrases must open');
    const { parts, ...rest } = read.value;
    expect(rest).toEqual(third.value);
    expect(parts).toEqual([
      {
        source: 'frozen-0',
        title: 'Frozen <0> & "all"',
        notes: 'a',
        octaves: -1,
        until: 60_480,
        laid: 2 ** 52 - 1,
        apart: true,
      },
      { source: 'frozen-2', title: 'Another', notes: 'b', octaves: 0, laid: 17 },
    ]);
  });
});

describe('version 5', () => {
  it('of a phrase opens, with tuplets of other ratios, and version 4 becomes it', () => {
    const fourth = decodePhrase(frozen('phrase-v4.json'));
    const read = decodePhrase(frozen('phrase-v5.json'));
    if (!read.ok || !fourth.ok) throw new Error('the frozen phrases must open');
    const [melody, drone] = read.value.voices;
    expect(melody.tuplets).toEqual([
      fourth.value.voices[0].tuplets[0],
      { onset: 90_720, duration: 20_160, actual: 15, normal: 8 },
    ]);
    expect(drone?.tuplets).toEqual([{ onset: 50_400, duration: 15_120, actual: 7, normal: 3 }]);
    const events = (p: typeof read.value) => p.voices.map((v) => v.events);
    expect(events(read.value)).toEqual(events(fourth.value));
    const { voices, ...rest } = fourth.value;
    expect(read.value).toMatchObject(rest);
  });

  it('of a phrase is refused with a ratio that is not of the list, in words', () => {
    const odd = frozen('phrase-v5.json').replace('"actual": 15', '"actual": 11');
    const ratio = decodePhrase(odd);
    expect(ratio.ok ? '' : ratio.problems[0]).toMatchObject({
      pointer: '/voices/0/tuplets/1/actual',
      message: '11 is not allowed here',
    });
    const time = decodePhrase(frozen('phrase-v5.json').replace('"normal": 8', '"normal": 4'));
    expect(time.ok ? '' : time.problems[0]).toMatchObject({
      fix: 'Write one of 8, 12, 16.',
      pointer: '/voices/0/tuplets/1/normal',
    });
  });

  it('of a phrase holds every field the format had', () => {
    const schema = JSON.parse(frozen('../../schemas/phrase.schema.json'));
    // A later version may have fields that this file cannot have; its own file takes over then.
    expect(schema.$id).toBe('urn:degreewise:schema:phrase:5');
    const missing = fieldsOf(schema).filter((f) => !frozen('phrase-v5.json').includes(`"${f}":`));
    expect(missing).toEqual([]);
  });
});

/** Names of all properties anywhere in a JSON Schema. */
function fieldsOf(schema: unknown): string[] {
  if (typeof schema !== 'object' || schema === null) return [];
  const own = 'properties' in schema ? Object.keys(Object(schema.properties)) : [];
  return [...new Set([...own, ...Object.values(schema).flatMap(fieldsOf)])];
}

/** With a capo at the second fret: string 3 fret 7 is G3 + 2 + 7 = E4. */
const EXPECTED: readonly string[] = [
  ...['0 E4 3/7', '5040 F#4 3/9 hammer-on', '10080 A4 2/8 bend'],
  ...['10080 F#2 6/0', '13440 A4 2/8 bend-release', '16800 G4 2/6 pull-off'],
  ...['20160 G4 2/6 pre-bend', '30240 x3/7', '35280 E4 3/7 pre-bend-release'],
  ...['40320 Gb4 3/9 slidecurl', '50400 B4 1/5', '50400 F#2 6/0'],
  ...['52920 D5 1/8 slide-plucked', '55440 B4 1/5 pull-off', '57960 E5 1/10 tap'],
  ...['60480 A4 2/8', '60480 E4 3/7', '70560 F#5 1/12'],
  ...['80640 B4 1/5', '85680 F#4 2/5', '90720 A3 3/0'],
  ...['90720 B3 4/7', '90720 F#2 6/0', '110880 E4 3/7'],
];

describe('version 2 of lessons', () => {
  it('opens, its solo with comping, and version 1 becomes it', () => {
    const read = decodeLesson(frozen('lesson-v2.json'));
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const solo = read.value.items.find((i) => i.kind === 'solo');
    expect(solo?.comping).toEqual({ phrase: 'frozen-comping', printed: true });
    expect(read.value.phrases.map((p) => p.id)).toContain('frozen-comping');
    const before = decodeLesson(frozen('lesson-v1.json'));
    expect(before.ok && before.value.version).toBe(2);
    // Taken from the lesson, its comping leaves with the solo.
    const { items } = removeItems(read.value, solo!.id);
    expect(items).toHaveLength(read.value.items.length - 1);
    expect(removeItems(read.value, solo!.id).phrases.map((p) => p.id)).not.toContain(
      'frozen-comping',
    );
    const lost = { ...read.value, phrases: read.value.phrases.slice(0, -1) };
    const refused = decodeLesson(lost);
    expect(refused.ok ? '' : refused.problems[0]!.message).toBe(
      'the comping of the solo is not in the lesson',
    );
  });
});

describe('version 1 of lessons and forms', () => {
  it('opens, with an item of every kind', () => {
    const read = decodeLesson(frozen('lesson-v1.json'));
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.value.items.map((i) => i.kind).join(' ')).toBe(
      'phrase phrase text pair neck neck shapes form solo rounds gaps degrees answer',
    );
    expect(read.value.phrases.map((p) => p.meta.title)).toEqual(['First Ferry Out', 'Third Rung']);
    const form = decodeForm(frozen('form-v1.json'));
    expect(form.ok && form.value.sections.map((s) => s.name)).toEqual(['Intro', 'A', 'Ending']);
  });
});

describe('version 1 of collections, saved questions, uses and kept pairs', () => {
  it('opens, with every field', () => {
    const collection = decodeCollection(frozen('collection-v1.json'));
    expect(collection.ok && collection.value).toMatchObject({
      parent: 'collection-0',
      meta: { title: 'Week <3> & "all"', notes: 'First slowly.\nThen not.' },
      purpose: 'student',
      phrases: ['frozen-2', 'frozen-1', 'never-there'],
    });
    const search = decodeSearch(frozen('search-v1.json'));
    expect(search.ok && Object.keys(search.value.asked)).toEqual([...ASKED]);
    const use = decodeUse(frozen('use-v1.json'));
    expect(use.ok && [use.value.day, use.value.phrases]).toEqual([
      '2026-11-27',
      ['frozen-1', 'frozen-2'],
    ]);
    const pair = decodePair(frozen('pair-v1.json'));
    expect(pair).toEqual({ ok: true, value: JSON.parse(frozen('pair-v1.json')) });
  });
});

describe('version 1 of plans and turns', () => {
  it('opens, with every field', () => {
    const plan = decodePlan(frozen('plan-v1.json'));
    expect(plan).toEqual({ ok: true, value: JSON.parse(frozen('plan-v1.json')) });
    const turn = decodeTurn(frozen('turn-v1.json'));
    expect(turn).toEqual({ ok: true, value: JSON.parse(frozen('turn-v1.json')) });
    for (const name of ['plan', 'turn']) {
      const fields = fieldsOf(JSON.parse(frozen(`../../schemas/${name}.schema.json`)));
      expect(fields.filter((f) => !frozen(`${name}-v1.json`).includes(`"${f}":`))).toEqual([]);
    }
  });
});

describe('version 1 of the files of a folder', () => {
  it('opens, knows itself untouched, and what it took the place of', () => {
    const read = readCarried(JSON.parse(frozen('carried-v1.json')), KINDS);
    const collection = decodeCollection(frozen('collection-v1.json'));
    expect(read.ok && read.value).toMatchObject({
      thing: { value: collection.ok && collection.value },
      id: 'collection-1',
      past: ['0123456789abcdef', 'fedcba9876543210'],
      untouched: true,
    });
  });
});

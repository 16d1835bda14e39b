import type { Instead } from '../../src/core/heard/instead';
import { insteadOf } from '../../src/core/heard/instead-written';
import type { Heard, HeardNote } from '../../src/core/heard/types';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { phrasesOf } from '../../src/io/heard/phrases';
import { takeOf } from '../../src/io/heard/take';
import { bentBeside } from './bent-beside';
import { beatsAMinute, heardBack, type Sounded } from './caught';
import { Dice } from './generate/dice';
import { playedPhrase } from './played-phrase';
import { ringingPhrase } from './ringing-phrase';

/** Seeds that nothing else uses. */
const SEED = 8_000_000;

/** Two of three with ringing strings, one with notes beside bends: of plain lines hardly a note is unsure. */
export function phraseForSecond(i: number): Phrase {
  if (i % 3 !== 2) return ringingPhrase(SEED + i);
  return bentBeside(playedPhrase(SEED + i), 0.5, new Dice(SEED + i, 5));
}

/** What a note that was heard had been: nothing, another pitch, or itself otherwise than it was heard. */
export type Truth =
  | 'absent'
  | `pitch ${number}`
  | `attack ${string}`
  | 'bent'
  | 'unbent'
  | `string ${number}`;

export interface UnsureNote {
  /** As heard, without its curve. */
  readonly note: Omit<HeardNote, 'curve'>;
  /** The string it is written on; null where it is not written. */
  readonly string: number | null;
  readonly truth: readonly Truth[];
  /** What is offered for it, first things first. */
  readonly offered: readonly {
    readonly is: Truth;
    readonly share: number;
    readonly cost: number;
    readonly playable: boolean;
  }[];
}

/** Notes surer than this are not asked about; a little more are looked at. */
const UNSURE = 0.75;

/** Notes of a phrase that were heard unsurely, with what they had been. */
export function unsureIn(p: Phrase, heard: Heard): readonly UnsureNote[] {
  const { reference, pairs } = heardBack(p, heard);
  const refOf = new Map(pairs.map(([r, h]) => [h, reference[r]!] as const));
  const missed = reference.filter((r) => !pairs.some(([k]) => reference[k] === r));
  if (heard.notes.every((n) => n.confidence >= UNSURE)) return [];
  const written = stringsOf(p, heard);
  return heard.notes.flatMap((n, i): UnsureNote[] => {
    if (n.confidence >= UNSURE) return [];
    const ref = refOf.get(i);
    const [string, offered] = written.get(n) ?? [null, []];
    const { curve: _, ...note } = n;
    const truth = ref === undefined ? unpaired(n, missed) : differences(n, ref, string);
    return truth === null ? [] : [{ note, string, truth, offered }];
  });
}

function unpaired(n: HeardNote, missed: readonly Sounded[]): readonly Truth[] {
  const near = missed
    .filter((r) => Math.abs(r.at - n.onset) <= 0.06)
    .map((r) => Math.round(r.plain - n.pitch))
    .filter((by) => by !== 0 && Math.abs(by) <= 24)
    .sort((a, b) => Math.abs(a) - Math.abs(b));
  return near.length === 0 ? ['absent'] : [`pitch ${near[0]!}`];
}

const BEGUN: Readonly<Record<string, string>> = {
  hammered: 'hammer-on',
  pulled: 'pull-off',
  slid: 'slide',
};

/** Null for graces, of which nothing is written that could be compared. */
function differences(n: HeardNote, r: Sounded, string: number | null): readonly Truth[] | null {
  if (r.note === undefined) return null;
  const attack = BEGUN[r.sound.begin] ?? 'pluck';
  const bent = r.note.bend !== undefined;
  return [
    ...(attack === n.attack ? [] : [`attack ${attack}` as const]),
    ...(bent === (n.bend !== undefined) ? [] : [bent ? ('bent' as const) : ('unbent' as const)]),
    ...(string === null || string === r.note.string ? [] : [`string ${r.note.string}` as const]),
  ];
}

/** The string that each note is written on, and what is offered for unsure ones. */
function stringsOf(
  p: Phrase,
  heard: Heard,
): ReadonlyMap<HeardNote, readonly [number, UnsureNote['offered']]> {
  const take = takeOf(heard, { key: p.key, bpm: beatsAMinute(p), start: 0 });
  if (!take.ok) return new Map();
  const names = { newId: () => 'caught', now: '2026-11-27T00:00:00Z', title: 'Caught' };
  const made = phrasesOf(take.value, names, 'whole');
  if (!made.ok) return new Map();
  return new Map(
    made.value.flatMap(({ phrase, heard: of }) =>
      notesOf(phrase).flatMap(({ note }) => {
        const h = of.get(note.id);
        if (h === undefined) return [];
        const all = h.confidence < UNSURE ? insteadOf(phrase, note.id, h) : [];
        const offered = all.map(({ instead, share, cost, playable }) => ({
          is: nameOf(instead),
          share,
          cost,
          playable,
        }));
        return [[h, [note.string, offered]] as const];
      }),
    ),
  );
}

function nameOf(i: Instead): Truth {
  switch (i.kind) {
    case 'pitch':
      return `pitch ${i.by}`;
    case 'string':
      return `string ${i.string}`;
    case 'attack':
      return `attack ${i.attack}`;
    case 'bend':
      return i.bends ? 'bent' : 'unbent';
    case 'absent':
      return 'absent';
  }
}

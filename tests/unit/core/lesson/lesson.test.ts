import { describe, expect, it } from 'vitest';
import { checkLesson } from '../../../../src/core/lesson/check';
import { lessonOfContent } from '../../../../src/core/lesson/content';
import {
  addItem,
  addPhrases,
  changeItem,
  freeItemId,
  lessonOf,
  removeItems,
  shiftItem,
  withText,
} from '../../../../src/core/lesson/edit';
import { withGaps } from '../../../../src/core/lesson/gaps';
import { sheetsOf, withAnswer } from '../../../../src/core/lesson/sheets';
import type { LessonItem } from '../../../../src/core/lesson/types';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { positionOf } from '../../../../src/core/phrase/time';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { formatProblem } from '../../../../src/core/result';
import { degreeSign } from '../../../../src/core/theory/degree';
import { analyse } from '../../../../src/core/understand/analyse';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { lessonOfEveryKind } from '../../../support/lesson';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const [a, b, c] = [samples[0]!, samples[2]!, samples[5]!];
const birth = { id: 'l', now: '2026-11-27T08:00:00Z', title: 'Stairs' };

describe('a lesson', () => {
  it('is made of phrases in their order, each carried once', () => {
    const l = lessonOf([b, a, b], birth);
    expect(l.phrases.map((p) => p.id)).toEqual([b.id, a.id]);
    expect(l.items.map((i) => ('phrase' in i ? i.phrase : ''))).toEqual([b.id, a.id]);
    expect(checkLesson(l)).toEqual([]);
  });

  it('shows a phrase that was made of others as a solo, with what its parts are called, once', () => {
    const part = { source: 'x', title: 'Pump Room', notes: '', octaves: 0, laid: 0 };
    const made = { ...b, parts: [part] };
    const l = lessonOf([a, made], birth);
    const lastBar = b.bars.length - (b.pickup > 0 ? 1 : 0);
    const parts = [{ firstBar: 1, lastBar, title: 'Pump Room' }];
    expect(l.items[1]).toEqual({ kind: 'solo', id: 'i2', phrase: b.id, parts });
    expect(checkLesson(l)).toEqual([]);
    expect(addPhrases(l, [made])).toBe(l);
    expect(addPhrases(lessonOf([a], birth), [made]).items).toEqual(l.items);
    const { id: _, ...content } = birth;
    expect(lessonOfContent([a, made], { ...content, id: 'l', tonic: null })).toEqual(l);
  });

  it('carries just what its items speak of', () => {
    const l = lessonOf([a, b], birth);
    const id = freeItemId(l);
    const more = addItem(l, { kind: 'gaps', id, phrase: c.id, every: 3 }, 1, c);
    expect(more.items.map((i) => i.id)).toEqual(['i1', 'i3', 'i2']);
    expect(more.phrases).toEqual([a, b, c]);
    expect(removeItems(more, id).phrases).toEqual([a, b]);
    const other = changeItem(more, id, (i) => ({ ...i, phrase: a.id }) as typeof i);
    expect(other.phrases).toEqual([a, b]);
    expect(withText(withText(more.items[0]!, 'todo', 'Slowly.'), 'todo', '')).toEqual(l.items[0]);
  });

  it('changes its order within its ends', () => {
    const l = lessonOf([a, b, c], birth);
    const order = (x: typeof l) => x.items.map((i) => i.id).join('');
    expect(order(shiftItem(l, 'i1', 1))).toBe('i2i1i3');
    expect(order(shiftItem(l, 'i3', -9))).toBe('i3i1i2');
    expect(shiftItem(l, 'i3', 1)).toBe(l);
  });

  it('says where it makes no sense', () => {
    const l = lessonOfEveryKind([a, b]);
    expect(checkLesson(l)).toEqual([]);
    const broken = {
      ...l,
      phrases: [a, a],
      items: l.items.map((i) => {
        if (i.kind === 'pair') return { ...i, move: { ...i.move, text: 'H7' } };
        if (i.kind === 'rounds') return { ...i, cycle: { kind: 'list', text: '' } as const };
        return i;
      }),
    };
    const said = checkLesson(broken).map(formatProblem).join('\n');
    expect(said).toContain('at /phrases/1/id');
    expect(said).toMatch(/at \/items\/1\/phrase: the phrase that the item speaks of/u);
    expect(said).toContain('/move/text');
    expect(said).toContain('/cycle');
    expect(checkLesson(broken).every((p) => p.fix !== undefined)).toBe(true);
  });
});

describe('the music of an item', () => {
  const l = lessonOfEveryKind([a, b]);
  const sheets = (kind: string) => {
    const made = sheetsOf(l, l.items.find((i) => i.kind === kind)!);
    if (!made.ok) throw new Error(made.problems.map(formatProblem).join());
    return made.value;
  };

  it('of a pair keeps every role over the new chord', () => {
    const [before, after] = sheets('pair');
    const roles = (p: typeof a) =>
      analyse(p).readings.map((r) => (r.role === 'chord tone' ? r.heard.chordDegree : null));
    expect(before!.printed).toBe(a);
    expect(roles(after!.printed)).toEqual(roles(a));
    expect(after!.printed.meta.title).not.toBe(a.meta.title);
  });

  it('of rounds is a take for each chord', () => {
    expect(sheets('rounds').map((s) => s.caption)).toEqual(['I', 'IV', 'V']);
  });

  it('of gaps is heard whole and printed with what is missing left out', () => {
    const [sheet] = sheets('gaps');
    const count = (p: typeof a) => p.voices[0].events.length;
    expect(sheet!.heard).toBe(a);
    expect(sheet!.gaps.length).toBeGreaterThan(0);
    expect(count(sheet!.printed) + sheet!.gaps.length).toBe(count(a));
  });

  it('is valid for every phrase', () => {
    for (const p of samples) {
      expect(checkPhrase(withAnswer(p)).map(formatProblem), p.id).toEqual([]);
      for (const every of [2, 3, 5]) {
        const gapped = withGaps(p, every);
        if (gapped !== null) expect(checkPhrase(gapped.phrase), p.id).toEqual([]);
      }
    }
    const some = samples.filter((p) => withGaps(p, 3) !== null);
    expect(some.length).toBeGreaterThan(0.9 * samples.length);
  });
});

describe('exercises', () => {
  const degreesOf = (p: Phrase, of: 'chordDegree' | 'keyDegree') =>
    analyse(p)
      .readings.map((r) => JSON.stringify([r.note.id, r.start[of], r.heard[of]]))
      .sort();
  const sheetsFor = (p: Phrase, item: LessonItem) => {
    const made = sheetsOf(addItem(lessonOf([p], birth), item), item);
    return made.ok ? made.value : [];
  };

  it('through every key keep what each note is, to its chord and to the key', () => {
    let takes = 0;
    for (const p of samples.filter((_, i) => i % 4 === 0)) {
      const cycle = { kind: 'fourths' } as const;
      for (const s of sheetsFor(p, { kind: 'rounds', id: 'x', phrase: p.id, cycle })) {
        if (s.leftOut !== null) continue;
        takes++;
        for (const of of ['chordDegree', 'keyDegree'] as const) {
          expect(degreesOf(s.printed, of), s.caption).toEqual(degreesOf(p, of));
        }
        expect(checkPlayable(s.printed), s.caption).toEqual([]);
      }
    }
    expect(takes).toBeGreaterThan(80);
  });

  // What a note is, read from both scores anew, whatever the move says.
  it('over other chords say of every note what it became, and where, and nothing else', () => {
    const byId = (p: Phrase) => new Map(analyse(p).readings.map((r) => [r.note.id, r]));
    let changed = 0;
    for (const p of samples) {
      const was = byId(p);
      for (const text of ['I IV V', 'ii7 V7 Imaj7', 'Cm7b5 E7#5']) {
        const cycle = { kind: 'list', text } as const;
        for (const s of sheetsFor(p, { kind: 'rounds', id: 'x', phrase: p.id, cycle })) {
          if (s.leftOut !== null) continue;
          const said = s.changes.map((c) => c.text);
          const became = new Set<string>();
          for (const [id, is] of byId(s.printed)) {
            const before = was.get(id)!;
            for (const at of ['start', 'heard'] as const) {
              const [a, b] = [before[at].chordDegree, is[at].chordDegree];
              if (a === null || b === null) continue;
              const pair = `${degreeSign(a)} becomes ${degreeSign(b)}`;
              if (degreeSign(a) === degreeSign(b)) continue;
              changed++;
              became.add(pair);
              const { bar } = positionOf(s.printed, is.at.onset);
              const place = bar === 0 ? /pickup/u : new RegExp(`\\bbars?\\b.*\\b${bar}\\b`, 'u');
              const there = said.filter((t) => t.includes(pair) && place.test(t));
              expect(there, `${p.id} ${s.caption}, bar ${bar}: ${pair}`).not.toEqual([]);
            }
          }
          const pairs = said.flatMap((t) => t.match(/\S+ becomes [^\s:,]+/gu) ?? []);
          const degrees = pairs.filter((t) => /^[♭♯𝄫]*[R2-7] /u.test(t));
          // The upper note of a trill has a degree of its own, which no reading holds.
          const trilled = notesOf(p).some(({ note }) => 'trill' in note);
          if (!trilled) for (const t of degrees) expect([...became]).toContain(t);
          expect(said.filter((t) => / is kept(?: as|$)/u.test(t))).toEqual([]);
          expect(new Set(said).size).toBe(said.length);
        }
      }
    }
    expect(changed).toBeGreaterThan(500);
  });

  it('with gaps tell just what is missing', () => {
    for (const p of samples) {
      for (const s of sheetsFor(p, { kind: 'gaps', id: 'x', phrase: p.id, every: 3 })) {
        const left = new Set(notesOf(s.printed).map(({ note }) => note.id));
        const missing = notesOf(p).flatMap(({ note }) => (left.has(note.id) ? [] : [note.id]));
        expect(missing.length).toBeGreaterThan(0);
        expect(s.gaps.flatMap((e) => e.notes.map((n) => n.id)).sort()).toEqual(missing.sort());
        expect(s.heard).toBe(p);
      }
    }
  });
});

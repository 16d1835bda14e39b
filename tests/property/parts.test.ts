import { describe, expect, it } from 'vitest';
import { type LaidForm, layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { movePhrase } from '../../src/core/move/move';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { partsOf } from '../../src/core/phrase/parts';
import { mapEvents } from '../../src/core/phrase/rebuild';
import type { Phrase, PhrasePart } from '../../src/core/phrase/types';
import { takeNotes, withEvents } from '../../src/core/phrase/voices';
import { mapNotes, notesOf } from '../../src/core/phrase/walk';
import { musicOf } from '../../src/core/solo/laid';
import { layAnew } from '../../src/core/solo/part-anew';
import { takeBack } from '../../src/core/solo/part-back';
import { findPart } from '../../src/core/solo/part-now';
import { faultsOf, proposeSolos } from '../../src/core/solo/propose';
import { transpose } from '../../src/core/theory/interval';
import { parseKey } from '../../src/core/theory/key';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { Dice } from '../support/generate/dice';
import { readSamples } from '../support/samples';
import { runs } from '../support/thorough';

/*
 * A part of a solo knows where it came from. The oracle of the way back is the way there: a source is
 * edited first and laid over the form; looked at beside the source as it was, the part must say that it
 * was edited, and taken back give the edited source again, note by note, or be refused.
 */

const NOW = '2026-01-01T00:00:00.000Z';
const frame = () => ({
  id: 'whole',
  tempo: { bpm: 100, unit: 'quarter' } as const,
  meta: { title: 'A solo', tags: [], created: NOW, modified: NOW },
});

function formOf(id: string, key: string): LaidForm {
  const form = layForm(standardForm(id)!, parseKey(key)!.tonic);
  if (!form.ok) throw new Error(id);
  return form.value;
}

/** One phrase after the other from bar 1 on, as many as go in; null where they cannot stand there. */
function lay(form: LaidForm, phrases: readonly Phrase[]): Phrase | null {
  let start = 0;
  const pins = phrases.flatMap((p, index) => {
    if (start + p.bars.length > form.bars.length) return [];
    const pin = { start, index };
    start += p.bars.length;
    return [pin];
  });
  const made = proposeSolos({ form, phrases, options: { fill: false, pins } }, frame);
  return made.ok ? made.value[0]!.phrase : null;
}

const sameTuning = (p: Phrase, { tuning, capo }: Phrase['instrument']) =>
  JSON.stringify([p.instrument.tuning, p.instrument.capo]) === JSON.stringify([tuning, capo]);

const all = readSamples().map((s) => s.phrase);
const inFour = all.filter(
  (p) =>
    p.bars.length <= 4 &&
    p.bars.every((b) => b.meter.beats === 4 && b.repeatEnd === undefined) &&
    sameTuning(p, STANDARD_GUITAR),
);

/** One small edit somewhere, as a player makes it; null where it cannot be made there. */
function edited(p: Phrase, d: Dice): Phrase | null {
  const at = d.pick(notesOf(p));
  const kind = d.int(1, 5);
  const next =
    kind === 5
      ? takeNotes(p, at.voice === 1 ? 1 : 0, new Set([at.note.id]))
      : kind === 1
        ? mapEvents(p, (e) => (e === at.event ? { ...e, duration: e.duration / 2 } : e))
        : mapNotes(p, ({ note }) => {
            if (note.id !== at.note.id || note.kind === 'dead') return note;
            if (kind === 2)
              return { ...note, vibrato: note.vibrato === 'wide' ? 'narrow' : 'wide' };
            const semitones = d.pick([-2, -1, 1, 2]);
            const steps = Math.abs(semitones) === 1 && d.chance(0.5) ? 0 : Math.sign(semitones);
            const pitch = transpose(note.pitch, { steps, semitones });
            if (pitch === null || note.bend !== undefined) return note;
            return { ...note, pitch, fret: note.fret + semitones };
          });
  const same = JSON.stringify(musicOf(next.voices)) === JSON.stringify(musicOf(p.voices));
  return same || checkPhrase(next).length > 0 ? null : next;
}

/** The same data with the fields of each object from the last to the first. */
function backwards(data: unknown): unknown {
  if (Array.isArray(data)) return data.map(backwards);
  if (typeof data !== 'object' || data === null) return data;
  const fields = Object.entries(data).reverse();
  return Object.fromEntries(fields.map(([field, value]) => [field, backwards(value)]));
}

const SEEDS = runs(12, 200);

describe('a part laid anew', () => {
  it('is what its source gives now, and everything else stays', () => {
    const form = formOf('blues', 'A');
    let anew = 0;
    for (let seed = 1; seed <= SEEDS; seed++) {
      const d = new Dice(26, seed);
      const [a, b] = [d.pick(inFour), d.pick(inFour)];
      const next = a.id === b.id ? null : edited(a, d);
      const whole = next === null ? null : lay(form, [a, b]);
      const wanted = next === null ? null : lay(form, [next, b]);
      if (next === null || whole === null || wanted === null) continue;
      const [part, other] = whole.parts!;
      if (part === undefined || wanted.parts![0]!.octaves !== part.octaves) continue;
      const made = layAnew(whole, part, next);
      if (!made.ok) {
        expect(made.problems[0]!.message).toMatch(/^(laid there|its notes|none of the notes)/u);
        continue;
      }
      anew++;
      expect(checkPhrase(made.value)).toEqual([]);
      const found = findPart(made.value, made.value.parts![0]!, next);
      expect(found.ok && found.value.edited).toBe(false);
      const of = (p: Phrase, { notes }: PhrasePart) =>
        musicOf(p.voices).filter((m) => m.notes.some((n) => n.id.startsWith(notes)));
      expect(of(made.value, part)).toEqual(of(wanted, wanted.parts![0]!));
      expect(of(made.value, other!)).toEqual(of(whole, other!));
    }
    expect(anew).toBeGreaterThan(SEEDS / 5);
  });
});

describe('a part of a solo', () => {
  const forms = [formOf('blues', 'A'), formOf('minor-blues', 'Bb'), formOf('blues', 'F#')];

  it('names its source and its bars, and is what the source gives', () => {
    const d = new Dice(1, 1);
    let met = 0;
    for (let n = 0; n < runs(2, 40); n++) {
      const sources = Array.from({ length: 4 }, () => d.pick(inFour));
      const whole = lay(d.pick(forms), sources);
      if (whole === null) continue;
      expect(faultsOf(whole)).toEqual([]);
      const stand = partsOf(whole);
      for (const { part, firstBar } of stand) {
        const source = all.find((p) => p.id === part.source)!;
        const found = findPart(whole, part, source);
        if (!found.ok) throw new Error(found.problems[0]!.message);
        expect(found.value.edited).toBe(false);
        expect(found.value.firstBar).toBeGreaterThanOrEqual(firstBar);
        const back = takeBack(whole, found.value);
        expect(back.ok && back.value.source).toEqual(source);
        expect(back.ok && back.value.whole).toEqual(whole);
        // Read again its fields have another order, and so have signs that were taken away and put back.
        const again = findPart(backwards(whole) as Phrase, part, source);
        expect(again.ok && again.value.edited).toBe(false);
        met++;
      }
    }
    expect(met).toBeGreaterThan(3);
  });

  it('there and back is the source that was laid, or is refused', () => {
    const d = new Dice(2, 1);
    const met = { back: 0, refused: 0, again: 0 };
    for (let n = 0; n < runs(12, 1_500); n++) {
      const sources = Array.from({ length: 3 }, () => d.pick(inFour));
      const form = d.pick(forms);
      const which = d.int(0, 2);
      const source = sources[which]!;
      const next = edited(source, d);
      if (next === null || new Set(sources).size < 3) continue;
      const before = lay(form, sources);
      const after = lay(
        form,
        sources.map((p) => (p === source ? next : p)),
      );
      const part = before?.parts?.[which];
      if (before === null || after === null || part === undefined) continue;
      // The edit may have moved where the next part cuts: then another part was edited as well.
      if (
        JSON.stringify(after.parts?.map((p) => p.until)) !==
        JSON.stringify(before.parts?.map((p) => p.until))
      )
        continue;
      const whole: Phrase = { ...after, parts: before.parts! };
      const found = findPart(whole, part, source);
      if (!found.ok) throw new Error(found.problems[0]!.message);
      const behind =
        JSON.stringify(musicOf(found.value.given)) === JSON.stringify(musicOf(found.value.now));
      expect(found.value.edited).toBe(!behind);
      if (behind) continue;
      const back = takeBack(whole, found.value);
      if (!back.ok) {
        met.refused++;
        continue;
      }
      met.back++;
      expect(checkPhrase(back.value.source)).toEqual([]);
      // What it gives is what stands there, whatever way led back.
      const again = findPart(back.value.whole, back.value.whole.parts![which]!, back.value.source);
      expect(again.ok && again.value.edited).toBe(false);
      const same =
        JSON.stringify(musicOf(back.value.source.voices)) === JSON.stringify(musicOf(next.voices));
      if (same) met.again++;
      expect(back.value.words.length).toBeGreaterThan(0);
    }
    expect(met.back).toBeGreaterThan(0);
    // Rules that lead two notes to one do not say which it was; most have one way back.
    expect(met.again / met.back).toBeGreaterThan(0.7);
  });

  it('takes what was written anew along, known by one id in both', () => {
    const d = new Dice(3, 1);
    let met = 0;
    for (let n = 0; n < runs(3, 200); n++) {
      const sources = Array.from({ length: 3 }, () => d.pick(inFour));
      const whole = lay(d.pick(forms), sources);
      if (whole === null) continue;
      const at = d.pick(notesOf(whole).filter((x) => x.voice === 0 && x.note.kind === 'pitched'));
      const { note, event } = at;
      const half = event.duration / 2;
      if (note.kind === 'dead' || note.bend !== undefined) continue;
      const { id: _, pitch, string, fret } = note;
      const again = { kind: 'pitched', id: 'n1', pitch, string, fret } as const;
      const written = withEvents(whole, 0, (events) =>
        events.flatMap((e) =>
          e === event
            ? [
                { ...e, duration: half },
                { onset: e.onset + half, duration: half, notes: [again] },
              ]
            : [e],
        ),
      );
      const part = whole.parts!.find((p) => note.id.startsWith(p.notes))!;
      const source = all.find((p) => p.id === part.source)!;
      if (checkPhrase(written).length > 0) continue;
      const found = findPart(written, part, source);
      const back = found.ok ? takeBack(written, found.value) : found;
      if (!back.ok) continue;
      met++;
      const all2 = notesOf(back.value.source).map((x) => x.note.id);
      expect(all2.length).toBe(notesOf(source).length + 1);
      expect(new Set(all2).size).toBe(all2.length);
      const [fresh] = all2.filter((id) => notesOf(source).every((x) => x.note.id !== id));
      expect(notesOf(back.value.whole).map((x) => x.note.id)).toContain(part.notes + fresh);
      const after = back.value.whole.parts!.find((p) => p.notes === part.notes)!;
      const twice = findPart(back.value.whole, after, back.value.source);
      expect(twice.ok && twice.value.edited).toBe(false);
    }
    expect(met).toBeGreaterThan(0);
  });

  it('is known again in a solo that was moved to another key or octave, and can be taken back from there', () => {
    const d = new Dice(6, 1);
    let [met, known, back] = [0, 0, 0];
    for (let n = 0; n < runs(6, 40); n++) {
      const sources = Array.from({ length: 4 }, () => d.pick(inFour));
      const laid = lay(d.pick(forms), sources);
      if (laid === null) continue;
      const { tonic } = parseKey(d.pick(['C', 'D', 'Eb', 'E', 'G', 'B']))!;
      const key = { to: { kind: 'key', key: { tonic, mode: laid.key.mode } } } as const;
      const octave = { to: { kind: 'octaves', octaves: 1 } } as const;
      const there = movePhrase(laid, n % 3 === 2 ? octave : key);
      if (!there.ok) continue;
      const whole = there.value.phrase;
      for (const { part } of partsOf(whole)) {
        const source = all.find((p) => p.id === part.source)!;
        const found = findPart(whole, part, source);
        met++;
        // What does not lie on the neck in the new key as it did is not certain.
        if (!found.ok) continue;
        known++;
        expect(found.value.edited, `${source.id} in ${whole.key.tonic.letter}`).toBe(false);
        // An accent there and taken back, it is what the new source gives.
        const loud = mapEvents(whole, (e) =>
          e.notes[0].id.startsWith(part.notes) ? { ...e, accent: true as const } : e,
        );
        const changed = findPart(loud, part, source);
        if (!changed.ok) throw new Error(changed.problems[0]!.message);
        const made = takeBack(loud, changed.value);
        if (!changed.value.edited || !made.ok) continue;
        const after = made.value.whole.parts!.find((p) => p.notes === part.notes)!;
        const twice = findPart(made.value.whole, after, made.value.source);
        expect(twice.ok && !twice.value.edited).toBe(true);
        back++;
      }
    }
    expect(known).toBeGreaterThan(met / 2);
    expect(back).toBeGreaterThan(known / 2);
  });

  it('is not certain where its source or the chords under it are other ones now', () => {
    const source = inFour[0]!;
    const whole = lay(forms[0]!, [source])!;
    const [part] = whole.parts!;
    const why = (w: Phrase, s: Phrase) => {
      const found = findPart(w, part!, s);
      return found.ok ? null : found.problems[0]!.message;
    };
    const d = new Dice(4, 1);
    const other = Array.from({ length: 20 }, () => edited(source, d)).find((p) => p !== null)!;
    expect(why(whole, other)).toMatch(/are not what they were/u);
    const [first, ...chords] = whole.chords;
    const minor = { ...whole, chords: [{ ...first!, symbol: 'Abm7' as never }, ...chords] };
    expect(why(minor, source)).toMatch(/are not what they were/u);
    const later = mapEvents(whole, (e) => ({ ...e, onset: e.onset + 10_080 }));
    expect(why({ ...later, length: later.length }, source)).toMatch(/whole bars/u);
    // A source that has grown past the end of the form says so; it does stand on whole bars.
    const [bar1] = source.bars;
    const grown = { ...source, bars: [...source.bars, ...whole.bars.map(() => bar1!)] };
    expect(why(whole, grown)).toMatch(/more bars than are left/u);
    // A bar put in before it changes nothing.
    const bar = whole.bars[0]!;
    const shift = <T extends { readonly onset: number }>(x: T): T => ({
      ...x,
      onset: x.onset + 40_320,
    });
    const longer: Phrase = {
      ...mapEvents(whole, shift),
      bars: [bar, ...whole.bars],
      length: whole.length + 40_320,
      chords: [first!, ...whole.chords.map(shift)],
    };
    const moved = findPart(longer, part!, source);
    expect(moved.ok && [moved.value.firstBar, moved.value.edited]).toEqual([2, false]);
  });
});

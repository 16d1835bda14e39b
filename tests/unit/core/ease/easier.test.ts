import { describe, expect, it } from 'vitest';
import { playabilityInSteps, playabilityOf } from '../../../../src/core/ease/easier';
import type { EasierKind, EasierWay } from '../../../../src/core/ease/types';
import { loadOf } from '../../../../src/core/neck/difficulty';
import { checkPlayable } from '../../../../src/core/neck/playable';
import type { Phrase } from '../../../../src/core/phrase/types';
import { endOf, heardPitch, notesOf } from '../../../../src/core/phrase/walk';
import { midiOf } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { keptText } from '../../../../src/io/text/playability';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';
import { THOROUGH } from '../../../support/thorough';

const calm = { bpm: 80, unit: 'quarter' } as const;

function waysOf(p: Phrase, kind?: EasierKind): readonly EasierWay[] {
  const all = playabilityOf(p)!;
  const ways = [...all.spots.flatMap((s) => s.ways), ...all.elsewhere];
  return kind === undefined ? ways : ways.filter((w) => w.kind === kind);
}

/** What is heard: onset and pitch of every note, and when it ends. */
function heardOf(p: Phrase): readonly string[] {
  return notesOf(p)
    .map(({ note, event }) =>
      note.kind === 'pitched'
        ? `${event.onset} ${midiOf(heardPitch(note))} ${endOf(event)}`
        : `${event.onset} x ${endOf(event)}`,
    )
    .sort();
}

describe('easier ways of playing a phrase', () => {
  it('are proven: valid, playable, in the same frame, and less by the same weights', () => {
    const samples = readSamples().map((s) => s.phrase);
    const phrases = samples.filter((_, i) => THOROUGH || i % 8 === 6);
    for (let seed = 1; seed <= (THOROUGH ? 100 : 3); seed++) phrases.push(seededPhrase(seed, {}));
    let ways = 0;
    for (const p of phrases) {
      if (loadOf(p) === null) {
        expect(playabilityOf(p)).toBeNull();
        continue;
      }
      const { problem } = loadOf(p)!;
      for (const w of waysOf(p)) {
        ways++;
        expect(checkPhrase(w.phrase), w.what).toEqual([]);
        expect(checkPlayable(w.phrase), w.what).toEqual([]);
        const frame = ({ chords, key, instrument, tempo, bars, length, feel }: Phrase) =>
          JSON.stringify([chords, key, instrument, tempo, bars, length, feel]);
        expect(frame(w.phrase)).toBe(frame(p));
        const before = loadOf(p, problem.style)!;
        const after = loadOf(w.phrase, problem.style)!;
        expect(w.cost).toEqual({ before: before.cost, after: after.cost });
        expect(after.score, w.what).toBeLessThan(before.score);
        expect(after.cost, w.what).toBeLessThanOrEqual(before.cost);
        expect(w.step.after).toBeLessThanOrEqual(w.step.before);
        // What it says of itself is so: compared by sound alone, without the reading of degrees.
        const same = JSON.stringify(heardOf(p)) === JSON.stringify(heardOf(w.phrase));
        expect(w.kept.notes && w.kept.times && w.kept.pitches, w.what).toBe(same);
        expect(w.changes.length > 0 || same, w.what).toBe(true);
        const pinned = notesOf(p).filter((n) => n.note.pinned);
        for (const { note } of pinned) {
          const now = notesOf(w.phrase).find((n) => n.note.id === note.id)?.note;
          expect(now?.string).toBe(note.string);
        }
      }
    }
    expect(ways).toBeGreaterThan(10);
  });

  it('put one note on another string instead of leaping', () => {
    const p = build('q 3/5 2/5 1/1 3/7', { chords: 'Am7', key: 'C', tempo: calm });
    const [spot] = playabilityOf(p)!.spots;
    expect(spot!.spot.parts).toContain('shift');
    expect(spot!.ways[0]).toMatchObject({ kind: 'place', kept: { pitches: true, roles: true } });
    expect(spot!.ways[0]!.what).toBe('F on string 2 fret 6, not string 1 fret 1');
    expect(spot!.ways[0]!.changes).toEqual([]);
  });

  it('hammer on instead of a stretch over two strings, and pluck instead of hammering a stretch', () => {
    // B on string 3; C is a string lower and six frets on, which string 3 has a fret on.
    const free = build('q 3/4 4/10 3/4 2/5', { chords: 'Am7', key: 'C', tempo: calm });
    const on = waysOf(free, 'strike').find((w) => w.what.startsWith('hammer on to C from B'))!;
    expect(on.kept).toEqual({ notes: true, times: true, pitches: true, roles: true });
    expect(on.pace.after).toBeLessThan(on.pace.before);
    // Where the player has pinned both, nothing can be hammered.
    const both = build('q 3/4(pin) 4/10(pin) 3/4(pin) 2/5', { chords: 'Am7', tempo: calm });
    expect(waysOf(both, 'strike')).toEqual([]);
    const wide = build('q 4/3 4/8(h) 3/3 4/3', { chords: 'Gm7', key: 'F', tempo: calm });
    const plain = waysOf(wide, 'strike').find((w) => w.what.startsWith('pluck'))!;
    expect(plain.what).toBe('pluck B♭ instead of hammering it on');
    const note = notesOf(plain.phrase)[1]!.note;
    expect(note).toMatchObject({ string: 3, fret: 3 });
    expect(note).not.toHaveProperty('attack');
  });

  it('slide where the hand has to go', () => {
    const p = build('q 3/5 3/12 2/12 1/12', { chords: 'C', tempo: calm });
    const what = waysOf(p, 'strike').map((w) => w.what);
    expect(what).toContain('slide to G from C instead of plucking it');
  });

  it('say what of a bend is not heard any more, and nothing where a slide rises as far', () => {
    const saidOf = (text: string, start: string) => {
      const p = build(text, { chords: 'C7', key: 'C', tempo: calm });
      return keptText(waysOf(p, 'bend').find((w) => w.what.startsWith(start))!);
    };
    const bent = 'q 4/2 4/3(bend:G3) 4/2 4/3';
    expect(saidOf(bent, 'fret G')).toBe('the rise from F is not heard any more');
    expect(saidOf(bent, 'slide up to G')).toBe('every pitch and role stays');
    expect(saidOf(bent, 'bend a semitone to G')).toBe('G is reached from G♭');
    const curled = 'q 4/2 6/3(curl) 4/2 4/3';
    expect(saidOf(curled, 'play G')).toBe('the quarter tone above G is not heard any more');
    // The start of a pre-bend was never heard.
    expect(saidOf('q 4/2 4/3(pre:G3) 4/2 4/3', 'fret G')).toBe('every pitch and role stays');
  });

  it('bend less: from nearer, not at all, or to a lower pitch, which is said with its degree', () => {
    const p = build('q 4/2 4/3(bend:G3) 4/2 4/3', { chords: 'C7', key: 'C', tempo: calm });
    const [spot] = playabilityOf(p)!.spots;
    expect(spot!.spot.parts).toContain('bend');
    const ways = waysOf(p, 'bend');
    const near = ways.find((w) => w.what.startsWith('bend a semitone to G'))!;
    expect(near.kept.pitches).toBe(true);
    expect(near.changes).toEqual(['G is reached from G♭']);
    expect(ways.map((w) => w.what)).toContain('slide up to G from F instead of bending');
    // What falls back again cannot be fretted; three frets wide, it may stop at a tone of the scale.
    const q = build('h 4/3(rel:Ab3) 4/3', { chords: 'Fm7', key: 'Ab', tempo: calm });
    const less = waysOf(q, 'bend').find((w) => !w.kept.pitches)!;
    expect(less.what).toBe('bend a whole tone only, instead of a tone and a half');
    expect(less.changes).toEqual(['A♭, the ♭3, becomes G, the 2']);
  });

  it('take another second note, let go of a held one, and leave a note out last', () => {
    const p = build('h 4/10(pin)+2/10(pin) 4/5+2/10(pin)', { chords: 'C', key: 'C', tempo: calm });
    const { ways } = playabilityOf(p)!.spots[0]!;
    const kinds = ways.map((w) => w.kind);
    expect(kinds.indexOf('fewer')).toBe(kinds.lastIndexOf('pair') + 1);
    expect(ways.find((w) => w.kind === 'pair')!.changes).toEqual(['G, the 5, becomes E, the 3']);
    const line = 'q 2/10(pin) 2/13(pin) 2/12(pin) 2/13(pin)';
    const held = build(line, { second: 'w 5/8(pin)', chords: 'C', key: 'C', tempo: calm });
    const go = waysOf(held, 'pair').find((w) => w.what === 'let go of F here')!;
    expect(go.kept).toMatchObject({ notes: true, times: false, pitches: true });
    expect(go.changes).toContain('F ends earlier');
  });

  it('hammer and pull where a quick run stays on its string', () => {
    const tempo = { bpm: 140, unit: 'quarter' } as const;
    const p = build('s 3/5 3/7 2/5 2/8 1/5 1/8 2/8 2/5', { chords: 'Am7', meter: '2/4', tempo });
    const run = playabilityOf(p)!.spots.find((s) => s.spot.parts.includes('pace'))!;
    expect(run.spot.why).toEqual(['9.3 strokes a second']);
    expect(run.ways[0]!.what).toMatch(/^hammer on and pull off .* 4 strokes fewer$/u);
    expect(run.ways[0]!.pace.after).toBeLessThan(run.ways[0]!.pace.before);
  });

  it('are known step by step, and nothing is said of what cannot be played', () => {
    const p = build('q 3/5 2/5 1/1 3/7', { chords: 'Am7', key: 'C', tempo: calm });
    const steps = [...playabilityInSteps(p)];
    expect(steps[0]).toMatchObject({ done: false, elsewhere: [] });
    expect(steps[0]!.spots.every((s) => s.ways.length === 0)).toBe(true);
    expect(steps.at(-1)).toEqual(playabilityOf(p));
    expect(playabilityOf(build('w 1/1+3/9'))).toBeNull();
    expect(playabilityOf(build('w -'))).toBeNull();
  });
});

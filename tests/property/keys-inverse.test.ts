import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { startEditing } from '../../src/core/edit/state';
import { fullLength } from '../../src/core/phrase/time';
import type { Note, Phrase } from '../../src/core/phrase/types';
import { midiOf } from '../../src/core/theory/pitch';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { arbPhrase, FEATURES, type Feature, seededPhrase } from '../support/arbitrary';
import { emptyPhrase, press } from '../support/edit';
import { keysFor, sayable } from '../support/keys-for';
import { noteKeys, strikeKeys } from '../support/technique-keys';
import { runs } from '../support/thorough';

/** The page on which a phrase is typed: its instrument, metre and pickup, and one empty bar. */
function pageFor(p: Phrase): Phrase {
  const bars = p.bars.slice(0, 1);
  const { instrument, key, pickup } = p;
  return emptyPhrase({
    ...{ instrument, key, pickup, bars },
    length: fullLength({ pickup, bars }),
  });
}

/** Everything that is typed. How a note is spelled follows from the chords, and is tested elsewhere. */
function musicOf(p: Phrase) {
  const { pickup, bars, length } = p;
  const voices = p.voices.map((v) => ({
    tuplets: v.tuplets,
    events: v.events.map((e) => ({ ...e, notes: e.notes.map(soundOf) })),
  }));
  return { pickup, bars, length, voices };
}

function soundOf({ id: _, ...n }: Note) {
  if (n.kind === 'dead') return n;
  const { pitch, bend, ...rest } = n;
  const target = bend === undefined || bend.shape === 'curl' ? null : midiOf(bend.target);
  return { ...rest, pitch: midiOf(pitch), bend: bend?.shape, curve: bend?.curve, target };
}

function typesBack(p: Phrase): void {
  const keys = keysFor(p);
  const typed = press(startEditing(pageFor(p)), ...keys).phrase;
  expect(checkPhrase(typed)).toEqual([]);
  expect(musicOf(typed), keys.join(' ')).toEqual(musicOf(p));
}

/** What keys say, feature by feature, each stage with everything before it. */
const STAGES: readonly (readonly [string, readonly Feature[]])[] = [
  ['single notes, rests, dots and ties', []],
  ['other instruments', ['tunings', 'capo']],
  ['other metres', ['meters']],
  ['a pickup', ['pickup']],
  ['values down to the 128th', ['fine rhythm']],
  ['triplets', ['tuplets']],
  ['dead notes', ['dead notes']],
  ['double stops', ['double stops']],
  ['chords', ['chords']],
  ['two voices', ['second voice']],
  ['hammer-on, pull-off, slide and tap', ['legato']],
  ['bends', ['bends']],
  ['slides in and off', ['slide-ins', 'slide-outs']],
  ['vibrato, ghost notes, let ring', ['vibrato', 'ghost notes', 'let ring']],
  ['natural harmonics', ['harmonics']],
  ['strokes, strums, palm mute and accents', ['strokes', 'articulations']],
];

/** The features left out at a stage. */
function withoutAt(stage: number): readonly Feature[] {
  const said = STAGES.slice(0, stage + 1).flatMap(([, features]) => features);
  return FEATURES.filter((f) => !said.includes(f));
}

describe('whatever is on the page can be typed, and typing gives just that', () => {
  it.each(STAGES.map(([name], stage) => [name, stage] as const))('%s', (_, stage) => {
    fc.assert(
      fc.property(arbPhrase({ without: withoutAt(stage) }), (p) => typesBack(sayable(p))),
      { numRuns: runs(25, 100), seed: 20_261_126 + stage },
    );
  });

  it.each([
    ['the plain language', STAGES.findIndex(([name]) => name === 'two voices')],
    ['with techniques', STAGES.length - 1],
  ])('presses so many keys a note, %s', (name, stage) => {
    const counts: Record<string, number> = { keys: 0, notes: 0 };
    const count = (what: string, n: number) => {
      counts[what] = (counts[what] ?? 0) + n;
    };
    for (let seed = 1; seed <= runs(200, 500); seed++) {
      const p = sayable(seededPhrase(seed, { without: withoutAt(stage) }));
      typesBack(p);
      count('keys', keysFor(p).length);
      count('second voices', p.voices.length - 1);
      for (const v of p.voices) {
        count('triplets', v.tuplets.length);
        for (const e of v.events) {
          count('notes', e.notes.length);
          count('struck together', e.notes.length > 1 ? 1 : 0);
          count('frets over 9', e.notes.filter((n) => n.fret > 9).length);
          count('dead notes', e.notes.filter((n) => n.kind === 'dead').length);
          if (stage < STAGES.length - 1) continue;
          count('strokes and marks', strikeKeys(e).length);
          for (const n of e.notes)
            if (n.kind === 'pitched') count('techniques', noteKeys(n).length);
        }
      }
    }
    const each = ((counts.keys ?? 0) / (counts.notes ?? 1)).toFixed(2);
    process.stdout.write(`${name}: ${each} keys a note; ${JSON.stringify(counts)}\n`);
    for (const [what, n] of Object.entries(counts)) expect(n, what).toBeGreaterThan(runs(20, 50));
  });
});

import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { createEngraver, engrave } from '../../src/engrave/engraver';
import type { EngraveOptions, Staves } from '../../src/engrave/options';
import { arbPhrase } from '../support/arbitrary';
import { arbDraw, beginSession, type Draw, emptyPhrase, runDraw } from '../support/edit';
import { degreesOf } from '../support/engraving';
import { runs } from '../support/thorough';

const SEED = 20_261_127;

const STAVES: readonly Staves[] = ['both', 'both', 'staff', 'tab', 'degrees'];

/** How a page is looked at; it changes now and then, as somebody turns a phone or marks a change. */
const arbLook = fc.record({
  staves: fc.constantFrom(...STAVES),
  width: fc.constantFrom(360, 640, 900),
  degrees: fc.boolean(),
  changed: fc.nat({ max: 3 }),
});
type Look = typeof arbLook extends fc.Arbitrary<infer T> ? T : never;

function optionsOf(p: Phrase, look: Look): EngraveOptions {
  const ids = p.voices.flatMap((v) => v.events.flatMap((e) => e.notes.map((n) => n.id)));
  return {
    staves: look.staves,
    width: look.width,
    ...(look.degrees ? { degrees: degreesOf(p) } : {}),
    changed: new Set(look.changed === 0 ? [] : ids.filter((_, i) => i % 4 === look.changed)),
  };
}

const arbSession = fc.record({
  phrase: fc.oneof(
    { weight: 1, arbitrary: fc.constant(emptyPhrase()) },
    { weight: 3, arbitrary: arbPhrase() },
  ),
  steps: fc.array(fc.record({ draw: arbDraw, look: fc.option(arbLook, { freq: 6 }) }), {
    minLength: 8,
    maxLength: 20,
  }),
});

describe('the engraver that keeps what did not change', () => {
  it('draws what a new one draws, through random sessions of commands and back again', () => {
    let compared = 0;
    let kept = 0;
    fc.assert(
      fc.property(arbSession, ({ phrase, steps }) => {
        const engraver = createEngraver();
        let session = beginSession(phrase);
        let look: Look = { staves: 'both', width: 640, degrees: true, changed: 0 };
        const pages: { phrase: Phrase; options: EngraveOptions }[] = [];
        const compare = (page: (typeof pages)[number]) => {
          const { systems } = engraver.engrave(page.phrase, page.options);
          const anew = engrave(page.phrase, page.options).systems;
          // The quick answer first: most are equal.
          if (!isDeepStrictEqual(systems, anew)) expect(systems).toEqual(anew);
          compared++;
          return systems;
        };
        let before = compare({ phrase, options: optionsOf(phrase, look) });
        steps.forEach((step: { draw: Draw; look: Look | null }, i) => {
          const last = session.state.phrase;
          session = runDraw(session, step.draw, i * 500);
          if (step.look === null && session.state.phrase === last) return;
          look = step.look ?? look;
          const page = {
            phrase: session.state.phrase,
            options: optionsOf(session.state.phrase, look),
          };
          pages.push(page);
          const now = compare(page);
          if (now.some((s) => before.includes(s))) kept++;
          before = now;
        });
        // Undo brings back drawings that may have been thrown away, and some that were not.
        for (const page of pages.reverse().slice(0, 3)) compare(page);
      }),
      { numRuns: runs(20, 150), seed: SEED },
    );
    // Neither comparing nothing nor keeping nothing would be a test.
    expect(compared).toBeGreaterThan(runs(100, 800));
    expect(kept).toBeGreaterThan(runs(4, 30));
  }, 300_000);
});

import { layLane, parseLane, storeLane } from '../../move/lane';
import { barSpans } from '../../phrase/time';
import type { Phrase } from '../../phrase/types';
import { defineCommand } from '../command';
import { layWithBars } from '../lane-bars';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import { FORM_NAMES, FORMS, type FormName, laneOfForm } from '../setup/forms';

/** The whole lane at once. */
export const wholeLane = defineCommand<string>({
  id: 'chord.lane',
  group: 'Chords and key',
  title: 'Write the whole lane of chords',
  words: 'progression harmony changes bars',
  ask: { kind: 'text', label: 'the chords', example: 'I7 | IV7 | I7 V7' },
  apply: (s, text) => {
    const bars = parseLane(text, s.phrase.key);
    if (!bars.ok) return cannot(bars.problems[0]!.message);
    const laid = layLane(s.phrase, bars.value);
    if (!laid.ok) return cannot(laid.problems[0]!.message);
    const chords = storeLane(laid.value);
    if (sameData(chords, s.phrase.chords)) return cannot('the lane has these chords already');
    return done({ ...s, phrase: { ...s.phrase, chords } }, 'chords written');
  },
});

/** The whole lane, before the bars it stands over: those that are missing are added. */
export const laneWithBars = defineCommand<string>({
  id: 'chord.lane-bars',
  group: 'Chords and key',
  title: 'Write the whole lane of chords, and add the bars it needs',
  words: 'progression harmony changes form first',
  ask: { kind: 'text', label: 'the chords', example: 'I7 | I7 | IV7 | I7' },
  apply: (s, text) => {
    const laid = layWithBars(s.phrase, text);
    if (!laid.ok) return cannot(laid.problems[0]!.message);
    const { phrase, added } = laid.value;
    if (sameData(phrase, s.phrase)) return cannot('the lane has these chords already');
    return done({ ...s, phrase }, chordsWritten(added));
  },
});

/** A form by its name, in the key of the phrase, with the bars it needs. */
export const layForm = defineCommand<FormName>({
  id: 'chord.form',
  group: 'Chords and key',
  title: 'Lay out the chords of',
  words: 'form progression harmony changes blues bars',
  ask: { kind: 'choice', choices: FORM_NAMES.map((n) => ({ value: n, title: FORMS[n].title })) },
  apply: (s, name) => {
    const laid = layWithBars(s.phrase, laneOfForm(name, s.phrase.key));
    if (!laid.ok) return cannot(laid.problems[0]!.message);
    const { phrase, added } = laid.value;
    if (sameData(phrase, s.phrase)) return cannot('the lane has these chords already');
    return done({ ...s, phrase }, `${FORMS[name].title}: ${chordsWritten(added)}`);
  },
});

function chordsWritten(added: number): string {
  if (added === 0) return 'chords written';
  return `chords written, ${added === 1 ? 'a bar' : `${added} bars`} added`;
}

/** The lane as it can be typed again; null where it has changes that bars and beats do not say. */
export function laneText(p: Phrase): string | null {
  const bars = barSpans(p).filter((b) => b.number > 0);
  const name = (c: Phrase['chords'][number]) => c.symbol ?? 'N.C.';
  const text = bars.map((b) => {
    const inside = p.chords.filter((c) => c.onset >= b.start && c.onset < b.end);
    const before = p.chords.filter((c) => c.onset < b.start).at(-1);
    const first = inside[0]?.onset === b.start ? [] : before === undefined ? [] : [before];
    return [...first, ...inside].map(name).join(' ');
  });
  if (text.some((t) => t === '')) return null;
  const lane = text.join(' | ');
  // Without a stroke each chord would be a bar.
  const joined = lane.includes(' ') && !lane.includes('|') ? `${lane} |` : lane;
  const parsed = parseLane(joined, p.key);
  const laid = parsed.ok ? layLane(p, parsed.value) : parsed;
  const same = laid.ok && sameData(storeLane(laid.value), p.chords);
  return same ? joined : null;
}

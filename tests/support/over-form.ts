import { layForm } from '../../src/core/form/lay';
import { repeatForm } from '../../src/core/form/repeat';
import type { Form } from '../../src/core/form/types';
import { layLane, storeLane } from '../../src/core/move/lane';
import { meterTicks } from '../../src/core/phrase/time';
import type { Phrase } from '../../src/core/phrase/types';
import { readSamples } from './samples';

const E_FLAT = { letter: 'E', alter: -1 } as const;
const some = readSamples()[0]!.phrase;

/** A phrase over so many choruses of a form in E flat; what is played does not matter. */
export function overForm(
  form: Form,
  choruses: number,
  pickup = 0,
  title = 'Long way home',
): Phrase {
  const laid = layForm(form, E_FLAT);
  if (!laid.ok) throw new Error('laid');
  const lane = repeatForm(laid.value, choruses).bars;
  const bars = lane.map(() => ({ meter: form.meter }));
  const length = pickup + meterTicks(form.meter) * bars.length;
  const chords = layLane({ pickup, bars, length }, lane);
  if (!chords.ok) throw new Error('lane');
  const { key } = laid.value;
  const meta = { ...some.meta, title };
  const frame = { key, bars, pickup, length, meta, feel: form.feel };
  return { ...some, ...frame, chords: storeLane(chords.value) };
}

/** The same as a solo that was made of phrases, of one. */
export function soloOver(form: Form, choruses: number, id: string): Phrase {
  const p = overForm(form, choruses);
  const { id: notes } = p.voices[0].events[0]!.notes[0];
  return { ...p, id, parts: [{ source: 'a', title: 'A', notes, octaves: 0, laid: 0 }] };
}

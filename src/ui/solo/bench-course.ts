import { FEEL_NAMES, FEELS, type FeelName } from '../../core/edit/setup/choices';
import { FASTEST, SLOWEST } from '../../core/edit/tempo-for';
import { type FormPlayed, formPlayed } from '../../core/form/played';
import type { Form } from '../../core/form/types';
import { sameData } from '../../core/phrase/same';
import type { Feel, Meter } from '../../core/phrase/types';
import type { Query } from '../shared/query';

/** Metres to choose from. */
export const METERS: readonly Meter[] = [
  { beats: 4, beatType: 4 },
  { beats: 3, beatType: 4 },
  { beats: 2, beatType: 4 },
  { beats: 5, beatType: 4 },
  { beats: 6, beatType: 8 },
  { beats: 9, beatType: 8 },
  { beats: 12, beatType: 8 },
];

/** `12/8` */
export const meterText = ({ beats, beatType }: Meter) => `${beats}/${beatType}`;

/** What a feel is called among those to choose from; undefined for one of its own. */
export function feelNameOf(feel: Feel): FeelName | undefined {
  return FEEL_NAMES.find((name) => sameData(FEELS[name], feel));
}

/** How a form is played, as the address says it; what makes no sense there counts as not said. */
export function readPlayed({ bpm, feel, meter }: Query): FormPlayed {
  const beats = Number(bpm);
  const name = FEEL_NAMES.find((f) => f === feel);
  const counted = METERS.find((m) => meterText(m) === meter);
  return {
    ...(Number.isInteger(beats) && beats >= SLOWEST && beats <= FASTEST ? { bpm: beats } : {}),
    ...(name === undefined ? {} : { feel: FEELS[name] }),
    ...(counted === undefined ? {} : { meter: counted }),
  };
}

/** The same as the address has it. */
export function writePlayed({ bpm, feel, meter }: FormPlayed): Query {
  return {
    bpm: bpm === undefined ? '' : String(bpm),
    feel: (feel && feelNameOf(feel)) ?? '',
    meter: meter === undefined ? '' : meterText(meter),
  };
}

const KNOWN = new WeakMap<Form, Map<string, Form>>();

/** `formPlayed`, the same one for the same wish, so that no solo is made again. */
export function playedForm(form: Form, played: FormPlayed): Form {
  const name = JSON.stringify(writePlayed(played));
  const known = KNOWN.get(form) ?? new Map<string, Form>();
  KNOWN.set(form, known);
  const made =
    known.get(name) ?? (Object.keys(played).length === 0 ? form : formPlayed(form, played));
  known.set(name, made);
  return made;
}

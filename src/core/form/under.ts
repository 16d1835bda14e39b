import { layLane, storeLane } from '../move/lane';
import type { ChordChange, Feel, Meter, Phrase } from '../phrase/types';
import { layForm } from './lay';
import { formPlayed } from './played';
import { MOST_CHORUSES, repeatForm } from './repeat';
import { STANDARD_FORMS } from './standard';
import type { Form } from './types';

/**
 * The form that a phrase goes through, once or several times, told by its key, metre and chords; null where there is
 * none. One that its title names goes before, then one of somebody's own.
 * @param own Forms of somebody's own. They have the metre and the feel they have; a standard form takes the phrase's.
 */
export function formUnder(p: Phrase, own: readonly Form[] = []): Form | null {
  const [first] = p.bars;
  const meter = first!.meter;
  if (!p.bars.every((b) => isMeter(b.meter, meter))) return null;
  const mine = own.filter((f) => isMeter(f.meter, meter) && isFeel(f.feel, p.feel));
  const standard = STANDARD_FORMS.map((f) => asPlayed(f, p, meter));
  const found = [...mine, ...standard].filter((f) => goesThrough(p, f));
  const named = found.filter((f) => f.title !== '' && p.meta.title.includes(f.title));
  return longest(named) ?? found[0] ?? null;
}

/** Why a phrase has no form under it (`formUnder`), in words without a full stop. */
export function whyNoForm(p: Phrase): string {
  const metres = [...new Set(p.bars.map(({ meter }) => `${meter.beats}/${meter.beatType}`))];
  if (metres.length > 1) {
    return `its bars are in ${metres.slice(0, -1).join(', ')} and ${metres.at(-1)}, and a form has one metre`;
  }
  if (p.chords.length === 0) return 'it has no chords';
  return 'no form here, of yours or a standard one, has its chords';
}

/** The name of a form may begin as that of another. */
function longest(forms: readonly Form[]): Form | undefined {
  return [...forms].sort((a, b) => b.title.length - a.title.length)[0];
}

function asPlayed(form: Form, p: Phrase, meter: Meter): Form {
  if (isMeter(form.meter, meter) && isFeel(form.feel, p.feel)) return form;
  return formPlayed(form, { meter, feel: p.feel });
}

function goesThrough(p: Phrase, form: Form): boolean {
  if (form.mode !== p.key.mode) return false;
  const laid = layForm(form, p.key.tonic);
  if (!laid.ok) return false;
  const chords = changesOf(p.chords);
  for (let choruses = 1; choruses <= MOST_CHORUSES; choruses++) {
    const { bars } = repeatForm(laid.value, choruses);
    if (bars.length > p.bars.length) return false;
    if (bars.length < p.bars.length) continue;
    const lane = layLane(p, bars);
    return lane.ok && changesOf(storeLane(lane.value)) === chords;
  }
  return false;
}

/** Where chords change to what: one that is written again is the one that lasts. */
function changesOf(chords: readonly ChordChange[]): string {
  return chords
    .filter((c, i) => c.symbol !== chords[i - 1]?.symbol)
    .map((c) => `${c.onset} ${c.symbol ?? 'N.C.'}`)
    .join(', ');
}

function isMeter(a: Meter, b: Meter): boolean {
  return a.beats === b.beats && a.beatType === b.beatType;
}

function isFeel(a: Feel, b: Feel): boolean {
  if (a.kind !== 'swing' || b.kind !== 'swing') return a.kind === b.kind;
  return a.unit === b.unit && a.first * b.second === b.first * a.second;
}

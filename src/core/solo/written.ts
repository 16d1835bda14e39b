import type { Form } from '../form/types';
import type { Feel, Phrase } from '../phrase/types';
import { secondsPerTick } from '../sound/perform';

/*
 * What was written for a slow straight tune is seldom what somebody plays in a quick swung one, however well it
 * joins. On the scale of `joinScore`, *ours*: as much as an octave off, and the same for each doubling of the
 * tempo beyond half a one, which a phrase bears.
 */
const FEEL = 1;
const PACE = 1;
const BEARS = 0.5;

type Written = Pick<Phrase, 'feel' | 'tempo'>;

/** What it counts that a phrase was written for another feel or tempo than those of a form. */
export function writtenScore(p: Written, form: Pick<Form, 'feel' | 'tempo'>): number {
  const feel = sameFeel(p.feel, form.feel) ? 0 : FEEL;
  return -feel - PACE * Math.max(0, Math.abs(doublings(p, form)) - BEARS);
}

/** The same in parts of a sentence. */
export function writtenWords(p: Written, form: Pick<Form, 'feel' | 'tempo'>): readonly string[] {
  const far = doublings(p, form);
  const feel = p.feel.kind === 'swing' ? 'swung' : 'straight';
  return [
    ...(sameFeel(p.feel, form.feel) ? [] : [`was written ${feel}`]),
    ...(far > BEARS ? ['was written for a much slower tempo'] : []),
    ...(far < -BEARS ? ['was written for a much quicker tempo'] : []),
  ];
}

/** How often the tempo of a form is twice that of a phrase. */
function doublings(p: Written, form: Pick<Form, 'tempo'>): number {
  return Math.log2(secondsPerTick(p.tempo) / secondsPerTick(form.tempo));
}

/** Swung alike or not at all; by how much is the player's business. */
const sameFeel = (a: Feel, b: Feel) =>
  a.kind === b.kind && (a.kind === 'straight' || b.kind === 'straight' || a.unit === b.unit);

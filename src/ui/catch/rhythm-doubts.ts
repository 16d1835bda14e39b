import { valueOfTicks } from '../../core/phrase/note-value';
import { TICKS_PER_QUARTER, type Ticks } from '../../core/phrase/types';
import type { CaughtPhrase, NoteDoubt } from '../../io/heard/phrases';
import { type SoundKey, soundKey } from './corrections';

/** Of which sounds the rhythm is unsure, and what it may be instead. */
export function doubtsBySound(
  phrases: readonly Pick<CaughtPhrase, 'doubts' | 'heard'>[],
): ReadonlyMap<SoundKey, NoteDoubt> {
  return new Map(
    phrases.flatMap(({ doubts, heard }) =>
      doubts.flatMap((d) => {
        const sound = heard.get(d.note);
        return sound === undefined ? [] : [[soundKey(sound), d] as const];
      }),
    ),
  );
}

/** What is unsure, as a sign beside a note says it. */
export const doubtSign = (d: NoteDoubt): string => (d.of === 'place' ? 'begin?' : 'length?');

/** What is unsure, as a sentence says it of its note. */
export function doubtWords(d: NoteDoubt): string {
  if (d.taken) return 'its rhythm is the one that you chose';
  return d.of === 'place' ? 'where it begins is unsure' : 'how long it lasts is unsure';
}

/** The second-best rhythm, as a key offers it. */
export function otherWords(d: NoteDoubt): string {
  if (d.of === 'length') return `${inWords(d.other)} long`;
  return `${inWords(Math.abs(d.other))} ${d.other < 0 ? 'earlier' : 'later'}`;
}

/** `a 16th`, `a dotted quarter`, `1/3 of a quarter`. */
export function inWords(ticks: Ticks): string {
  const known = valueOfTicks(ticks);
  if (known !== null && known.dots < 2) {
    const name = `${known.dots === 1 ? 'dotted ' : ''}${known.value}`;
    return `${name.startsWith('e') ? 'an' : 'a'} ${name}${/whole|half/u.test(known.value) ? ' note' : ''}`;
  }
  const share = ticks / TICKS_PER_QUARTER;
  for (let parts = 1; parts <= 16; parts++) {
    const count = Math.round(share * parts);
    if (count > 0 && Math.abs(share - count / parts) < 0.004) return quarters(count, parts);
  }
  return `${share.toFixed(2)} quarters`;
}

function quarters(count: number, parts: number): string {
  if (parts === 1) return `${count} quarters`;
  const whole = Math.floor(count / parts);
  const rest = `${count % parts}/${parts}`;
  return whole === 0 ? `${rest} of a quarter` : `${whole} ${rest} quarters`;
}

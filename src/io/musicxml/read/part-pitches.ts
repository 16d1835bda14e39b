import { STANDARD_GUITAR } from '../../../core/phrase/instrument';
import type { Midi } from '../../../core/theory/pitch';
import { midiOf } from '../../../core/theory/pitch';
import { child, type XmlElement } from '../xml/parse';
import { ImportLog } from './log';
import { choosePart } from './part';
import type { RawNote } from './raw';
import { someInstrumentHolds } from './suit';
import { walkPart } from './walk';
import type { ScoreChoice } from './ways-in';

/** The pitches of a part by staff; null where its file says what instrument it is for, or it cannot be walked. */
type ByStaff = ReadonlyMap<number, readonly Midi[]> | null;

/** The pitches of the parts of a score, each walked once: many choices are tried of a score that was refused. */
export class PartPitches {
  readonly #known = new Map<number | undefined, ByStaff>();

  constructor(private readonly score: XmlElement) {}

  /** False where some pitch of what is chosen lies on no instrument; reading it takes long and would only say that. */
  mayBeHeld({ part, staff, octave = 0 }: ScoreChoice): boolean {
    const known = this.#known.get(part);
    const staves = known === undefined ? this.#walk(part) : known;
    this.#known.set(part, staves);
    if (staves === null) return true;
    const midis = [...staves].flatMap(([s, all]) =>
      staff === undefined || s === staff ? all : [],
    );
    return someInstrumentHolds(
      STANDARD_GUITAR,
      midis.map((m) => m + 12 * octave),
    );
  }

  #walk(part: number | undefined): ByStaff {
    const chosen = choosePart(this.score, part ?? null, new ImportLog());
    const walked = chosen.ok ? walkPart(chosen.value.measures, new ImportLog()) : chosen;
    if (!walked.ok) return null;
    const { staffDetails, items } = walked.value;
    if (staffDetails.some((d) => child(d.element, 'staff-tuning') !== undefined)) return null;
    const staves = new Map<number, Set<Midi>>();
    for (const item of items) {
      const here = staves.get(item.staff) ?? new Set();
      staves.set(item.staff, here);
      for (const n of item.notes) {
        if (n.pitch !== null && !saysHow(n)) here.add(midiOf(n.pitch) + (n.quarterUp ? 1 : 0));
      }
    }
    return new Map([...staves].map(([staff, all]) => [staff, [...all]]));
  }
}

/** A harmonic sounds where no fret is, and what has a string and a fret has its place. */
function saysHow({ elements }: RawNote): boolean {
  return elements.some((e) => {
    const notations = child(e, 'notations');
    return notations !== undefined && child(notations, 'technical') !== undefined;
  });
}

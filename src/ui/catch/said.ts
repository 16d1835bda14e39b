import { isCompound } from '../../core/phrase/time';
import type { Meter } from '../../core/phrase/types';
import type { CatchSaid } from './messages';
import type { ReadAs } from './tempo-readings';

/** Metres that can be said of a recording. */
export const METERS: Readonly<Record<string, Meter>> = {
  '4/4': { beats: 4, beatType: 4 },
  '3/4': { beats: 3, beatType: 4 },
  '2/4': { beats: 2, beatType: 4 },
  '5/4': { beats: 5, beatType: 4 },
  '6/8': { beats: 6, beatType: 8 },
  '9/8': { beats: 9, beatType: 8 },
  '12/8': { beats: 12, beatType: 8 },
};
export const USUAL_METER = '4/4';
/** What is in three where nobody has said how long its bars are. */
const METER_IN_THREE = '12/8';

/** What stands in the fields in which that is said. */
export interface Fields {
  readonly tempo: string;
  readonly meter: string;
  readonly lane: string;
  readonly key: string;
}

/** What of it is understood; a tempo that is none is to be found. */
export function saidOf({ tempo, meter, lane, key }: Fields): CatchSaid {
  const known = tempo.trim() !== '' && isTempo(tempo);
  return {
    lane: lane.trim(),
    key: key.trim(),
    ...(known ? { bpm: Number(tempo) } : {}),
    ...(meter === USUAL_METER ? {} : { meter: METERS[meter]! }),
  };
}

/** What stands in the fields when this has been said. */
export const fieldsOf = ({ bpm, meter, lane, key }: CatchSaid): Fields => ({
  tempo: bpm === undefined ? '' : String(bpm),
  meter: meter === undefined ? USUAL_METER : `${meter.beats}/${meter.beatType}`,
  lane,
  key,
});

/** The fields in which a recording is read in another tempo. */
export function readAs({ meter }: Fields, { bpm, threes, found }: ReadAs): Partial<Fields> {
  const fits = isCompound(METERS[meter]!) === threes;
  return {
    tempo: found ? '' : String(bpm),
    meter: fits ? meter : threes ? METER_IN_THREE : USUAL_METER,
  };
}

/** Beats a minute; nothing written means that it is to be found. */
export function isTempo(text: string): boolean {
  const bpm = Number(text);
  return text.trim() === '' || (bpm >= 20 && bpm <= 400);
}

import type { Meter } from '../../../core/phrase/types';
import { child, childrenOf, ownText, readNumber, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import { clip } from './text';
import { meterOfTicks, WHOLE } from './value';

/**
 * The meter of a `<time>`; added ones (3/8 + 2/4, 3+2/8) are brought to one, which is logged.
 * @returns null for senza misura and for one that the model does not have, undefined for one that says nothing; both are logged.
 */
export function readTimeSignature(e: XmlElement, log: ImportLog): Meter | null | undefined {
  if (child(e, 'senza-misura') !== undefined) return null;
  const beats = childrenOf(e, 'beats');
  const types = childrenOf(e, 'beat-type');
  let ticks = 0;
  types.forEach((t, i) => {
    const type = readNumber(ownText(t));
    ticks += type === null || type <= 0 ? Number.NaN : (sumOf(beats[i]) * WHOLE) / type;
  });
  const shortest = Math.max(0, ...types.map((t) => readNumber(ownText(t)) ?? 0));
  const meter = meterOfTicks(ticks, isBeatType(shortest) ? shortest : 4);
  const found = { line: e.line };
  if (meter === null && ticks > 0) {
    const message = `the time signature '${describe(e)}' is not known here: its bars are as long as what is in them`;
    log.add('approximated', message, found);
    return null;
  }
  if (meter === null) {
    log.add('dropped', `the time signature '${describe(e)}' cannot be kept`, found);
    return undefined;
  }
  if (types.length > 1 || meter.beatType !== shortest) {
    const kept = `${meter.beats}/${meter.beatType}`;
    log.add('approximated', `the time signature '${describe(e)}' is kept as ${kept}`, found);
  }
  return meter;
}

/** `3+2` as 5; not a number where any part is none. */
function sumOf(beats: XmlElement | undefined): number {
  const text = (beats === undefined ? null : ownText(beats)) ?? '';
  return text.split('+').reduce((sum, part) => sum + (readNumber(part) ?? Number.NaN), 0);
}

function isBeatType(n: number): n is Meter['beatType'] {
  return n === 1 || n === 2 || n === 4 || n === 8 || n === 16;
}

function describe(e: XmlElement): string {
  const types = childrenOf(e, 'beat-type');
  const parts = childrenOf(e, 'beats').map((b, i) => {
    const type = types[i];
    return `${clip(ownText(b))}/${clip(type === undefined ? null : ownText(type))}`;
  });
  return parts.length === 0 ? 'without numbers' : parts.slice(0, 6).join(' + ');
}

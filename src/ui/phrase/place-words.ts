import { type CostReason, reasonText } from '../../core/neck/explain';
import { capital } from '../shared/words';

/** `around fret 7`, counted from the capo. */
export function placeName(fret: number): string {
  return `around fret ${fret}`;
}

/** `Bars 5 to 8`, `The pickup to bar 4`, `Bar 3`. */
export function partName([from, to]: readonly [number, number]): string {
  if (from === to) return from === 0 ? 'The pickup' : `Bar ${from}`;
  return from === 0 ? `The pickup to bar ${to}` : `Bars ${from} to ${to}`;
}

/** Reasons that weigh less say nothing to a player. */
const WORTH_TELLING = 0.5;
const TOLD = 4;

/** What a place asks of the hand and what eases it, the weightiest first. */
export interface PlaceWords {
  readonly asks: readonly string[];
  readonly eases: readonly string[];
}

/** @param reasons The costliest first. */
export function placeWords(reasons: readonly CostReason[]): PlaceWords {
  const told = (list: readonly CostReason[]) => list.slice(0, TOLD).map(reasonText);
  return {
    asks: told(reasons.filter((r) => r.cost >= WORTH_TELLING)),
    // They come costliest first, so what helps most comes last.
    eases: told(reasons.filter((r) => r.cost <= -WORTH_TELLING).reverse()),
  };
}

/** `Shift at bar 2; stretch of 92 mm at bar 3`, or that there is nothing. */
export function asksText(asks: readonly string[]): string {
  return asks.length === 0
    ? 'The hand lies still: no shift and no wide stretch.'
    : `${capital(asks.join('; '))}.`;
}

/** Effort to a tenth, as a number to compare places by. */
export function effortText(effort: number): string {
  return `effort ${(Math.round(effort * 10) / 10).toString().replace('-', '−')}`;
}

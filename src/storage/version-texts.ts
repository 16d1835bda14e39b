import { KEPT_VERSION } from '../core/library/versions';
import { check } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import { keyOf } from './record';
import { sealOf } from './seal';
import { isNewest } from './texts';
import type { VersionTexts } from './versions';

/**
 * Earlier versions out of the database as a library file holds them. What was checked when it was written
 * is taken as it lies there, if it is of the newest version; anything else is checked.
 * @param of The phrases whose versions are asked for.
 */
export function keptTextsOf(records: readonly unknown[], of: ReadonlySet<string>): VersionTexts {
  const asked = records.filter((r) => typeof r !== 'object' || r === null || isOf(r, of));
  const texts = asked.flatMap((r) => keptTextOf(r) ?? []);
  return { texts, unread: asked.length - texts.length };
}

function isOf(record: object, of: ReadonlySet<string>): boolean {
  const { id } = record as { id?: unknown };
  return typeof id === 'string' && of.has(id);
}

function keptTextOf(record: unknown): string | null {
  if (typeof record !== 'object' || record === null) return null;
  const { id, kept, why, text, sum } = record as { [field: string]: unknown };
  if (typeof id !== 'string' || typeof text !== 'string' || typeof kept !== 'number') return null;
  // Files have years of four digits.
  if (!(kept >= 0 && kept < YEAR_10000)) return null;
  const phrase = phraseText(id, text, sum);
  if (phrase === null) return null;
  const known = why === 'restore' || why === 'merge' ? why : 'edit';
  const head = { format: 'degreewise-version', version: KEPT_VERSION };
  const fields = JSON.stringify({ ...head, kept: new Date(kept).toISOString(), why: known });
  return `${fields.slice(0, -1)},"phrase":${phrase}}`;
}

function phraseText(id: string, text: string, sum: unknown): string | null {
  if (sum === sealOf(PHRASES, keyOf(PHRASES, id), text) && isNewest(PHRASES, text)) return text;
  const checked = check(PHRASES, text);
  return checked.ok && checked.value.value.id === id ? checked.value.text : null;
}

const YEAR_10000 = 253_402_300_800_000;

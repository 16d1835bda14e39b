import { EARLIER_VERSION, KEPT_VERSION } from '../core/library/thinning';
import { type AnyKind, check } from '../io/kinds/kind';
import { KINDS, PHRASES } from '../io/kinds/kinds';
import { partsOf } from './record';
import { sealOf } from './seal';
import { isNewest } from './texts';
import type { VersionTexts } from './versions';

/**
 * Earlier versions out of the database as a library file holds them. What was checked when it was written
 * is taken as it lies there, if it is of the newest version; anything else is checked.
 * @param of Keys of that whose versions are asked for.
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
  const kind = kindOfKey(id);
  const value = kind === null ? null : valueText(kind, id, text, sum);
  if (value === null) return null;
  const known = why === 'restore' || why === 'merge' ? why : 'edit';
  const [head, field] =
    kind === PHRASES
      ? [{ format: 'degreewise-version', version: KEPT_VERSION }, 'phrase']
      : [{ format: 'degreewise-earlier', version: EARLIER_VERSION }, 'thing'];
  const fields = JSON.stringify({ ...head, kept: new Date(kept).toISOString(), why: known });
  return `${fields.slice(0, -1)},"${field}":${value}}`;
}

/** What keeps earlier versions under keys like this one; null for what keeps none. */
export function kindOfKey(key: string): AnyKind | null {
  const { name } = partsOf(key);
  return KINDS.find((k) => k.name === name && k.keepsPast === true) ?? null;
}

function valueText(kind: AnyKind, key: string, text: string, sum: unknown): string | null {
  if (sum === sealOf(kind, key, text) && isNewest(kind, text)) return text;
  const checked = check(kind, text);
  if (!checked.ok || kind.identityOf(checked.value.value).id !== partsOf(key).id) return null;
  return checked.value.text;
}

const YEAR_10000 = 253_402_300_800_000;

import { check, type Kind, readyFor } from '../io/kinds/kind';
import { ChecksNotCome } from '../io/kinds/late-checks';
import type { Connection } from './connection';
import { pause } from './pieces';
import { isRecord, keyOf, type RawRecord } from './record';
import { sealOf } from './seal';

/**
 * Records read at a time; the next ones are on their way while these are looked at. Of more, the texts come
 * in so much at once that the page misses frames (of 4,000 in Chromium 128 gave nine tasks over 50 ms, 32 two).
 */
const CHUNK = 32;
/** So many readings are on their way at a time: in any other order than that of the keys each waits for the disk. */
const AHEAD = 4;
/** Milliseconds of work after which the page gets a chance to answer. */
const SLICE = 12;

/**
 * The texts of things as a library file holds them: of the newest version, and checked, now or when they
 * were written. No more than some of them are held.
 * @param ids In the order in which they come; that of the keys costs least. Those that are not there, or turn
 * out to be damaged, are left out, and the snapshot tells of the damage.
 */
export async function* textsOf(
  connection: Connection,
  kind: Kind<unknown>,
  ids: readonly string[],
): AsyncGenerator<readonly string[], void> {
  const keys = ids.map((id) => keyOf(kind, id));
  const read = (at: number) => {
    const raws = connection.read(keys.slice(at, at + CHUNK));
    // Who stops in between does not wait for it.
    raws.catch(() => undefined);
    return raws;
  };
  const coming: Promise<readonly RawRecord[]>[] = [];
  const turn = new Turn();
  for (let at = 0; at < keys.length || coming.length > 0; at += CHUNK) {
    if (at < keys.length) coming.push(read(at));
    if (at < keys.length && coming.length < AHEAD) continue;
    const raws = await coming.shift();
    if (raws !== undefined) yield await textsIn(connection, kind, raws, turn);
  }
}

/** What several readings that come at once are looked at in: they would be one task together, with what is made of them. */
class Turn {
  private end = 0;

  /** To be awaited between two things. */
  async over(): Promise<void> {
    if (performance.now() < this.end) return;
    await pause();
    this.end = performance.now() + SLICE;
  }
}

async function textsIn(
  connection: Connection,
  kind: Kind<unknown>,
  raws: readonly RawRecord[],
  turn: Turn,
): Promise<readonly string[]> {
  const texts: string[] = [];
  const bad: RawRecord[] = [];
  for (const raw of raws) {
    await turn.over();
    let text: string | null | undefined;
    try {
      text = textIn(kind, raw);
    } catch (e) {
      if (!(e instanceof ChecksNotCome)) throw e;
      await readyFor([kind]);
      text = textIn(kind, raw);
    }
    if (typeof text === 'string') texts.push(text);
    else if (text === null) bad.push(raw);
  }
  if (bad.length > 0) {
    connection.view.takeLoaded(bad);
    connection.view.publishRecords();
  }
  return texts;
}

/** @returns null for what cannot be read, undefined for what was removed. */
function textIn(kind: Kind<unknown>, raw: RawRecord): string | null | undefined {
  if ('unreadable' in raw || !isRecord(raw.value, raw.key)) return null;
  const { text, sum, removed } = raw.value;
  if (removed !== undefined) return undefined;
  // What was checked may have been so in an earlier version.
  if (sum === sealOf(kind, raw.key, text) && isNewest(kind, text)) return text;
  const checked = check(kind, text);
  if (!checked.ok) return null;
  return keyOf(kind, kind.identityOf(checked.value.value).id) === raw.key
    ? checked.value.text
    : null;
}

/** Whether a text that was checked is of the newest version; every document begins with what it is. */
export function isNewest(kind: Kind<unknown>, text: string): boolean {
  const { format, newest } = kind.versions;
  return text.startsWith(`{"format":"${format}","version":${newest},`);
}

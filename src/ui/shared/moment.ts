const MOMENT = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short' });
const TO_THE_SECOND = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'medium' });

/** `27 November 2026 at 14:05`, in the time of the reader; milliseconds since 1970. */
export function momentName(at: number): string {
  return Number.isFinite(at) ? MOMENT.format(at) : 'an unknown day';
}

/**
 * Names of moments that stand in one list, so that no two are alike: with seconds where the minute is the same, and with
 * a number, from the earliest on, where the second is.
 * @param times Milliseconds since 1970, the latest first.
 */
export function momentNames(times: readonly number[]): readonly string[] {
  const minutes = times.map(momentName);
  const names = minutes.map((name, i) => {
    const at = times[i]!;
    return Number.isFinite(at) && isTwice(minutes, name) ? TO_THE_SECOND.format(at) : name;
  });
  return names.map((name, i) => {
    if (!isTwice(names, name)) return name;
    const later = names.slice(i + 1).filter((other) => other === name).length;
    return `${name}, no. ${later + 1}`;
  });
}

const isTwice = (names: readonly string[], name: string): boolean =>
  names.indexOf(name) !== names.lastIndexOf(name);

const MOMENT = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short' });

/** `27 November 2026 at 14:05`, in the time of the reader; milliseconds since 1970. */
export function momentName(at: number): string {
  return Number.isFinite(at) ? MOMENT.format(at) : 'an unknown day';
}

/** The input that is listened to, as the browser gives it. */
export interface InputName {
  /** Empty where it has none. */
  readonly id: string;
  readonly name: string;
}

/** How long a sound takes through an input, both ways. */
export interface KeptDelay {
  readonly seconds: number;
  /** When it was measured, in milliseconds since 1970. */
  readonly at: number;
}

/** A delay beyond these is no delay of a device, in seconds. */
const LEAST = -0.02;
const MOST = 0.5;
/** So many inputs are remembered, those measured last. */
const INPUTS = 20;

/** Two inputs may have one name, and the usual input one id whatever is connected: both together tell them apart. */
const keyOf = ({ id, name }: InputName) => `${id} ${name}`;

/** The delay of an input among those that are kept; null where nobody has measured it. */
export function delayFor(kept: string | null, input: InputName): KeptDelay | null {
  return read(kept)[keyOf(input)] ?? null;
}

/** What is kept when an input has been measured. */
export function withDelay(kept: string | null, input: InputName, delay: KeptDelay): string {
  const all = Object.entries({ ...read(kept), [keyOf(input)]: delay });
  const newest = all.sort(([, a], [, b]) => b.at - a.at).slice(0, INPUTS);
  return JSON.stringify(Object.fromEntries(newest));
}

function read(kept: string | null): Readonly<Record<string, KeptDelay>> {
  let data: unknown;
  try {
    data = JSON.parse(kept ?? '{}');
  } catch {
    return {};
  }
  if (typeof data !== 'object' || data === null) return {};
  return Object.fromEntries(
    Object.entries(data).filter((e): e is [string, KeptDelay] => isDelay(e[1])),
  );
}

function isDelay(x: unknown): x is KeptDelay {
  if (typeof x !== 'object' || x === null) return false;
  const { seconds, at } = x as Record<string, unknown>;
  return (
    typeof at === 'number' && typeof seconds === 'number' && seconds >= LEAST && seconds <= MOST
  );
}

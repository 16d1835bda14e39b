import type { CDPSession, Page } from 'playwright';

interface TraceEvent {
  readonly name: string;
  readonly cat: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  /** Microseconds. */
  readonly ts: number;
  readonly dur?: number;
  /** Microseconds of processor time. */
  readonly tdur?: number;
  readonly args?: {
    readonly name?: string;
    readonly data?: { readonly functionName?: string; readonly url?: string };
  };
}

/** A profile of the processor as the browser gives it. */
interface Profile {
  readonly nodes: readonly {
    readonly id: number;
    readonly callFrame: { readonly functionName: string; readonly lineNumber: number };
    readonly children?: readonly number[];
  }[];
  /** Microseconds, on the clock of the trace. */
  readonly startTime: number;
  readonly samples?: readonly number[];
  readonly timeDeltas?: readonly number[];
}

/** A task of the page's thread. */
export interface LongTask {
  /** Milliseconds since the trace began. */
  readonly at: number;
  readonly ms: number;
  /** Milliseconds of processor time: what it takes where nothing else runs. */
  readonly busy: number;
  /** The longest things in it, with their milliseconds. */
  readonly of: string;
  /** The functions in which most of it was spent, with their milliseconds, and who called them. */
  readonly functions: string;
}

const CATEGORIES = ['devtools.timeline', 'v8', 'toplevel'];
/** Microseconds below which an event is not kept: there are millions of them. */
const SHORT = 8_000;
/** Milliseconds from which a task is told. */
const LONG = 50;

/**
 * Traces a page; ends with its tasks that took more than 50 ms.
 * @param clock Of the processor, or on the wall.
 */
export async function traceTasks(
  page: Page,
  clock: 'busy' | 'ms' = 'busy',
): Promise<() => Promise<readonly LongTask[]>> {
  const cdp: CDPSession = await page.context().newCDPSession(page);
  const events: TraceEvent[] = [];
  cdp.on('Tracing.dataCollected', ({ value }) => {
    for (const e of value as unknown as TraceEvent[])
      if (isThread(e) || (e.ph === 'X' && ((e.dur ?? 0) > SHORT || isScript(e)))) events.push(e);
  });
  await cdp.send('Profiler.enable');
  await cdp.send('Profiler.setSamplingInterval', { interval: 1_000 });
  await cdp.send('Profiler.start');
  await cdp.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: CATEGORIES },
  });
  return async () => {
    const complete = new Promise((resolve) => cdp.once('Tracing.tracingComplete', resolve));
    await cdp.send('Tracing.end');
    await complete;
    const { profile } = await cdp.send('Profiler.stop');
    await cdp.detach();
    return longTasksIn(events, profile, clock);
  };
}

/** Says which thread is that of a page; workers run scripts as well. */
function isThread({ name, args }: TraceEvent): boolean {
  return name === 'thread_name' && args?.name === 'CrRendererMain';
}

function isScript({ name }: TraceEvent): boolean {
  return name === 'FunctionCall' || name === 'EvaluateScript';
}

function longTasksIn(
  events: readonly TraceEvent[],
  profile: Profile,
  clock: 'busy' | 'ms',
): readonly LongTask[] {
  const begin = events.reduce((min, e) => (e.ts > 0 ? Math.min(min, e.ts) : min), Infinity);
  const threads = new Set(events.filter(isThread).map((e) => `${e.pid} ${e.tid}`));
  // Other pages of the browser run none.
  const main = events.find((e) => isScript(e) && threads.has(`${e.pid} ${e.tid}`));
  const own = events.filter((e) => e.tid === main?.tid && e.pid === main.pid);
  return own
    .filter((e) => {
      const took = clock === 'busy' ? (e.tdur ?? e.dur) : e.dur;
      return e.name.endsWith('RunTask') && (took ?? 0) >= LONG * 1000;
    })
    .map((task) => {
      const end = task.ts + (task.dur ?? 0);
      const inside = own.filter(
        (e) => e !== task && e.ts >= task.ts && e.ts + (e.dur ?? 0) <= end && (e.dur ?? 0) > SHORT,
      );
      const of = inside
        .sort((a, b) => (b.dur ?? 0) - (a.dur ?? 0))
        .slice(0, 6)
        .map((e) => `${nameOf(e)} ${Math.round((e.dur ?? 0) / 1000)}`);
      return {
        at: Math.round((task.ts - begin) / 1000),
        ms: Math.round((task.dur ?? 0) / 1000),
        busy: Math.round((task.tdur ?? task.dur ?? 0) / 1000),
        of: of.join(', '),
        functions: functionsIn(profile, task.ts, end),
      };
    });
}

function nameOf({ name, args }: TraceEvent): string {
  const called = args?.data?.functionName;
  return called === undefined || called === '' ? name : `${name} ${called}`;
}

/** Where the samples between two moments were taken. */
function functionsIn(profile: Profile, from: number, to: number): string {
  const nodes = new Map(profile.nodes.map((n) => [n.id, n]));
  const callers = new Map<number, number>();
  for (const n of profile.nodes) for (const c of n.children ?? []) callers.set(c, n.id);
  const path = (id: number) => {
    const names: string[] = [];
    for (
      let at: number | undefined = id;
      at !== undefined && names.length < 4;
      at = callers.get(at)
    ) {
      const frame = nodes.get(at)?.callFrame;
      if (frame !== undefined) names.push(`${frame.functionName || '-'}:${frame.lineNumber}`);
    }
    return names.join(' < ');
  };
  const spent = new Map<string, number>();
  let now = profile.startTime;
  for (const [i, id] of (profile.samples ?? []).entries()) {
    const delta = profile.timeDeltas?.[i] ?? 0;
    now += delta;
    if (now < from || now > to) continue;
    const name = path(id);
    spent.set(name, (spent.get(name) ?? 0) + delta / 1000);
  }
  return [...spent]
    .sort((a, b) => b[1] - a[1])
    .slice(0, 8)
    .map(([name, ms]) => `${Math.round(ms)} ${name}`)
    .join(' | ');
}

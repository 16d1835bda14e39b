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
  readonly args?: { readonly data?: { readonly functionName?: string; readonly url?: string } };
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
}

const CATEGORIES = ['devtools.timeline', 'disabled-by-default-devtools.timeline', 'v8', 'toplevel'];
/** Milliseconds of processor time from which a task is told. */
const LONG = 50;

/** Traces a page; ends with its tasks that took more than 50 ms of processor time. */
export async function traceTasks(page: Page): Promise<() => Promise<readonly LongTask[]>> {
  const cdp: CDPSession = await page.context().newCDPSession(page);
  const events: TraceEvent[] = [];
  cdp.on('Tracing.dataCollected', ({ value }) => {
    for (const e of value as unknown as TraceEvent[]) if (e.ph === 'X') events.push(e);
  });
  await cdp.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: CATEGORIES },
  });
  return async () => {
    const complete = new Promise((resolve) => cdp.once('Tracing.tracingComplete', resolve));
    await cdp.send('Tracing.end');
    await complete;
    await cdp.detach();
    return longTasksIn(events);
  };
}

function longTasksIn(events: readonly TraceEvent[]): readonly LongTask[] {
  const begin = events.reduce((min, e) => (e.ts > 0 ? Math.min(min, e.ts) : min), Infinity);
  // The page's thread is the one in which scripts are run.
  const main = events.find((e) => e.name === 'FunctionCall' || e.name === 'EvaluateScript');
  const own = events.filter((e) => e.tid === main?.tid && e.pid === main.pid);
  return own
    .filter((e) => e.name.endsWith('RunTask') && (e.tdur ?? e.dur ?? 0) >= LONG * 1000)
    .map((task) => {
      const end = task.ts + (task.dur ?? 0);
      const inside = own.filter(
        (e) => e !== task && e.ts >= task.ts && e.ts + (e.dur ?? 0) <= end && (e.dur ?? 0) > 8_000,
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
      };
    });
}

function nameOf({ name, args }: TraceEvent): string {
  const called = args?.data?.functionName;
  return called === undefined || called === '' ? name : `${name} ${called}`;
}

/** One event of a Chromium trace; times in microseconds. */
export interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  /** Time of the thread's own work, which stands still while other programs have the processor. */
  readonly tts?: number;
  readonly tdur?: number;
  readonly args?: { readonly data?: { readonly type?: string } };
}

/** Script, style and layout, as the timeline names them. */
const WORK = new Set([
  'EventDispatch',
  'FunctionCall',
  'RunMicrotasks',
  'TimerFire',
  'FireAnimationFrame',
  'FireIdleCallback',
  'EvaluateScript',
  'UpdateLayoutTree',
  'Layout',
]);

/** The first of what turns a laid-out page into a picture. */
const FRAME = new Set(['PrePaint', 'Paint', 'Commit', 'Layerize']);

/** Up to where the work after a press counts: the frame that shows it, or the next press. */
export type Until = 'frame' | 'next press';

/** By the clock on the wall, or by the work of the page's thread alone. */
export type Clock = 'wall' | 'thread';

/**
 * What each key press cost: milliseconds of script, style and layout on the page's main thread from
 * its `keydown` on, nested events counted once.
 */
export function costOfPresses(
  events: readonly TraceEvent[],
  until: Until,
  clock: Clock,
): readonly number[] {
  const downs = events
    .filter((e) => e.name === 'EventDispatch' && e.args?.data?.type === 'keydown')
    .sort((a, b) => a.ts - b.ts);
  const first = downs[0];
  if (first === undefined) return [];
  const work = events
    .filter(
      (e) =>
        e.pid === first.pid &&
        e.tid === first.tid &&
        e.ph === 'X' &&
        e.dur !== undefined &&
        WORK.has(e.name),
    )
    .sort((a, b) => a.ts - b.ts);
  const frames = events
    .filter((e) => e.pid === first.pid && e.tid === first.tid && FRAME.has(e.name))
    .map((e) => e.ts)
    .sort((a, b) => a - b);
  return downs.map((down, i) => {
    const next = downs[i + 1]?.ts ?? Number.POSITIVE_INFINITY;
    const frame = frames.find((t) => t > down.ts) ?? Number.POSITIVE_INFINITY;
    const end = until === 'frame' ? Math.min(frame, next) : next;
    const span = (e: TraceEvent) =>
      clock === 'wall'
        ? { from: e.ts, to: e.ts + (e.dur ?? 0) }
        : { from: e.tts ?? 0, to: (e.tts ?? 0) + (e.tdur ?? 0) };
    let covered = span(down).from;
    let sum = 0;
    for (const e of work) {
      if (e.ts < down.ts || e.ts >= end) continue;
      const { from, to } = span(e);
      sum += Math.max(0, to - Math.max(from, covered));
      covered = Math.max(covered, to);
    }
    return sum / 1_000;
  });
}

/** One event of a Chromium trace; times in microseconds. */
export interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
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

/**
 * What each key press cost: milliseconds of script, style and layout on the page's main thread from
 * its `keydown` on, nested events counted once.
 */
export function costOfPresses(events: readonly TraceEvent[], until: Until): readonly number[] {
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
    let covered = down.ts;
    let sum = 0;
    for (const e of work) {
      if (e.ts < down.ts || e.ts >= end) continue;
      const to = e.ts + (e.dur ?? 0);
      sum += Math.max(0, to - Math.max(e.ts, covered));
      covered = Math.max(covered, to);
    }
    return sum / 1_000;
  });
}

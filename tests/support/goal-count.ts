import { lowestOpen } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import type { Listener } from '../../src/sound/capture/listen';
import { renderPhrase } from '../../src/sound/render';
import type { Condition } from './catch-goals';
import { beatsAMinute, HEARD_RATE, heardBack } from './caught';
import { writtenAgain } from './caught-written';
import { heardIn } from './rooms';
import { Tally } from './tally';

export interface HeardAgain {
  readonly tally: Tally;
  readonly widths: readonly number[];
  readonly condition: Condition;
  /** Confidence of each note that was heard, and whether it had been played. */
  readonly sure: readonly (readonly [confidence: number, right: boolean])[];
}

/** A phrase as it sounds under a condition. */
export function soundUnder(p: Phrase, c: Condition, seed: number): Float32Array {
  const x = renderPhrase(p, { rate: HEARD_RATE, tail: 0.8, tone: c.tone });
  return heardIn(x, HEARD_RATE, c.room, c.noise, seed);
}

/** Plays, hears and writes a phrase, with its tempo told and then found. */
export function hearAgain(p: Phrase, c: Condition, seed: number, listener: Listener): HeardAgain {
  const heard = listener.hear(
    soundUnder(p, c, seed),
    HEARD_RATE,
    undefined,
    lowestOpen(p.instrument),
  );
  const back = heardBack(p, heard);
  const tally = new Tally();
  tally.join(back.tally);
  tally.join(writtenAgain(p, heard, back, { bpm: beatsAMinute(p), start: 0 }).tally);
  tally.join(writtenAgain(p, heard, back, {}).tally);
  const hit = new Set(back.pairs.map(([, h]) => h));
  const sure = heard.notes.map((n, i) => [n.confidence, hit.has(i)] as const);
  return { tally, widths: back.widths, condition: c, sure };
}

/** What must come back; how it is counted is in `src/sound/capture/README.md`. */
export const GOALS: Readonly<Record<string, number>> = {
  notes: 0.97,
  'bend, vibrato, slide, hammer-on, pull-off (mean)': 0.85,
  'onset exact': 0.95,
  'onset exact, tempo found': 0.9,
  degree: 1,
};

const FIVE = ['bend', 'vibrato', 'slide', 'hammer-on', 'pull-off'] as const;

/** Sums over phrases, in all and under each condition. */
export class GoalCount {
  readonly tally = new Tally();
  readonly widths: number[] = [];
  readonly sure: (readonly [number, boolean])[] = [];
  private readonly under = new Map<string, Tally>();

  add(h: HeardAgain): void {
    this.tally.join(h.tally);
    this.widths.push(...h.widths.map(Math.abs));
    this.sure.push(...h.sure);
    const { tone, room, noise } = h.condition;
    for (const name of [tone, room, `noise ${noise} dB`]) {
      const own = this.under.get(name) ?? new Tally();
      own.join(h.tally);
      this.under.set(name, own);
    }
  }

  /** The mean of the five techniques. */
  techniques(): number {
    return FIVE.reduce((sum, n) => sum + this.tally.of(n).f, 0) / FIVE.length;
  }

  lines(): readonly string[] {
    const rows = this.tally.names().map((n) => {
      const { f, hit, there, said } = this.tally.of(n);
      const goal = GOALS[n] === undefined ? '' : `  goal ${GOALS[n]}`;
      return `${n.padEnd(26)} F ${f.toFixed(3)}  ${hit} of ${there}, ${said} said${goal}`;
    });
    const under = [...this.under].map(
      ([name, t]) =>
        `${name.padEnd(16)} notes ${t.of('notes').f.toFixed(3)}, rhythm ${t.of('onset exact').f.toFixed(3)} and ${t.of('onset exact, tempo found').f.toFixed(3)}`,
    );
    return [
      ...rows,
      `five techniques, mean      F ${this.techniques().toFixed(3)}  goal 0.85`,
      `bend widths: median ${at(this.widths, 0.5).toFixed(1)}, 90% ${at(this.widths, 0.9).toFixed(1)} cents off; goal 15`,
      ...under,
      ...this.reliability(),
    ];
  }

  /** How often notes of each confidence had been played. */
  reliability(): readonly string[] {
    const rows = bins(this.sure).map(
      ({ said, right, count }) => `sure ${said.toFixed(2)}: right ${right.toFixed(2)} of ${count}`,
    );
    return [...rows, `expected error of how sure: ${expectedError(this.sure).toFixed(3)}`];
  }
}

type Sure = readonly (readonly [confidence: number, right: boolean])[];
const EDGES = [0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001];

function bins(sure: Sure) {
  return EDGES.slice(1).flatMap((to, i) => {
    const own = sure.filter(([c]) => c >= EDGES[i]! && c < to);
    if (own.length === 0) return [];
    const said = own.reduce((sum, [c]) => sum + c, 0) / own.length;
    const right = own.filter(([, r]) => r).length / own.length;
    return [{ said, right, count: own.length }];
  });
}

/** How far what is said of notes lies from how often they had been played: the mean over bins, each by its notes. */
export function expectedError(sure: Sure): number {
  const off = bins(sure).map((b) => b.count * Math.abs(b.said - b.right));
  return off.reduce((a, b) => a + b, 0) / Math.max(1, sure.length);
}

function at(list: readonly number[], share: number): number {
  const sorted = [...list].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

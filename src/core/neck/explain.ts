import { openMidi, reachMillimetres } from '../phrase/instrument';
import type { NoteId, Phrase } from '../phrase/types';
import { midiOf, pitchOfMidi } from '../theory/pitch';
import { barPlaces } from './bars';
import { type CostName, gapsIn, type MomentCost, momentCosts } from './costs';
import { handSpan } from './hand';
import type { Fingering, FingeringProblem } from './problem';
import type { FingeringStyle } from './weights';

/** One thing that makes a fingering hard, or easier where its cost is below 0. */
export interface CostReason {
  readonly part: CostName;
  /** Its share of the fingering's cost, in the unit of the weights. */
  readonly cost: number;
  /** In a player's words, without the bars: 'shift from fret 5 to fret 9', 'open G'. */
  readonly what: string;
  /** Bars in which it happens, ascending, each once; the pickup is bar 0. */
  readonly bars: readonly number[];
  /** Struck at the moments it is about, by id or grace key. */
  readonly noteIds: readonly NoteId[];
}

/**
 * Why a fingering costs what it does, the costliest first: what happens again in the same way is one
 * reason with all its bars. The costs of the reasons add up to `fingeringCost`.
 * @param problem the phrase's, which the fingering was found for.
 */
export function explainCost(
  phrase: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle = problem.style,
): readonly CostReason[] {
  const found = new Map<string, Gathered>();
  const places = barPlaces(phrase, problem.moments);
  momentCosts(problem, fingering, style).forEach((m, i) => {
    const bar = places[i]!.number;
    const noteIds = m.grip.struck.map((s) => s.note.id);
    const next = problem.moments.length - 1 === i ? problem.after?.hand : undefined;
    for (const r of reasonsAt(problem, m, next)) {
      if (r.cost === 0) continue;
      const key = `${r.part} ${r.what}`;
      const old = found.get(key);
      if (old === undefined) {
        found.set(key, { ...r, bars: [bar], noteIds: [...noteIds] });
        continue;
      }
      old.cost += r.cost;
      if (old.bars.at(-1) !== bar) old.bars.push(bar);
      old.noteIds.push(...noteIds);
    }
  });
  return [...found.values()].sort((a, b) => b.cost - a.cost);
}

/** A reason that is still being gathered. */
interface Gathered extends CostReason {
  cost: number;
  readonly bars: number[];
  readonly noteIds: NoteId[];
}

export type Reason = Pick<CostReason, 'part' | 'cost' | 'what'>;

/**
 * Why one moment costs what it does, part by part.
 * @param next Where the hand has to be after the phrase, for its last moment.
 */
export function reasonsAt(
  problem: FingeringProblem,
  m: MomentCost,
  next: number | undefined,
): readonly Reason[] {
  const { parts } = m;
  return [
    { part: 'shift', cost: parts.shift, what: shiftWords(m, next) },
    { part: 'reach', cost: parts.reach, what: reachWords(problem, m) },
    { part: 'crossing', cost: parts.crossing, what: 'changes of string' },
    { part: 'region', cost: parts.region, what: 'away from where these pitches lie best' },
    { part: 'fingers', cost: parts.fingers, what: fingersWords(m) },
    { part: 'ring', cost: parts.ring, what: 'let-ring note cut off' },
    ...shared(parts.open, 'open', openWords(problem, m)),
    ...shared(parts.bend, 'bend', bendWords(m)),
  ];
}

/** One cost over the strings it comes from, in equal shares. */
function shared(cost: number, part: CostName, whats: readonly string[]): readonly Reason[] {
  return whats.map((what) => ({ part, cost: cost / whats.length, what }));
}

function shiftWords(m: MomentCost, next: number | undefined): string {
  const from = m.from ?? m.hand;
  const out = next === undefined || next === m.hand ? '' : ` and on to fret ${next}`;
  return from === m.hand
    ? `shift on from fret ${m.hand} to fret ${next ?? m.hand}`
    : `shift from fret ${from} to fret ${m.hand}${out}`;
}

/** The stretch from the index finger to the farthest stop (N1), or how the index finger reaches back. */
function reachWords(problem: FingeringProblem, m: MomentCost): string {
  const span = handSpan([...m.grip.struck, ...m.grip.held]);
  if (span === null) return 'stretch';
  if (span.lo < m.hand) return `index finger reaches back to fret ${span.lo}`;
  const mm = Math.round(reachMillimetres(problem.instrument, m.hand, span.hi));
  return `stretch of ${mm} mm, frets ${m.hand} to ${span.hi}`;
}

function openWords(problem: FingeringProblem, m: MomentCost): readonly string[] {
  return m.grip.struck
    .filter((s) => s.note.kind === 'stopped' && s.fret === 0 && !s.note.heldUnder)
    .map((s) => `open ${nameOf(problem, s.string)}`);
}

/** A string by the name it sounds with, the capo included: E, B♭. */
function nameOf(problem: FingeringProblem, string: number): string {
  const { instrument } = problem;
  const own = instrument.tuning[string - 1]!;
  const midi = openMidi(instrument, string);
  const { letter, alter } = midiOf(own) === midi ? own : pitchOfMidi(midi, 'flat');
  return letter + (alter < 0 ? '♭'.repeat(-alter) : '♯'.repeat(alter));
}

function fingersWords({ grip }: MomentCost): string {
  return gapsIn(grip.struck) > 0 ? 'string in between kept silent' : 'several fingers down at once';
}

/** Stiff near the nut, pulled on the lower strings, where the string cannot be pushed; by which finger. */
function bendWords(m: MomentCost): readonly string[] {
  return m.grip.struck
    .filter((s) => s.note.bend !== undefined)
    .map((s) => {
      const how = [s.fret < 7 ? 'stiff' : '', s.string > 3 ? 'pulled' : ''].filter((w) => w !== '');
      const alone = s.fret <= m.hand ? ' with the index finger' : '';
      return [...how, `bend on string ${s.string} fret ${s.fret}${alone}`].join(' ');
    });
}

/** Parts that are spread over a whole phrase: which bars says nothing. */
const SPREAD: ReadonlySet<CostName> = new Set(['crossing', 'region', 'fingers']);

/** A reason as a line: 'open G at bars 1 and 3'. */
export function reasonText({ part, what, bars }: CostReason): string {
  const [first] = bars;
  if (SPREAD.has(part)) return what;
  if (bars.length > MANY_BARS) return `${what} in ${bars.length} bars`;
  if (bars.length === 1) return first === 0 ? `${what} in the pickup` : `${what} at bar ${first}`;
  return `${what} at bars ${bars.slice(0, -1).join(', ')} and ${bars.at(-1)}`;
}

/** More bars are only counted. */
const MANY_BARS = 4;

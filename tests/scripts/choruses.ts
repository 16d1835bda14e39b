/**
 * Choruses of the samples over every form in five keys: every bar filled or named with its reason, notes
 * keep their numbers against the chord or say why not, all of it valid and playable, no phrase more
 * often than asked, and how often the hand has to jump in no time.
 * `npx tsx tests/scripts/choruses.ts [choruses a form and key, 18] [seed, 1]`; exit code 1 at a fault.
 */
import { layForm } from '../../src/core/form/lay';
import { STANDARD_FORMS } from '../../src/core/form/standard';
import { handPath } from '../../src/core/neck/positions';
import { Placer } from '../../src/core/solo/placer';
import { faultsOf, proposeSolos } from '../../src/core/solo/propose';
import type { Solo } from '../../src/core/solo/types';
import { secondsPerTick } from '../../src/core/sound/perform';
import { parseKey } from '../../src/core/theory/key';
import { readSamples } from '../support/samples';

const DAY = '2026-01-01T00:00:00.000Z';
const each = Number(process.argv[2] ?? 18);
const seed = Number(process.argv[3] ?? 1);
const MOST = 3;
/** A jump of more frets than these in less time than this is no longer played cleanly (*ours*). */
const JUMP = { frets: 5, seconds: 0.2 };

const phrases = readSamples().map((s) => s.phrase);
const faults: string[] = [];
/** Each jump that there is no time for: in which phrase, or before it, and how often. */
const jumps = new Map<string, number>();
const count = { choruses: 0, bars: 0, empty: 0, notes: 0, told: 0, jumps: 0, between: 0, none: 0 };

function look(name: string, solo: Solo, bars: number): void {
  const { phrase, parts, empty } = solo;
  count.choruses++;
  count.bars += bars;
  count.empty += empty.length;
  for (const f of faultsOf(phrase)) faults.push(`${name}: ${f}`);
  const covered = parts.reduce((n, p) => n + p.lastBar - p.firstBar + 1, 0);
  if (covered + empty.length !== bars) faults.push(`${name}: ${covered} bars and ${empty.length}`);
  if (empty.some((e) => e.why === '')) faults.push(`${name}: a bar without reason`);
  for (const p of parts) {
    const times = parts.filter((x) => x.index === p.index).length;
    if (times > MOST) faults.push(`${name}: “${p.phrase.meta.title}” stands ${times} times`);
    for (const n of p.report.notes) {
      count.notes++;
      const { chordDegree: from } = n.before;
      const { chordDegree: to } = n.after;
      if (from === null || to === null || from.number === to.number) continue;
      if (n.adaptations.length > 0) count.told++;
      else
        faults.push(`${name}: ${p.phrase.meta.title} ${n.id}: ${from.number} became ${to.number}`);
    }
  }
  const perTick = secondsPerTick(phrase.tempo);
  const starts = new Set(parts.map((p) => p.firstBar));
  const path = handPath(phrase);
  path.forEach((h, i) => {
    const before = path[i - 1];
    if (before === undefined) return;
    const seconds = (h.onset - before.onset) * perTick;
    if (Math.abs(h.fret - before.fret) <= JUMP.frets || seconds >= JUMP.seconds) return;
    count.jumps++;
    const bar =
      Math.floor((h.onset - phrase.pickup) / ((phrase.length - phrase.pickup) / bars)) + 1;
    if (starts.has(bar) || starts.has(bar + 1)) count.between++;
    const part = parts.find((p) => bar <= p.lastBar) ?? parts.at(-1)!;
    const octave = part.octaves === 0 ? '' : `, octave ${part.octaves}`;
    const frets = `fret ${before.fret} to ${h.fret}, ${seconds.toFixed(2)} s`;
    const what = `“${part.phrase.meta.title}”${octave}, its bar ${bar - part.firstBar + 1}: ${frets}`;
    jumps.set(what, (jumps.get(what) ?? 0) + 1);
  });
}

const began = performance.now();
for (const form of STANDARD_FORMS) {
  for (const key of ['A', 'C', 'Eb', 'F#', 'Bb']) {
    const laid = layForm(form, parseKey(key)!.tonic);
    if (!laid.ok) throw new Error(form.id);
    const placer = new Placer(laid.value, phrases);
    const options = { seed, count: each, most: MOST };
    const made = proposeSolos(
      { form: laid.value, phrases, options },
      (n) => ({
        id: `${form.id}-${key}-${n}`,
        tempo: form.tempo,
        meta: { title: 'Solo', tags: [], created: DAY, modified: DAY },
      }),
      placer,
    );
    if (made.ok) {
      for (const [i, s] of made.value.entries()) {
        look(`${form.id} in ${key}, ${i + 1}`, s, laid.value.bars.length);
      }
    } else {
      count.none++;
      console.log(`${form.id} in ${key}: ${made.problems[0]?.message}`);
    }
  }
}
console.log(JSON.stringify(count), `${Math.round(performance.now() - began)} ms`);
for (const [what, times] of [...jumps].sort((a, b) => b[1] - a[1]).slice(0, 60)) {
  console.log(`  jump ${times} times: ${what}`);
}
console.log(`${faults.length} faults`);
for (const f of faults.slice(0, 60)) console.log(`  ${f}`);
if (faults.length > 0) process.exitCode = 1;

/**
 * Choruses of the samples over every form in five keys: every bar filled or named with its reason, notes
 * keep their numbers against the chord or say why not, all of it valid and playable, no phrase more
 * often than asked, how often the hand has to jump in no time, and how often it leaves notes that lie under it.
 * `npx tsx tests/scripts/choruses.ts [choruses a form and key, 20] [seed, 1]`; exit code 1 at a fault.
 */
import { layForm } from '../../src/core/form/lay';
import { STANDARD_FORMS } from '../../src/core/form/standard';
import { EIGHTHS, eighthOfBar, REST_BINS, RESTS, STARTS } from '../../src/core/joins/usual';
import { HIGHEST_FRET } from '../../src/core/neck/from-hand';
import { handPath } from '../../src/core/neck/positions';
import { beatTicks, meterTicks } from '../../src/core/phrase/time';
import type { Note } from '../../src/core/phrase/types';
import { endOf, notesOf } from '../../src/core/phrase/walk';
import { lineOf } from '../../src/core/solo/line';
import { Placer } from '../../src/core/solo/placer';
import { faultsOf, proposeSolos } from '../../src/core/solo/propose';
import { tornAt } from '../../src/core/solo/torn';
import type { Solo } from '../../src/core/solo/types';
import { secondsPerTick } from '../../src/core/sound/perform';
import { parseKey } from '../../src/core/theory/key';
import { readSamples } from '../support/samples';
import { wastesOf } from '../support/wasted-way';

const DAY = '2026-01-01T00:00:00.000Z';
const each = Number(process.argv[2] ?? 20);
const seed = Number(process.argv[3] ?? 1);
const MOST = 3;
/** A jump of more frets than these in less time than this is no longer played cleanly (*ours*). */
const JUMP = { frets: 5, seconds: 0.2 };

const phrases = readSamples().map((s) => s.phrase);
const faults: string[] = [];
/** Each jump that there is no time for: in which phrase, or before it, and how often. */
const jumps = new Map<string, number>();
/** On which eighth of the bar phrases begin, and the beats of rest before them. */
const starts = new Map<string, number>();
const rests: number[] = [];
/** Notes higher on the low strings than `LOW`, which their source had not so high. */
const high = new Map<string, number>();
/** Strings from the fifth on, and the highest fret that is read there with ease (*ours*). */
const LOW = { from: 5, fret: 15 };
/** Notes higher on the neck than `FRET`, where nobody asked, which their source had not so high. */
const beyond = new Map<string, number>();
const FRET = HIGHEST_FRET;
/** Parts of which a note lies in another octave than the one that was weighed. */
const displaced = new Map<string, number>();
/** Parts whose line leaps where it did not (`tornAt`). */
const torn = new Map<string, number>();
/** Ways of the hand of so many frets and more that other places would save (`wasted-way.ts`). */
const WASTED = 2;
const wasted = new Map<string, number>();
/** Of these what is the phrase as its player wrote it, and what lies where two phrases meet. */
const wastedAs = { written: 0, between: 0, other: 0 };
/** Parts by how they lie: as one shape, on the strings of their shape, with one or two notes on others, or elsewhere. */
const lies = { shape: 0, strings: 0, few: 0, elsewhere: 0 };
/** Why bars stay empty, and how often. */
const whys = new Map<string, number>();
const count = {
  choruses: 0,
  parts: 0,
  bars: 0,
  empty: 0,
  notes: 0,
  told: 0,
  jumps: 0,
  between: 0,
  none: 0,
};

function look(name: string, solo: Solo, bars: number, placer: Placer): void {
  const { phrase, parts, empty } = solo;
  count.choruses++;
  count.parts += parts.length;
  count.bars += bars;
  count.empty += empty.length;
  for (const f of faultsOf(phrase)) faults.push(`${name}: ${f}`);
  const covered = parts.reduce((n, p) => n + p.lastBar - p.firstBar + 1, 0);
  if (covered + empty.length !== bars) faults.push(`${name}: ${covered} bars and ${empty.length}`);
  if (empty.some((e) => e.why === '')) faults.push(`${name}: a bar without reason`);
  for (const { bar, why } of empty) {
    const what = `${bar === bars ? 'last bar' : 'bar'}: ${why.replace(/“.*”/, '“…”')}`;
    whys.set(what, (whys.get(what) ?? 0) + 1);
  }
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
  lookAtBeats(solo);
  lookAtLow(solo);
  lookAtFrets(solo);
  lookAtOctaves(solo, placer);
  lookAtPlaces(solo);
  lookAtWaste(solo);
  const perTick = secondsPerTick(phrase.tempo);
  const firstBars = new Set(parts.map((p) => p.firstBar));
  const path = handPath(phrase);
  path.forEach((h, i) => {
    const before = path[i - 1];
    if (before === undefined) return;
    const seconds = (h.onset - before.onset) * perTick;
    if (Math.abs(h.fret - before.fret) <= JUMP.frets || seconds >= JUMP.seconds) return;
    count.jumps++;
    const bar =
      Math.floor((h.onset - phrase.pickup) / ((phrase.length - phrase.pickup) / bars)) + 1;
    if (firstBars.has(bar) || firstBars.has(bar + 1)) count.between++;
    const part = parts.find((p) => bar <= p.lastBar) ?? parts.at(-1)!;
    const octave = part.octaves === 0 ? '' : `, octave ${part.octaves}`;
    const frets = `fret ${before.fret} to ${h.fret}, ${seconds.toFixed(2)} s`;
    const what = `“${part.phrase.meta.title}”${octave}, its bar ${bar - part.firstBar + 1}: ${frets}`;
    jumps.set(what, (jumps.get(what) ?? 0) + 1);
  });
}

/** The events of each part, in order. */
const eventsOf = ({ phrase, parts }: Solo) =>
  parts.map((_, i) => phrase.voices[0].events.filter((e) => e.notes[0].id.startsWith(`${i + 1}-`)));

function lookAtBeats(solo: Solo): void {
  const { meter } = solo.phrase.bars[0]!;
  const beat = beatTicks(meter);
  if (meterTicks(meter) !== 4 * beat) return;
  let until: number | null = null;
  for (const events of eventsOf(solo)) {
    const first = events[0]!;
    const name = EIGHTHS[eighthOfBar(first.onset - solo.phrase.pickup, meter)!]!;
    starts.set(name, (starts.get(name) ?? 0) + 1);
    if (until !== null) rests.push(Math.max(0, (first.onset - until) / beat));
    until = Math.max(...events.map(endOf));
  }
}

function lookAtLow(solo: Solo): void {
  solo.parts.forEach((part, i) => {
    const was = new Map(notesOf(part.phrase).map(({ note }) => [note.id, note]));
    for (const { note } of notesOf(solo.phrase)) {
      if (!note.id.startsWith(`${i + 1}-`) || note.string < LOW.from || note.fret <= LOW.fret)
        continue;
      const source = was.get(note.id.slice(`${i + 1}-`.length))!;
      if (source.string >= LOW.from && source.fret > LOW.fret) continue;
      const what = `“${part.phrase.meta.title}”, octave ${part.octaves}: string ${note.string} fret ${note.fret}`;
      high.set(what, (high.get(what) ?? 0) + 1);
    }
  });
}

function lookAtFrets(solo: Solo): void {
  solo.parts.forEach((part, i) => {
    const was = new Map(notesOf(part.phrase).map(({ note }) => [note.id, note.fret]));
    for (const { note } of notesOf(solo.phrase)) {
      if (!note.id.startsWith(`${i + 1}-`) || note.fret <= FRET || note.kind === 'dead') continue;
      if (was.get(note.id.slice(`${i + 1}-`.length))! > FRET) continue;
      const what = `“${part.phrase.meta.title}”, octave ${part.octaves}: string ${note.string} fret ${note.fret}`;
      beyond.set(what, (beyond.get(what) ?? 0) + 1);
    }
  });
}

/** A note of a part as it lies, beside where its player has it. */
function besideSource(
  { parts }: Solo,
  note: Note,
): { part: number; string: number; shift: number } {
  const part = Number.parseInt(note.id, 10) - 1;
  const id = note.id.slice(note.id.indexOf('-') + 1);
  const was = notesOf(parts[part]!.phrase).find((n) => n.note.id === id)!.note;
  return { part, string: note.string - was.string, shift: note.fret - was.fret };
}

/** Whether some notes lie as a shape that was slid along the neck. */
const isSlid = (notes: readonly { string: number; shift: number }[]) =>
  notes.every((n) => n.string === 0 && n.shift === notes[0]!.shift);

function lookAtPlaces(solo: Solo): void {
  for (const events of eventsOf(solo)) {
    const notes = events.flatMap((e) => e.notes.map((n) => besideSource(solo, n)));
    const off = notes.filter((n) => n.string !== 0).length;
    if (isSlid(notes)) lies.shape++;
    else if (off === 0) lies.strings++;
    else if (off <= 2) lies.few++;
    else lies.elsewhere++;
  }
}

function lookAtWaste(solo: Solo): void {
  const { events } = solo.phrase.voices[0];
  for (const w of wastesOf(solo.phrase).filter(({ frets }) => frets >= WASTED)) {
    const around = events.slice(Math.max(0, w.from - 1), w.to + 2);
    const notes = around.flatMap((e) => e.notes.map((n) => besideSource(solo, n)));
    const between = notes.some((n) => n.part !== notes[0]!.part);
    wastedAs[between ? 'between' : isSlid(notes) ? 'written' : 'other']++;
    const part = solo.parts[besideSource(solo, events[w.from]!.notes[0]).part]!;
    const places = around.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`).join('+'));
    const what = `“${part.phrase.meta.title}”, ${w.frets} frets: ${places.join(' ')}`;
    wasted.set(what, (wasted.get(what) ?? 0) + 1);
  }
}

function lookAtOctaves(solo: Solo, placer: Placer): void {
  const played = eventsOf(solo);
  for (const [k, part] of solo.parts.entries()) {
    const found = placer.at(part.index, part.firstBar - 1, 1);
    const weighed = found.ok && found.value.find((c) => c.octaves === part.octaves);
    if (weighed === false || weighed === undefined) throw new Error('a part nobody weighed');
    const { tuplets } = solo.phrase.voices[0];
    const heard = lineOf({ ...solo.phrase, voices: [{ events: played[k]!, tuplets }] });
    if (tornAt(lineOf(part.phrase), heard) > 0) {
      const name = `“${part.phrase.meta.title}”`;
      torn.set(name, (torn.get(name) ?? 0) + 1);
    }
    const off = heard.filter(
      (n, i) => Math.abs(n.midi - weighed.sketch.midi[i]! - 12 * part.octaves) >= 12,
    );
    if (off.length === 0) continue;
    const what = `“${part.phrase.meta.title}”, octave ${part.octaves}: ${off.length} of ${heard.length} notes`;
    displaced.set(what, (displaced.get(what) ?? 0) + 1);
  }
}

/** Shares of some bins, in hundredths. */
const shares = (n: readonly number[]) => {
  const all = n.reduce((a, b) => a + b, 0);
  return n.map((x) => ((100 * x) / all).toFixed(1)).join(' ');
};

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
        look(`${form.id} in ${key}, ${i + 1}`, s, laid.value.bars.length, placer);
      }
    } else {
      count.none++;
      console.log(`${form.id} in ${key}: ${made.problems[0]?.message}`);
    }
  }
}
console.log(JSON.stringify(count), `${Math.round(performance.now() - began)} ms`);
for (const [what, times] of [...whys].sort((a, b) => b[1] - a[1])) {
  console.log(`  empty ${times} times: ${what}`);
}
for (const [what, times] of [...jumps].sort((a, b) => b[1] - a[1]).slice(0, 60)) {
  console.log(`  jump ${times} times: ${what}`);
}
console.log(`starts on ${EIGHTHS.join(', ')}: ${shares(EIGHTHS.map((e) => starts.get(e) ?? 0))}`);
console.log(`  of recorded solos: ${shares(STARTS)}`);
const binned = REST_BINS.map(
  (from, i) =>
    rests.filter((r) => r >= from && r < (REST_BINS[i + 1] ?? Number.POSITIVE_INFINITY)).length,
);
console.log(`rests from ${REST_BINS.join(', ')} beats: ${shares(binned)}`);
console.log(`  of recorded solos: ${shares(RESTS)}`);
const tooHigh = [...high].sort((a, b) => b[1] - a[1]);
console.log(`${tooHigh.reduce((n, [, x]) => n + x, 0)} notes high on low strings`);
for (const [what, times] of tooHigh.slice(0, 20)) console.log(`  ${times} times: ${what}`);
for (const [found, what] of [
  [beyond, `notes beyond fret ${FRET} that nobody asked for`],
  [displaced, 'parts in another octave than was weighed'],
  [torn, `of ${count.parts} parts leap where their lines did not`],
  [wasted, `times the hand goes ${WASTED} frets and more to notes that lie nearer elsewhere`],
] as const) {
  console.log(`${[...found.values()].reduce((n, x) => n + x, 0)} ${what}`);
  for (const [name, times] of [...found].sort((a, b) => b[1] - a[1]).slice(0, 20)) {
    console.log(`  ${times} times: ${name}`);
  }
}
console.log(`of these ${JSON.stringify(wastedAs)}; parts lie ${JSON.stringify(lies)}`);
console.log(`${faults.length} faults`);
for (const f of faults.slice(0, 60)) console.log(`  ${f}`);
if (faults.length > 0) process.exitCode = 1;

import { accompany, usualFeel } from '../../src/core/backing/accompany';
import { meterTicks } from '../../src/core/phrase/time';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { USUAL_MIX } from '../../src/core/sound/parts';
import { perform, secondsPerTick } from '../../src/core/sound/perform';
import type { Sound } from '../../src/core/sound/types';
import { formatKey } from '../../src/core/theory/key';
import { midiOf } from '../../src/core/theory/pitch';
import { phrasesOf } from '../../src/io/heard/phrases';
import { takeOf } from '../../src/io/heard/take';
import { Listener } from '../../src/sound/capture/listen';
import { withoutBand } from '../../src/sound/capture/without-band';
import { renderParts } from '../../src/sound/render';
import { captureWeights } from '../support/capture-model';
import { SEEDS } from '../support/catch-goals';
import { HEARD_RATE } from '../support/caught';
import { Dice } from '../support/generate/dice';
import { playedPhrase } from '../support/played-phrase';
import { heardIn } from '../support/rooms';

/**
 * `npx tsx tests/scripts/catch-chorus.ts [COUNT] [LEAK] [known]`: choruses of four phrases with a bar of rest after each, played
 * with 20 ms of jitter over the band, in a room with noise; kept, cut and written as the phrases they were made of.
 */
const count = Number(process.argv[2] ?? 6);
/** Seconds to both sides by which a hand is off. */
const JITTER = 0.02;
/** The band where it leaks into the microphone, in decibels; a cable or headphones leave it out. */
const LEAK = Number(process.argv[3] ?? Number.NEGATIVE_INFINITY);
const listener = new Listener(captureWeights());

function chorus(first: number, d: Dice): readonly Phrase[] {
  const lead = playedPhrase(first);
  const out = [lead];
  for (let seed = first + 1; out.length < 4; seed++) {
    const p = playedPhrase(seed);
    const goes = formatKey(p.key) === formatKey(lead.key) && p.feel.kind === lead.feel.kind;
    if (goes) out.push({ ...p, tempo: lead.tempo, id: `${p.id}-${d.int(0, 9)}` });
  }
  return out;
}

let [cutRight, cuts, right, there, said] = [0, 0, 0, 0, 0];
/** Processor seconds of the process's own code, by stage. */
const spent = { hearing: 0, reading: 0, writing: 0 };
let lasted = 0;

function timed<T>(stage: keyof typeof spent, work: () => T): T {
  const before = process.cpuUsage();
  const made = work();
  spent[stage] += process.cpuUsage(before).user / 1e6;
  return made;
}

for (let i = 0; i < count; i++) {
  const d = new Dice(SEEDS.report + i, 7);
  const phrases = chorus(SEEDS.report + 1000 * (i + 1), d);
  const lead = phrases[0]!;
  const perTick = secondsPerTick(lead.tempo);
  const bar = meterTicks(lead.bars[0]!.meter);
  let at = 0;
  const begins: number[] = [];
  const sounds: Sound[] = [];
  const chords: Phrase['chords'][number][] = [];
  for (const p of phrases) {
    begins.push(at);
    const from = at;
    for (const s of perform(p).sounds) {
      const onset = Math.max(0, s.onset + from * perTick + JITTER * (2 * d.next() - 1));
      sounds.push({ ...s, onset });
    }
    chords.push(...p.chords.map((c) => ({ ...c, onset: c.onset + from })));
    at += p.length + bar;
  }
  sounds.sort((a, b) => a.onset - b.onset || a.string - b.string);
  const bars = Array.from({ length: at / bar }, () => lead.bars[0]!);
  const whole = { ...lead, chords, bars, length: at };
  const band = accompany(whole, { feel: usualFeel(whole), loops: false });
  const own = { instrument: lead.instrument, tone: 'clean' as const, sounds };
  const mix = { ...USUAL_MIX, bass: LEAK, comping: LEAK, drums: LEAK };
  const parts = { phrase: own, backing: band, click: [], length: at * perTick };
  const dry = renderParts(parts, { rate: HEARD_RATE, tail: 0.5, mix });
  const sound = heardIn(dry, HEARD_RATE, 'dry', -52, i);
  const all = timed('hearing', () => listener.hear(sound, HEARD_RATE));
  // What the band plays is known, and taken off where it leaks in.
  const strings = [...(band.bass?.sounds ?? []), ...(band.comping?.sounds ?? [])];
  const known = strings.map((s) => ({ at: s.onset, midi: s.midi }));
  const heard = process.argv[4] === 'known' ? withoutBand(all, sound, HEARD_RATE, known) : all;
  const take = timed('reading', () =>
    takeOf(heard, { bpm: lead.tempo.bpm, start: 0, key: lead.key }),
  );
  if (!take.ok) throw new Error(take.problems[0]!.message);
  const as = { newId: () => 'chorus', now: '2026-11-27T00:00:00Z', title: 'Chorus' };
  const made = timed('writing', () => phrasesOf(take.value, as));
  if (!made.ok) throw new Error(made.problems[0]!.message);
  lasted += heard.seconds;
  cuts += phrases.length;
  said += made.value.length;
  const line = phrases.map((p, k) => {
    const begin = begins[k]! * perTick - 0.15;
    const end = (begins[k]! + p.length) * perTick;
    const mine = made.value.filter((c) => c.from >= begin && c.from < end);
    if (mine.length === 1) cutRight += 1;
    const written = new Set(
      mine.flatMap(({ phrase, from }) => {
        // A pickup, and bars of rest before the first note, move the beginning.
        const first = notesOf(phrase)[0]!.event.onset;
        const start = Math.round((from / perTick - begins[k]! - first) / bar) * bar;
        const shift = phrase.pickup > 0 ? from / perTick - begins[k]! - first : start;
        return notesOf(phrase).flatMap(({ note, event }) =>
          note.kind === 'pitched'
            ? [`${Math.round((event.onset + shift) / 840)} ${midiOf(note.pitch)}`]
            : [],
        );
      }),
    );
    const notes = notesOf(p).flatMap(({ note, event }) =>
      note.kind === 'pitched' ? [`${Math.round(event.onset / 840)} ${midiOf(note.pitch)}`] : [],
    );
    const hit = notes.filter((n) => written.has(n)).length;
    right += hit;
    there += notes.length;
    return `${mine.length} (${hit} of ${notes.length})`;
  });
  console.log(`chorus ${i}, ${lead.tempo.bpm} a minute, ${lead.feel.kind}: ${line.join(', ')}`);
}
console.log(`cut as played: ${cutRight} of ${cuts} phrases (${said} were cut)`);
console.log(`notes with their own pitch on their own place: ${right} of ${there}`);
const share = (seconds: number) => `${((100 * seconds) / lasted).toFixed(1)}%`;
const all = spent.hearing + spent.reading + spent.writing;
console.log(
  `${all.toFixed(1)} s of processor time for ${lasted.toFixed(1)} s of sound, ${share(all)}: hearing ${share(spent.hearing)}, reading ${share(spent.reading)}, writing ${share(spent.writing)}`,
);

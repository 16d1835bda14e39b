import { BASS_RANGE } from '../../src/core/backing/bass';
import { BACKING_BASS } from '../../src/core/backing/bass-neck';
import { MOST_MOTION } from '../../src/core/backing/comping';
import type { Backing, FormChord } from '../../src/core/backing/types';
import { BACKING_GUITAR, COMPING_RANGE } from '../../src/core/backing/voicings';
import type { Instrument } from '../../src/core/phrase/types';
import { type Chord, chordTones, formatChord } from '../../src/core/theory/chord';
import { homeScale } from '../../src/core/theory/chord-scale';
import { degreeSemitones } from '../../src/core/theory/degree';
import { chromaOf, midiOf } from '../../src/core/theory/pitch';

const EIGHTH = 5_040;

/**
 * What a band does that it must not, reckoned from its notes alone: their numbers, times and the chord
 * symbols. Empty where all is well.
 */
export function backingFaults(b: Backing): readonly string[] {
  return [...bassFaults(b), ...compingFaults(b), ...drumFaults(b), ...timeFaults(b)];
}

function spanAt(b: Backing, at: number): FormChord | undefined {
  return b.form.chords.find((c) => c.start <= at && at < c.end);
}

const over = (chord: Chord, midi: number) => (((midi - chromaOf(chord.root)) % 12) + 12) % 12;
const tonesIn = (chord: Chord) =>
  new Set(chordTones(chord).map((d) => (degreeSemitones(d) + 12) % 12));
const homeIn = (chord: Chord) =>
  new Set(homeScale(chord).map((d) => (degreeSemitones(d) + 12) % 12));

function bassFaults(b: Backing): string[] {
  const faults: string[] = [];
  const { bass } = b;
  bass.forEach((n, i) => {
    const say = (what: string) => faults.push(`bass at ${n.at}, ${n.midi}: ${what}`);
    const span = spanAt(b, n.at);
    if (span?.chord == null) {
      say('sounds where there is no chord');
      return;
    }
    const { chord } = span;
    const before = bass[i - 1];
    const after = bass[i + 1];
    const tone = tonesIn(chord).has(over(chord, n.midi));
    const named = (chromaOf(chord.bass ?? chord.root) - n.midi) % 12 === 0;
    const step = (m: number | undefined) =>
      m !== undefined && Math.abs(m - n.midi) >= 1 && Math.abs(m - n.midi) <= 2;
    if (n.end > span.end) say('sounds over the change');
    if (n.midi < BASS_RANGE.lowest || n.midi > BASS_RANGE.highest) say('out of range');
    place(BACKING_BASS, n, say);
    if (over(chord, n.midi) !== (degreeSemitones(n.degree) + 12) % 12) say('its degree is another');
    switch (n.role) {
      case 'root':
        if (!named) say('is called the root');
        break;
      case 'chord tone':
        if (!tone) say('is no chord tone');
        break;
      case 'passing': {
        if (!homeIn(chord).has(over(chord, n.midi))) say('passes outside the home scale');
        const from = before?.midi === n.midi ? bass[i - 2]?.midi : before?.midi;
        const to = after?.midi === n.midi ? bass[i + 2]?.midi : after?.midi;
        if (!step(from) || !step(to)) say('passes by a leap');
        break;
      }
      case 'approach':
        if (n.end - n.at > 15_120) say('leads for more than a beat');
        // The last of a form that is played again leads to its first.
        if (!step((after ?? bass[0])?.midi) || (after !== undefined && after.at < span.end))
          say('approaches nothing');
        if (
          Math.abs((after ?? bass[0])!.midi - n.midi) === 2 &&
          !homeIn(chord).has(over(chord, n.midi))
        )
          say('approaches by a whole tone outside the home scale');
        break;
      case 'fifth of the next':
        if (
          ![5, 7].includes(Math.abs((after ?? bass[0])!.midi - n.midi)) ||
          (after !== undefined && after.at < span.end)
        )
          say('is no fifth of what follows');
        break;
    }
  });
  faults.push(...standing(b), ...emptyBeats(b));
  const from = b.form.bars.find((x) => x.number > 0)?.start ?? b.form.length;
  for (const c of b.form.chords) {
    const at = Math.max(c.start, from);
    if (c.chord === null || at >= c.end) continue;
    const n = bass.find((x) => x.at === at);
    const wanted = chromaOf(c.chord.bass ?? c.chord.root);
    if (n === undefined || (n.midi - wanted) % 12 !== 0)
      faults.push(`bass has no ${formatChord(c.chord)} on its change at ${at}`);
  }
  return faults;
}

/** A bass that walks stands on no note but the root for more than two beats. */
function standing({ bass, feel, form }: Backing): string[] {
  if (feel !== 'shuffle' && feel !== 'swing') return [];
  const faults: string[] = [];
  for (let i = 0; i < bass.length; ) {
    let k = i + 1;
    while (k < bass.length && bass[k]!.midi === bass[i]!.midi && bass[k]!.at === bass[k - 1]!.end)
      k++;
    const beat = form.bars.find((x) => x.end > bass[i]!.at)!.meter.beatType > 4 ? 15_120 : 10_080;
    const notRoot = bass.slice(i, k).every((n) => n.role !== 'root');
    if (notRoot && bass[k - 1]!.end - bass[i]!.at > 2 * beat)
      faults.push(`bass at ${bass[i]!.at}: stands on its ${bass[i]!.degree.number}`);
    i = k;
  }
  return faults;
}

/** In bars of two beats (2/4, 6/8) the bass plays both. */
function emptyBeats({ bass, form }: Backing): string[] {
  return form.bars.flatMap((bar) => {
    const { beats, beatType } = bar.meter;
    const two = (beats === 2 && beatType === 4) || (beats === 6 && beatType === 8);
    const second = bar.start + (beatType === 4 ? 10_080 : 15_120);
    const sounds = form.chords.some((c) => c.chord !== null && c.start <= second && c.end > second);
    if (!two || bar.number === 0 || second >= bar.end || !sounds) return [];
    return bass.some((n) => n.at === second) ? [] : [`bass rests on two of bar ${bar.number}`];
  });
}

function place(
  i: Instrument,
  n: { string: number; fret: number; midi: number },
  say: (w: string) => void,
) {
  const open = i.tuning[n.string - 1];
  if (open === undefined || midiOf(open) + n.fret !== n.midi || n.fret < 0 || n.fret > i.frets)
    say(`is not at string ${n.string}, fret ${n.fret}`);
}

function compingFaults(b: Backing): string[] {
  const faults: string[] = [];
  b.comping.forEach((c, i) => {
    const say = (what: string) => faults.push(`comping at ${c.at}: ${what}`);
    const span = spanAt(b, c.at);
    const next = span && b.form.chords[b.form.chords.indexOf(span) + 1];
    if (c.early && span && span.end - c.at > EIGHTH) say('more than an eighth early');
    const chord = (c.early ? next : span)?.chord;
    if (chord == null) {
      say('sounds where there is no chord');
      return;
    }
    if (c.end > (c.early ? next! : span!).end) say('sounds over the change');
    const tones = tonesIn(chord);
    for (const v of c.voices) {
      if (!tones.has(over(chord, v.midi))) say(`${v.midi} is no tone of ${formatChord(chord)}`);
      if (over(chord, v.midi) !== (degreeSemitones(v.degree) + 12) % 12)
        say(`the degree of ${v.midi}`);
      if (v.midi < COMPING_RANGE.lowest || v.midi > COMPING_RANGE.highest)
        say(`${v.midi} out of range`);
      place(BACKING_GUITAR, v, say);
    }
    const third = chordTones(chord).find((d) => d.number === 3);
    const heard = new Set(c.voices.map((v) => over(chord, v.midi)));
    const eleventh = chordTones(chord).some((d) => d.number === 4);
    if (third !== undefined && !eleventh && !heard.has(degreeSemitones(third)))
      say(`no third of ${formatChord(chord)}`);
    const seventh = chordTones(chord).find((d) => d.number === 7);
    if (seventh !== undefined && !heard.has(degreeSemitones(seventh)))
      say(`no seventh of ${formatChord(chord)}`);
    if (new Set(c.voices.map((v) => v.string)).size !== c.voices.length)
      say('two voices on one string');
    const frets = c.voices.map((v) => v.fret).filter((f) => f > 0);
    if (Math.max(...frets) - Math.min(...frets) > 3) say('more than four frets');
    const before = b.comping[i - 1];
    if (before === undefined) return;
    if (before.end > c.at) say('the chord before still sounds');
    // Into or out of a power chord, which has a voice less, a voice goes to the nearest.
    const same = c.voices.length === before.voices.length;
    c.voices.forEach((v, k) => {
      const from = same ? [before.voices[k]!] : before.voices;
      const moved = Math.min(...from.map((w) => Math.abs(v.midi - w.midi)));
      if (moved > MOST_MOTION) say(`voice ${k + 1} moves by ${moved} semitones`);
    });
  });
  return faults;
}

function drumFaults(b: Backing): string[] {
  const last = b.form.bars.at(-1);
  const faults = b.drums
    .filter((d) => d.at >= b.form.length || d.end > b.form.length)
    .map((d) => `${d.drum} at ${d.at} is past the end`);
  if (last !== undefined && last.number > 0 && !b.drums.some((d) => d.at >= last.start))
    faults.push('no drums in the last bar');
  for (const bar of b.form.bars) {
    const own = b.drums.filter((d) => d.at >= bar.start && d.at < bar.end);
    if (bar.number === 0 && own.length > 0) faults.push('drums in the pickup');
    if (bar.number > 0 && !own.some((d) => d.at === bar.start))
      faults.push(`nothing on one of bar ${bar.number}`);
  }
  return faults;
}

function timeFaults(b: Backing): string[] {
  const from = b.form.bars.find((x) => x.number > 0)?.start ?? b.form.length;
  return [...b.bass, ...b.comping, ...b.drums]
    .filter(
      (m) =>
        !Number.isInteger(m.at) ||
        !Number.isInteger(m.end) ||
        m.at < from ||
        m.at >= b.form.length ||
        m.end > b.form.length ||
        m.end < m.at,
    )
    .map((m) => `a moment from ${m.at} to ${m.end}`);
}

import { accompany, usualFeel } from '../../core/backing/accompany';
import { layLane, parseLane, storeLane } from '../../core/move/lane';
import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { PHRASE_VERSION, type Phrase, TICKS_PER_QUARTER } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import type { Click } from '../../core/sound/parts';
import type { Key } from '../../core/theory/key';
import { renderParts } from '../../sound/render';
import type { PlayWith, Round } from './messages';
import { readKey } from './said';

const BEATS = 4;
/** Seconds that ring over into the next round. */
const TAIL = 1;
const C: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/**
 * A bar of clicks, or the band once through the chords, that goes round.
 * @param rate Samples a second of the device.
 */
export function roundOf(wish: PlayWith, rate: number): Result<Round> {
  const beat = 60 / wish.bpm;
  const bar = clicksOf(beat);
  const countIn = rounded(
    renderOf({ click: bar, seconds: BEATS * beat }, rate),
    BEATS * beat,
    rate,
  );
  const form = formOf(wish);
  if (wish.way === 'click') {
    const seconds = countIn.length / rate;
    // Over a click one may play a form in mind: the chords that are said have its length.
    const once = form.ok ? form.value.bars.length * seconds : null;
    return ok({ countIn, samples: countIn.slice(), seconds, form: once, notes: [] });
  }
  if (!form.ok) return form;
  const p = form.value;
  const seconds = p.bars.length * BEATS * beat;
  const backing = accompany(p, { feel: usualFeel(p), loops: true });
  const samples = renderParts(
    { phrase: null, backing, click: [], length: seconds },
    { rate, tail: TAIL },
  );
  const round = rounded(samples, seconds, rate);
  const strings = [...(backing.bass?.sounds ?? []), ...(backing.comping?.sounds ?? [])];
  const notes = strings.map((s) => ({ at: s.onset, midi: s.midi }));
  const once = round.length / rate;
  return ok({ countIn, samples: round, seconds: once, form: once, notes });
}

function clicksOf(beat: number): readonly Click[] {
  return Array.from({ length: BEATS }, (_, i) => ({
    beat: i === 0 ? 'first' : 'beat',
    onset: i * beat,
    level: 0,
  }));
}

function renderOf(o: { click: readonly Click[]; seconds: number }, rate: number): Float32Array {
  const parts = { phrase: null, backing: null, click: o.click, length: o.seconds };
  return renderParts(parts, { rate, tail: TAIL });
}

/** What rings past the end sounds under the beginning. */
function rounded(samples: Float32Array, seconds: number, rate: number): Float32Array<ArrayBuffer> {
  const length = Math.round(seconds * rate);
  const out = new Float32Array(length);
  for (let i = 0; i < samples.length; i++) out[i % length]! += samples[i]!;
  return out;
}

/** The chords as a phrase without notes. */
function formOf({ lane, key: keyText, bpm }: PlayWith): Result<Phrase> {
  if (lane === '') {
    return fail({
      message: 'a band needs chords to play',
      fix: 'Write them above, for example I7 | IV7 | I7 | V7, or play to a click.',
    });
  }
  const said = readKey(keyText);
  if (!said.ok) return said;
  const key = said.value ?? C;
  const parsed = parseLane(lane, key);
  if (!parsed.ok) return parsed;
  const bars = parsed.value.map(() => ({ meter: { beats: BEATS, beatType: 4 as const } }));
  const length = bars.length * BEATS * TICKS_PER_QUARTER;
  const laid = layLane({ pickup: 0, bars, length }, parsed.value);
  if (!laid.ok) return laid;
  return ok({
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: 'played-with',
    parent: null,
    meta: { title: '', tags: [], created: NEVER, modified: NEVER },
    instrument: STANDARD_GUITAR,
    key,
    tempo: { bpm, unit: 'quarter' },
    feel: { kind: 'straight' },
    pickup: 0,
    bars,
    length,
    chords: storeLane(laid.value),
    voices: [{ events: [], tuplets: [] }],
    marks: [],
  });
}

/** It is played and never stored. */
const NEVER = '1970-01-01T00:00:00Z';

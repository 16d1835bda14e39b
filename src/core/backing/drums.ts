import type { Drum } from '../sound/parts';
import { dice } from './dice';
import { FILLS, KIT, type KitBar, type KitStroke, LEADS } from './drum-patterns';
import { type Beat, beatsOf, momentOf } from './grid';
import type { BackingFeel, BackingForm, DrumStroke, FormBar } from './types';

/** The drums over a form: a pattern, fills where sections end, a cymbal where the next begins. */
export function drumPart(
  form: BackingForm,
  feel: BackingFeel,
  seed: number,
  loops: boolean,
): readonly DrumStroke[] {
  const bars = form.bars.filter((b) => b.number > 0);
  const out: DrumStroke[] = [];
  bars.forEach((bar, i) => {
    const beats = beatsOf(bar);
    const pattern = thrown(feel, seed, i);
    const filled = fillFrom(bars, i, beats, seed);
    for (const [k, beat] of beats.entries()) {
      if (k >= filled) continue;
      for (const stroke of pattern[beat.cell]) add(out, beat, bar, stroke);
    }
    if (filled < beats.length) out.push(...fill(beats.slice(filled), bar, feel, seed, i, bars));
    if (opens(bars, i, loops, feel)) out.push(...crash(bar));
  });
  return once(out.filter((s) => s.at < form.length)).sort((a, b) => a.at - b.at);
}

function add(out: DrumStroke[], beat: Beat, bar: FormBar, s: KitStroke): void {
  const moment = momentOf(beat, s.place);
  if (moment === null || moment.at >= bar.end) return;
  const length = s.held === undefined ? 0 : Math.round(s.held * (beat.end - beat.at));
  const end = Math.min(bar.end, moment.at + length);
  out.push({ ...moment, end, level: s.level, drum: s.drum });
}

/** Of two strokes on one drum at one moment, the louder; and no ride under a crash. */
function once(list: readonly DrumStroke[]): DrumStroke[] {
  const known = new Map<string, DrumStroke>();
  for (const s of list) {
    const name = `${s.at} ${s.drum}`;
    const before = known.get(name);
    if (before === undefined || s.level > before.level) known.set(name, s);
  }
  const all = [...known.values()];
  const crashes = new Set(all.filter((s) => s.drum === 'crash').map((s) => s.at));
  return all.filter((s) => !(crashes.has(s.at) && (s.drum === 'ride' || s.drum === 'closed hat')));
}

function thrown(feel: BackingFeel, seed: number, i: number): KitBar {
  const { bars, turns } = KIT[feel];
  const list = bars[i % bars.length]!;
  // The plain bar, and another now and then at the end of two.
  if (list.length === 1 || (turns === 'second' && i % 2 === 0)) return list[0]!;
  const n = dice(seed, 'drums', i);
  return n < 0.6 ? list[0]! : list[1 + Math.floor(((n - 0.6) / 0.4) * (list.length - 1))]!;
}

/** The beat of a bar from which on a fill is played; past the last where there is none. */
function fillFrom(
  bars: readonly FormBar[],
  i: number,
  beats: readonly Beat[],
  seed: number,
): number {
  const bar = bars[i]!;
  // A form of a bar or two comes round too soon for fills.
  if (!bar.closes || bars.length < 4) return beats.length;
  const last = i === bars.length - 1;
  const size = last || dice(seed, 'fill size', i) < 0.4 ? 2 : 1;
  return Math.max(1, beats.length - (beats.length >= 4 ? size : 1));
}

function fill(
  beats: readonly Beat[],
  bar: FormBar,
  feel: BackingFeel,
  seed: number,
  i: number,
  bars: readonly FormBar[],
): readonly DrumStroke[] {
  const list = FILLS[feel];
  const out: DrumStroke[] = [];
  beats.forEach((beat, k) => {
    const lead = k === beats.length - 1 ? LEADS[feel] : list;
    const cell = lead[Math.floor(dice(seed, 'fill', i, k) * lead.length)]!;
    for (const s of cell) add(out, beat, bar, s);
  });
  const loud = i === bars.length - 1 ? 0 : -1;
  return out.map((s) => ({ ...s, level: s.level + loud, fill: true }));
}

/** Whether a section begins here after a fill; the first bar only where the form comes round to it. */
function opens(bars: readonly FormBar[], i: number, loops: boolean, feel: BackingFeel): boolean {
  if (feel === 'ballad' || feel === 'bossa' || bars.length < 4) return false;
  // In swing the ride leads on; a crash is for the top of the form (common practice).
  if (feel === 'swing') return i === 0 && loops;
  return i === 0 ? loops : bars[i - 1]!.closes;
}

function crash(bar: FormBar): readonly DrumStroke[] {
  const at = (drum: Drum, level: number): DrumStroke => ({
    at: bar.start,
    end: bar.start,
    drum,
    level,
  });
  return [at('crash', -1), at('kick', 1)];
}

import type { Note, Phrase, PhraseEvent } from '../core/phrase/types';
import type { TechniqueField } from '../core/technique/fields';
import { TECHNIQUE_FIELDS } from '../core/technique/table';
import { valueOfTechnique } from '../core/technique/value';
import { type PlannedLine, planLines } from './engrave';
import { type EngraveOptions, type Settings, settingsOf } from './options';
import { barKey, barSources, type DrawnBar, drawBar } from './page/bar';
import { layOutLine } from './page/line';
import { drawSystem, type EngravedSystem } from './page/system';
import { scoreOf } from './score/score';

/** A phrase as it is printed. */
export interface Engraving {
  /** The lines of music from top to bottom. */
  readonly systems: readonly EngravedSystem[];
}

/**
 * Engraves phrase after phrase and draws only what has changed since the last time: a bar whose
 * events, chords, marks and labels are the same is not drawn again, and a line of unchanged bars
 * comes back as the identical object; with `writtenIn` lines are always drawn. One engraver belongs to one place on the page.
 */
export interface Engraver {
  engrave(p: Phrase, o: EngraveOptions): Engraving;
}

/** Engraves a phrase: pure, the same text in Node and in every browser. */
export function engrave(p: Phrase, o: EngraveOptions): Engraving {
  return createEngraver().engrave(p, o);
}

interface Kept<T> {
  readonly key: readonly unknown[];
  readonly value: T;
}

/**
 * An engraver that keeps bars and lines from one drawing to the next, so that an edit costs its own.
 */
export function createEngraver(): Engraver {
  let bars: readonly Kept<DrawnBar>[] = [];
  let lines: readonly Kept<EngravedSystem>[] = [];
  return {
    engrave(p, o) {
      const s = settingsOf(o);
      const sources = barSources(p, scoreOf(p));
      bars = sources.map((source) => {
        const key = barKey(source, s);
        const kept = bars.find((b) => sameList(b.key, key));
        return kept ?? { key, value: drawBar(source, s) };
      });
      lines = planLines(
        p,
        s,
        bars.map((b) => b.value),
      ).map((line) => {
        const key = lineKey(p, s, line);
        const kept = lines.find((l) => sameList(l.key, key));
        return kept ?? { key, value: drawLine(p, s, line) };
      });
      return { systems: lines.map((l) => l.value) };
    },
  };
}

/** The ink of a line is only for tests; a page does not keep it. */
function drawLine(p: Phrase, s: Settings, { plan, room, limit }: PlannedLine): EngravedSystem {
  const { svg, hits, width, height, bars } = drawSystem(p, layOutLine(plan, room, limit), s, room);
  return { svg, hits, width, height, bars };
}

/** Everything a line's drawing depends on besides what its bars depend on. */
function lineKey(p: Phrase, s: Settings, { plan, room, limit }: PlannedLine): readonly unknown[] {
  const key: unknown[] = [room, limit, s.width, s.barNumbers, p.instrument, p.key.mode];
  key.push(p.key.tonic.letter, p.key.tonic.alter);
  key.push(s.degrees === null, plan.meter?.beats, plan.meter?.beatType, plan.isFirst);
  if (plan.isFirst) key.push(s.tempo, p.tempo.bpm, p.tempo.unit, ...Object.values(p.feel));
  for (const b of plan.bars)
    key.push(b.drawn, b.end, b.startsRepeat, b.meter?.beats, b.meter?.beatType);
  for (const v of [0, 1] as const) key.push(...neighbours(p.voices[v]?.events ?? [], plan.bars));
  return key;
}

/** What a line shows of the events before and after it: slurs, slides and spans lead over its ends. */
function neighbours(
  events: readonly PhraseEvent[],
  bars: PlannedLine['plan']['bars'],
): readonly string[] {
  const start = bars[0]!.drawn.bar.span.start;
  const end = bars.at(-1)!.drawn.bar.span.end;
  const first = events.findIndex((e) => e.onset + e.duration > start);
  const after = events.findIndex((e) => e.onset >= end);
  return [joinOf(events[first - 1]), joinOf(after < 0 ? undefined : events[after])];
}

/** Whether a note's or moment's neighbours in the lines before and after are drawn by a technique. */
const JOINS: Readonly<Record<TechniqueField, boolean>> = {
  attack: true,
  letRing: true,
  palmMute: true,
  // A note that a grace leads to is not reached from the line before.
  graces: true,
  slideIn: false,
  slideOut: false,
  bend: false,
  vibrato: false,
  trill: false,
  harmonic: false,
  barDip: false,
  ghost: false,
  scrape: false,
  finger: false,
  pluck: false,
  rake: false,
  stroke: false,
  strum: false,
  staccato: false,
  accent: false,
  tenuto: false,
  tremolo: false,
};

const JOINING = TECHNIQUE_FIELDS.filter((f) => JOINS[f]);

/** All of an event that its neighbours are drawn by. */
function joinOf(e: PhraseEvent | undefined): string {
  if (e === undefined) return '';
  const joins = (x: Note | PhraseEvent) =>
    JOINING.map((f) => JSON.stringify(valueOfTechnique(x, f)) ?? '');
  const notes = e.notes.map((n) => [n.id, n.kind, n.string, n.fret, ...joins(n)].join(','));
  return [e.onset, e.duration, ...joins(e), ...notes].join(' ');
}

function sameList(a: readonly unknown[], b: readonly unknown[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}

import type { Attack } from '../../../core/phrase/types';
import { midiOf } from '../../../core/theory/pitch';
import type { ImportLog } from './log';
import type { NoteMarks, SpanEnd } from './mark-types';
import { readMarks } from './marks';
import type { RawNote } from './raw';
import type { TimedItem, TimedStream } from './rhythm';

/** A written note with its marks and with what leads to it from other notes. */
export interface MarkedNote {
  readonly raw: RawNote;
  readonly marks: NoteMarks;
  /** How it is reached from a note before. */
  readonly attack: Exclude<Attack, 'tap'> | null;
  /** The grace note it is slid into from; null when slid to from a note of its own time. */
  readonly slidFromGrace: MarkedNote | null;
  readonly vibrato: 'narrow' | 'wide' | null;
}

export interface MarkedItem extends Omit<TimedItem, 'item'> {
  readonly item: TimedItem['item'];
  readonly notes: readonly MarkedNote[];
}

interface Working {
  readonly raw: RawNote;
  readonly marks: NoteMarks;
  attack: MarkedNote['attack'];
  slidFromGrace: MarkedNote | null;
  vibrato: MarkedNote['vibrato'];
}

interface End {
  readonly index: number;
  readonly note: Working;
  readonly wide: boolean;
}

interface Pair {
  readonly kind: SpanEnd['kind'];
  readonly start: End | null;
  readonly stop: End;
}

/**
 * Reads the marks of all notes of a voice and joins what begins on one note and ends on another:
 * hammer-ons, pull-offs, slides, slurs and wavy lines.
 * @param own Whether we wrote the file: then each slide that is not plucked has a slur of its own.
 */
export function markStream(
  stream: TimedStream,
  own: boolean,
  log: ImportLog,
): readonly MarkedItem[] {
  const items = stream.items.map((timed) => ({
    ...timed,
    notes: timed.item.notes.map(
      (raw): Working => ({
        raw,
        marks: readMarks(raw, timed.onset, log),
        attack: null,
        slidFromGrace: null,
        vibrato: null,
      }),
    ),
  }));
  const pairs = pairSpans(items, log);
  const slurs = pairs.filter((p) => p.kind === 'slur');
  const ended = new Set(slurs.map((p) => p.stop.note));
  // A slur to a note that is hammered or pulled, or from a grace, says nothing about the others of
  // its chord.
  const taken = new Set(
    pairs.flatMap((p) => (p.kind === 'hammer-on' || p.kind === 'pull-off' ? [p.stop.note] : [])),
  );
  const covered = coverage(
    slurs.filter((p) => !taken.has(p.stop.note) && !isFromGrace(p, items)),
    items.length,
  );
  const isSlurred = ({ index, note }: End) => ended.has(note) || (!own && covered[index] === true);
  for (const p of pairs) applyAttack(p, items, isSlurred, log);
  logPlainSlurs(pairs, items, log);
  for (const p of pairs) applyWave(p, items);
  return items;
}

type WorkingItem = Omit<TimedItem, 'item'> & {
  readonly item: TimedItem['item'];
  readonly notes: readonly Working[];
};

function pairSpans(items: readonly WorkingItem[], log: ImportLog): readonly Pair[] {
  const pairs: Pair[] = [];
  const open = new Map<string, End>();
  items.forEach((item, index) => {
    for (const note of item.notes) {
      const found = { onset: item.onset, line: item.item.element.line };
      for (const s of inOrder(note.marks.spans, open)) {
        if (s.type === 'start') {
          logUnended(open.get(s.key), s.kind, items, log);
          open.set(s.key, { index, note, wide: s.wide });
          continue;
        }
        const start = open.get(s.key) ?? null;
        open.delete(s.key);
        if (start === null && (s.kind === 'slur' || s.kind === 'wavy-line')) {
          log.add('dropped', `a ${s.kind.replace('-', ' ')} that starts nowhere`, found);
          continue;
        }
        pairs.push({ kind: s.kind, start, stop: { index, note, wide: s.wide } });
      }
    }
  });
  for (const [key, end] of open) logUnended(end, key.split(':')[1] as SpanEnd['kind'], items, log);
  for (const end of open.values()) {
    const wave = end.note.marks.spans.find((s) => s.kind === 'wavy-line' && s.type === 'start');
    if (wave !== undefined) pairs.push({ kind: 'wavy-line', start: end, stop: end });
  }
  return pairs;
}

/** Ends what is open before anything new begins, whichever way round the file has them. */
function inOrder(
  spans: readonly SpanEnd[],
  open: ReadonlyMap<string, unknown>,
): readonly SpanEnd[] {
  const closing = spans.filter((s) => s.type === 'stop' && open.has(s.key));
  const firstOfKey = closing.filter((s, i) => closing.findIndex((x) => x.key === s.key) === i);
  return [...firstOfKey, ...spans.filter((s) => !firstOfKey.includes(s))];
}

function logUnended(
  end: End | undefined,
  kind: SpanEnd['kind'],
  items: readonly WorkingItem[],
  log: ImportLog,
): void {
  if (end === undefined || kind === 'wavy-line') return;
  const item = items[end.index]!;
  log.add('dropped', `a ${kind.replace('-', ' ')} that ends nowhere`, {
    onset: item.onset,
    line: item.item.element.line,
  });
}

function isFromGrace({ start }: Pair, items: readonly WorkingItem[]): boolean {
  return start !== null && items[start.index]!.item.grace;
}

/** For each item, whether a slur leads into it from an item before. */
function coverage(slurs: readonly Pair[], count: number): readonly boolean[] {
  const change = new Array<number>(count + 1).fill(0);
  for (const { start, stop } of slurs) {
    if (start === null || start.index >= stop.index) continue;
    change[start.index + 1] = change[start.index + 1]! + 1;
    change[stop.index + 1] = change[stop.index + 1]! - 1;
  }
  let depth = 0;
  return change.slice(0, count).map((c) => {
    depth += c;
    return depth > 0;
  });
}

function applyAttack(
  { kind, start, stop }: Pair,
  items: readonly WorkingItem[],
  isSlurred: (end: End) => boolean,
  log: ImportLog,
): void {
  const { note, index } = stop;
  if (start !== null && start.index === index) return;
  if (kind === 'hammer-on' || kind === 'pull-off') note.attack = kind;
  else if (kind === 'slide' || kind === 'glissando') {
    if (kind === 'glissando') {
      const found = { onset: items[index]!.onset, line: items[index]!.item.element.line };
      log.add('approximated', 'a glissando is kept as a slide', found);
    }
    note.attack = isSlurred(stop) ? 'slide' : 'slide-plucked';
    if (start !== null && items[start.index]!.item.grace && !items[index]!.item.grace) {
      note.slidFromGrace = start.note;
    }
  }
}

function logPlainSlurs(
  pairs: readonly Pair[],
  items: readonly WorkingItem[],
  log: ImportLog,
): void {
  // How many items up to each are reached by legato.
  const reached = [0];
  for (const item of items) {
    reached.push(reached.at(-1)! + (item.notes.some((n) => n.attack !== null) ? 1 : 0));
  }
  for (const { kind, start, stop } of pairs) {
    if (kind !== 'slur' || start === null) continue;
    if (reached[stop.index + 1]! > reached[start.index + 1]!) continue;
    const item = items[start.index]!;
    log.add('dropped', 'slurs without hammer-on, pull-off or slide: not kept', {
      onset: item.onset,
      line: item.item.element.line,
    });
  }
}

/** A wavy line without a trill is vibrato on every note under it. */
function applyWave({ kind, start, stop }: Pair, items: readonly WorkingItem[]): void {
  if (kind !== 'wavy-line' || start === null || start.note.marks.trill !== null) return;
  const vibrato = start.wide || stop.wide ? 'wide' : 'narrow';
  start.note.vibrato = vibrato;
  if (start.index === stop.index) return;
  let tied: Working | null = start.note;
  for (let i = start.index + 1; i <= stop.index; i++) {
    const { notes } = items[i]!;
    const last = i === stop.index ? stop.note : null;
    const next: Working | null = tied === null ? null : tiedOn(tied, items[i - 1]!, notes, last);
    tied = next;
    if (next !== null) next.vibrato = vibrato;
    else if (last !== null) last.vibrato = vibrato;
    else for (const n of notes) n.vibrato = vibrato;
  }
}

/**
 * The note that goes on with a tied one. Two strings may sound one pitch: then it is the note the
 * line ends on, else the one on the same string, else the one at the same place among its equals.
 */
function tiedOn(
  tied: Working,
  item: WorkingItem,
  notes: readonly Working[],
  last: Working | null,
): Working | null {
  if (!tied.raw.tieStart) return null;
  const equals = notes.filter((n) => n.raw.tieStop && sameSound(n.raw, tied.raw));
  if (last !== null && equals.includes(last)) return last;
  const { string } = tied.marks;
  const onString = string === null ? undefined : equals.find((n) => n.marks.string === string);
  if (onString !== undefined) return onString;
  const before = item.notes.filter((n) => n.raw.tieStart && sameSound(n.raw, tied.raw));
  return equals[before.indexOf(tied)] ?? equals[0] ?? null;
}

function sameSound(a: RawNote, b: RawNote): boolean {
  if (a.pitch === null || b.pitch === null) return a.pitch === b.pitch;
  return midiOf(a.pitch) === midiOf(b.pitch);
}

import { SaxesParser } from 'saxes';
import { placeMidi } from '../../src/core/phrase/instrument';
import type { Phrase, PitchedNote } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { midiOf } from '../../src/core/theory/pitch';

/** A note that begins: ticks of 10,080 a quarter from the start of the file, and what sounds. */
export interface PlainNote {
  readonly onset: number;
  /** Sounding MIDI number; a fraction for quarter tones. */
  readonly midi: number;
}

export interface PlainReading {
  readonly notes: readonly PlainNote[];
  /** Ticks of the coarsest division: what a program that writes whole divisions may be off by. */
  readonly grain: number;
}

interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
}

const QUARTER = 10_080;
const SEMITONES: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/**
 * What the first part of a partwise MusicXML file says in plain words of the standard: `<duration>` in
 * divisions moves the time, `<backup>` and `<forward>` too, `<pitch>` and `<transpose>` tell the sound,
 * `<tie>` joins equal pitches of one voice. Nothing is mended and nothing is guessed, so it can be
 * compared with a reader that does. Grace and cue notes and notes without pitch are left out.
 * @param ends How many ends of a tie the file must have: with one, a tie that lost its other end joins too.
 */
export function readPlainly(xml: string, ends: 'both' | 'one' = 'both'): PlainReading {
  const part = find(parse(xml), 'part');
  if (part === undefined) throw new Error('no part');
  const notes: PlainNote[] = [];
  /** Ties that wait for their other end: where that must begin. */
  const open = new Map<string, number>();
  /** Where the last note of a pitch and voice ended, whatever it says of ties. */
  const ended = new Map<string, number>();
  let divisions = 1;
  let coarsest = Number.POSITIVE_INFINITY;
  const shift = new Map<string, number>();
  let start = 0;
  for (const measure of part.children.filter((m) => m.name === 'measure')) {
    let at = start;
    let end = start;
    let before = start;
    for (const item of measure.children) {
      const ticks = (number(item, 'duration') * QUARTER) / divisions;
      if (item.name === 'attributes') {
        divisions = number(item, 'divisions') || divisions;
        coarsest = Math.min(coarsest, divisions);
        for (const t of item.children.filter((c) => c.name === 'transpose')) {
          shift.set(
            t.attributes.number ?? 'all',
            number(t, 'chromatic') + 12 * number(t, 'octave-change'),
          );
        }
      } else if (item.name === 'backup') at -= ticks;
      else if (item.name === 'forward') at += ticks;
      else if (item.name === 'note' && !has(item, 'grace') && !has(item, 'cue')) {
        const onset = has(item, 'chord') ? before : at;
        const heard = sound(item, shift);
        const voice = text(item, 'voice') + text(item, 'staff');
        const ties = item.children.filter((c) => c.name === 'tie').map((c) => c.attributes.type);
        const key = `${heard} ${voice}`;
        const from = open.get(key);
        const meets = (end: number | undefined) => end !== undefined && Math.abs(end - onset) < 1;
        const goesOn =
          ends === 'both'
            ? ties.includes('stop') && meets(from)
            : meets(from) || (ties.includes('stop') && meets(ended.get(key)));
        if (goesOn) open.delete(key);
        ended.set(key, onset + ticks);
        if (ties.includes('start')) open.set(key, onset + ticks);
        if (heard !== null && !goesOn) notes.push({ onset, midi: heard });
        before = onset;
        at = Math.max(at, onset + ticks);
      }
      end = Math.max(end, at);
    }
    start = end;
  }
  return { notes, grain: QUARTER / coarsest };
}

function sound(note: Element, shift: ReadonlyMap<string, number>): number | null {
  const pitch = find(note, 'pitch');
  if (pitch === undefined) return null;
  const by = shift.get(text(note, 'staff')) ?? shift.get('all') ?? 0;
  const semitones = SEMITONES[text(pitch, 'step')] ?? Number.NaN;
  return 12 * (number(pitch, 'octave') + 1) + semitones + number(pitch, 'alter') + by;
}

/**
 * What a phrase has of it: pitch and onset of every note, of a dead one, which sounds no pitch, the
 * pitch of the place where it lies, and of one that is curled up at once the quarter tone that is heard.
 */
export function plainly(p: Phrase): readonly PlainNote[] {
  return notesOf(p).map(({ note, onset }) => ({
    onset,
    midi:
      note.kind === 'pitched'
        ? midiOf(note.pitch) + quarterUp(note)
        : placeMidi(p.instrument, note),
  }));
}

/** A curl that is at its height after a hundredth of the note is no slow one that only ends there. */
function quarterUp({ bend }: PitchedNote): number {
  return bend?.shape === 'curl' && bend.curve[1]?.at === 1 && bend.curve[1].amount === 100
    ? 0.5
    : 0;
}

/** The same with what two voices strike together once: one string or key sounds it. */
export function struckOnce(notes: readonly PlainNote[]): readonly PlainNote[] {
  const seen = new Set<string>();
  return notes.filter(({ onset, midi }) => {
    const key = `${Math.round(onset)} ${midi}`;
    const isNew = !seen.has(key);
    seen.add(key);
    return isNew;
  });
}

/** Whether every note that begins has its partner, near enough in time for the file's divisions. */
export function sameNotes(a: readonly PlainNote[], b: PlainReading): boolean {
  const near = Math.max(1, Math.min(b.grain, QUARTER / 64));
  const rest = new Map<number, number[]>();
  for (const { onset, midi } of a) rest.set(midi, [...(rest.get(midi) ?? []), onset]);
  if (a.length !== b.notes.length) return false;
  return b.notes.every(({ onset, midi }) => {
    const onsets = rest.get(midi) ?? [];
    const i = onsets.findIndex((o) => Math.abs(o - onset) <= near);
    if (i < 0) return false;
    onsets.splice(i, 1);
    return true;
  });
}

function parse(xml: string): Element {
  const root: Element = { name: '', attributes: {}, children: [], text: '' };
  const stack = [root];
  const parser = new SaxesParser({ xmlns: false });
  parser.on('opentag', ({ name, attributes }) => {
    const node: Element = { name, attributes, children: [], text: '' };
    stack.at(-1)!.children.push(node);
    stack.push(node);
  });
  parser.on('text', (t) => {
    stack.at(-1)!.text += t;
  });
  parser.on('closetag', () => stack.pop());
  parser.write(xml).close();
  return root.children[0]!;
}

function find(node: Element, name: string): Element | undefined {
  return node.children.find((c) => c.name === name);
}

function has(node: Element, name: string): boolean {
  return find(node, name) !== undefined;
}

function text(node: Element, name: string): string {
  return find(node, name)?.text.trim() ?? '';
}

function number(node: Element, name: string): number {
  return Number(text(node, name)) || 0;
}

import { fullLength, isCompound } from '../../src/core/phrase/time';
import type { Note, Phrase, PhraseEvent, PitchedNote } from '../../src/core/phrase/types';
import { bendSemitones, endOf, notesOf } from '../../src/core/phrase/walk';
import { chordOf } from '../../src/core/theory/chord';
import { degreeOf, formatDegree } from '../../src/core/theory/degree';
import { midiOf } from '../../src/core/theory/pitch';
import { analyse } from '../../src/core/understand/analyse';
import type { NoteReading } from '../../src/core/understand/reading';

/** What a collection of phrases should show somewhere, and how to tell that a phrase shows it. */
export type Coverage = readonly (readonly [what: string, shows: (p: Phrase) => boolean])[];

const events = (p: Phrase): readonly PhraseEvent[] => p.voices.flatMap((v) => v.events);
const pitched = (e: PhraseEvent): readonly PitchedNote[] =>
  e.notes.filter((n): n is PitchedNote => n.kind === 'pitched');

const event = (test: (e: PhraseEvent) => boolean) => (p: Phrase) => events(p).some(test);
const note = (test: (n: PitchedNote) => boolean) => event((e) => pitched(e).some(test));
const anyNote = (test: (n: Note) => boolean) => event((e) => e.notes.some(test));
/** Two notes struck together of which this holds. */
const pair = (test: (a: PitchedNote, b: PitchedNote) => boolean) =>
  event((e) => {
    const notes = pitched(e);
    return notes.some((a) => notes.some((b) => a !== b && test(a, b)));
  });

const bends = (width: number) =>
  note((n) => n.bend !== undefined && n.bend.shape !== 'curl' && bendSemitones(n) === width);
const shape = (s: NonNullable<PitchedNote['bend']>['shape']) => note((n) => n.bend?.shape === s);
const slidIn = (n: PitchedNote, from: 'below' | 'above', kind: 'interval' | 'indefinite') =>
  n.slideIn?.kind === kind && n.slideIn.from === from;
const trill = (test: (semitones: number) => boolean) =>
  note((n) => n.trill !== undefined && test(midiOf(n.trill.upper) - midiOf(n.pitch)));
const node = (above: 12 | 19 | 24) =>
  note((n) => n.harmonic?.kind === 'natural' && n.harmonic.above === above);
const mark = (kind: Phrase['marks'][number]['kind']) => (p: Phrase) =>
  p.marks.some((m) => m.kind === kind);

/** Every row of the table of techniques (MUSIC.md section 6), variants apart. */
export const TECHNIQUES: Coverage = [
  ['bend of a half step', bends(1)],
  ['bend of a whole tone', bends(2)],
  ['bend of a tone and a half', bends(3)],
  ['bend, held', shape('bend')],
  ['bend and release', shape('bend-release')],
  ['pre-bend', shape('pre-bend')],
  ['pre-bend and release', shape('pre-bend-release')],
  ['curl', shape('curl')],
  [
    'double-stop bend with unequal widths',
    pair((a, b) => bendSemitones(a) === 2 && bendSemitones(b) === 1),
  ],
  [
    'oblique bend',
    pair(
      (a, b) =>
        bendSemitones(a) > 0 &&
        b.bend === undefined &&
        midiOf(b.pitch) !== midiOf(a.pitch) + bendSemitones(a),
    ),
  ],
  [
    'unison bend',
    pair(
      (a, b) =>
        a.bend !== undefined &&
        a.bend.shape !== 'curl' &&
        b.bend === undefined &&
        midiOf(a.bend.target) === midiOf(b.pitch),
    ),
  ],
  ['slide-in from below, single', event((e) => isSlidIn(e, 'below', 1))],
  ['slide-in from below, double', event((e) => isSlidIn(e, 'below', 2))],
  ['slide-in from above', note((n) => slidIn(n, 'above', 'interval'))],
  ['slide in from somewhere below', note((n) => slidIn(n, 'below', 'indefinite'))],
  ['slide in from somewhere above', note((n) => slidIn(n, 'above', 'indefinite'))],
  ['slide off upwards', note((n) => n.slideOut === 'up')],
  ['slide off downwards', note((n) => n.slideOut === 'down')],
  ['slide, not plucked again', note((n) => n.attack === 'slide')],
  ['slide, plucked again', note((n) => n.attack === 'slide-plucked')],
  ['hammer-on', note((n) => n.attack === 'hammer-on')],
  ['pull-off', note((n) => n.attack === 'pull-off')],
  ['tap', note((n) => n.attack === 'tap')],
  ['trill by a step', trill((w) => w <= 2)],
  ['trill wider than a step', trill((w) => w > 2)],
  ['vibrato, narrow', note((n) => n.vibrato === 'narrow')],
  ['vibrato, wide', note((n) => n.vibrato === 'wide')],
  ['grace notes, several', event((e) => (e.graces?.length ?? 0) > 1)],
  ['grace note reached by legato', event((e) => hasGraceLegato(e))],
  ['grace double stop', event((e) => e.graces?.some((g) => g.notes.length === 2) ?? false)],
  ['rake', event((e) => e.rake !== undefined)],
  ['palm mute', event((e) => e.palmMute === true)],
  ['dead note', anyNote((n) => n.kind === 'dead')],
  ['pick scrape', anyNote((n) => n.kind === 'dead' && n.scrape !== undefined)],
  ['ghost note', note((n) => n.ghost === true)],
  ['let ring', note((n) => n.letRing === true)],
  ['staccato', event((e) => e.staccato === true)],
  ['accent', event((e) => e.accent === true)],
  ['tenuto', event((e) => e.tenuto === true)],
  ['natural harmonic an octave up', node(12)],
  ['natural harmonic a twelfth up', node(19)],
  ['natural harmonic two octaves up', node(24)],
  ['artificial harmonic', note((n) => n.harmonic?.kind === 'artificial')],
  ['pinch harmonic', note((n) => n.harmonic?.kind === 'pinch')],
  ['down-stroke', event((e) => e.stroke === 'down')],
  ['up-stroke', event((e) => e.stroke === 'up')],
  ['down-strum', event((e) => e.strum === 'down')],
  ['up-strum', event((e) => e.strum === 'up')],
  ['tremolo picking', event((e) => e.tremolo !== undefined)],
  ['bar dip', note((n) => n.barDip !== undefined)],
  ['fingers of the fretting hand', note((n) => typeof n.finger === 'number')],
  ['thumb over the neck', note((n) => n.finger === 'T')],
  ['fingers of the picking hand', note((n) => n.pluck !== undefined)],
  ['dynamics', mark('dynamic')],
  ['words', mark('words')],
  ['repeat', (p) => p.bars.some((b) => b.repeatEnd !== undefined)],
  ['first and second ending', (p) => [1, 2].every((n) => p.bars.some((b) => b.ending?.[0] === n))],
];

/** Exactly so many notes together, each slid in from a semitone. */
function isSlidIn(e: PhraseEvent, from: 'below' | 'above', count: number): boolean {
  const notes = pitched(e);
  return notes.length === count && notes.every((n) => slidIn(n, from, 'interval'));
}

function hasGraceLegato(e: PhraseEvent): boolean {
  return e.graces?.some((g) => g.notes.some((n) => n.attack !== undefined)) ?? false;
}

/** Degrees of the lane's roots above the tonic. */
const rootDegrees = (p: Phrase): readonly string[] =>
  p.chords.flatMap((c) =>
    c.symbol === null ? [] : [formatDegree(degreeOf(p.key.tonic, chordOf(c.symbol).root))],
  );

const read = (test: (readings: readonly NoteReading[], p: Phrase) => boolean) => (p: Phrase) =>
  test(analyse(p).readings, p);
const reading = (test: (r: NoteReading) => boolean) => read((all) => all.some(test));
const heard = (r: NoteReading) =>
  r.heard.chordDegree === null ? '' : formatDegree(r.heard.chordDegree);
const single = (p: Phrase) => p.voices.length === 1 && events(p).every((e) => e.notes.length === 1);
const open = (p: Phrase) => p.instrument.tuning.map(midiOf);

/** Musical contents, meters, feels, instruments. */
export const FEATURES: Coverage = [
  ['a line of single notes', (p) => single(p) && events(p).length >= 8],
  ['a double stop', event((e) => e.notes.length === 2)],
  ['a chord', event((e) => e.notes.length >= 3)],
  ['two voices', (p) => p.voices.length === 2],
  ['a drone under strums', read((all, p) => all.some((r) => r.drone) && hasStrum(p))],
  ['double stops of triad notes, slid in from a semitone below', read(hasSlidTriadPair)],
  [
    'a turnaround to the V chord',
    read((all, p) => rootDegrees(p).at(-1) === '5' && all.at(-1)?.role === 'chord tone'),
  ],
  ['a lane with I, IV and V', (p) => ['R', '4', '5'].every((d) => rootDegrees(p).includes(d))],
  [
    'a twelve-bar blues of twelve bars',
    (p) => p.bars.length === 12 && rootDegrees(p).join(' ') === 'R 4 R 5 4 R 5',
  ],
  ['a ii V I', (p) => /(^| )2 5 R/u.test(rootDegrees(p).join(' '))],
  ['a pentatonic run', read(hasPentatonicRun)],
  ['the blues scale', read((all) => / b5 4 b3 /u.test(all.map(heard).join(' ')))],
  ['an arpeggio up to the seventh', read((all) => /R b3 b?5 b7/u.test(all.map(heard).join(' ')))],
  ['a blue note', reading((r) => r.role === 'blue note')],
  ['a chromatic approach', reading((r) => r.role === 'approach' && r.goal !== null)],
  ['an enclosure', read((all) => all.some((_, i) => isEnclosure(all, i)))],
  ['an anticipation', reading((r) => r.anticipates)],
  [
    'a guide tone that stands still over a change',
    reading((r) => heard(r) === 'b3' && r.laterDegree !== null && r.laterDegree.number === 7),
  ],
  ['a line over I that fits IV as it stands', read(fitsFour)],
  ['an altered dominant', (p) => p.chords.some((c) => c.symbol?.endsWith('alt') === true)],
  ['a slash chord', (p) => p.chords.some((c) => c.symbol?.includes('/') === true)],
  ['a pickup', (p) => p.pickup > 0],
  ['a partial last bar', (p) => p.length < fullLength(p)],
  ['a note tied over a bar line', crossesBar],
  ['triplets', (p) => p.voices.some((v) => v.tuplets.some((t) => t.actual === 3))],
  ['a quintuplet', (p) => p.voices.some((v) => v.tuplets.some((t) => t.actual === 5))],
  ['changing meters', (p) => new Set(p.bars.map((b) => b.meter.beats)).size > 1],
  ['6/8', (p) => isCompound(p.bars[0]!.meter) && p.bars[0]!.meter.beats === 6],
  ['12/8', (p) => isCompound(p.bars[0]!.meter) && p.bars[0]!.meter.beats === 12],
  ['3/4', (p) => p.bars.every((b) => b.meter.beats === 3 && b.meter.beatType === 4)],
  ['4/4', (p) => p.bars.every((b) => b.meter.beats === 4 && b.meter.beatType === 4)],
  ['a minor key', (p) => p.key.mode === 'minor'],
  ['a blues key', (p) => p.key.mode === 'blues'],
  ['a shuffle', (p) => p.feel.kind === 'swing' && p.feel.unit === 'eighth'],
  ['swung sixteenths', (p) => p.feel.kind === 'swing' && p.feel.unit === '16th'],
  ['a capo', (p) => p.instrument.capo > 0],
  ['drop D', (p) => open(p).join(' ') === '64 59 55 50 45 38'],
  ['seven strings', (p) => p.instrument.tuning.length === 7],
  ['a bass', (p) => open(p).join(' ') === '43 38 33 28' && p.instrument.clef === 'bass-8'],
  ['a re-entrant ukulele', (p) => open(p).join(' ') === '69 64 60 67'],
  ['an anchor set by hand', note((n) => n.anchor !== undefined)],
  ['a role set by hand', note((n) => n.role !== undefined)],
  ['a pinned string', anyNote((n) => n.pinned === true)],
];

function hasStrum(p: Phrase): boolean {
  return events(p).some((e) => e.strum !== undefined);
}

function hasSlidTriadPair(all: readonly NoteReading[]): boolean {
  const slid = all.filter(
    (r) =>
      r.role === 'chord tone' &&
      r.note.slideIn?.kind === 'interval' &&
      r.note.slideIn.semitones === 1 &&
      slidIn(r.note, 'below', 'interval'),
  );
  const onsets = slid.map((r) => r.at.onset);
  return new Set(onsets).size < onsets.length;
}

/** Eight notes in a row inside the key's major pentatonic, in a single line. */
function hasPentatonicRun(all: readonly NoteReading[], p: Phrase): boolean {
  if (p.key.mode === 'minor') return false;
  const row = all.map((r) =>
    ['R', '2', '3', '5', '6'].includes(formatDegree(r.heard.keyDegree)) ? 'x' : '.',
  );
  return single(p) && row.join('').includes('x'.repeat(8));
}

/** The note on the other side of the goal, a chromatic approach, then the goal. */
function isEnclosure(all: readonly NoteReading[], i: number): boolean {
  const [a, b, c] = [all[i], all[i + 1], all[i + 2]];
  if (a === undefined || b === undefined || c === undefined) return false;
  if (b.role !== 'approach' || b.goal !== c.note.id) return false;
  const goal = midiOf(c.note.pitch);
  const above = midiOf(a.note.pitch) - goal;
  const below = goal - midiOf(b.note.pitch);
  return below === 1 && (above === 1 || above === 2);
}

/** One dominant chord, and no note that would lie a half step from IV7's own (M6: key 3 and ♭7). */
function fitsFour(all: readonly NoteReading[], p: Phrase): boolean {
  const degrees = new Set(all.map(heard));
  return (
    p.chords.length === 1 &&
    ['R', 'b3', '5', '6'].every((d) => degrees.has(d)) &&
    !degrees.has('3') &&
    !degrees.has('b7')
  );
}

function crossesBar(p: Phrase): boolean {
  const bar = (p.bars[0]!.meter.beats * 40_320) / p.bars[0]!.meter.beatType;
  return notesOf(p).some(({ event: e }) => {
    const line = p.pickup + Math.ceil((e.onset - p.pickup + 1) / bar) * bar;
    return endOf(e) > line;
  });
}

/** Chord degrees of the notes whose onset is wanted, bends by their target, in the order of `notesOf`. */
export function heardDegrees(p: Phrase, wanted: (onset: number) => boolean): readonly string[] {
  return analyse(p)
    .readings.filter((r) => wanted(r.at.onset))
    .map(heard);
}

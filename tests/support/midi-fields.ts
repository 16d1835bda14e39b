import type { Note, Phrase, PitchedNote } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { secondsPerTick } from '../../src/core/sound/perform';
import { signatureFifths } from '../../src/core/theory/key';
import { formatPitch } from '../../src/core/theory/pitch';
import type { Feature } from './arbitrary';

/** Features of generated phrases whose sounds are not one note with its written length. */
export const MIDI_CARRIES: { readonly not: readonly Feature[] } = {
  not: [
    'dead notes',
    'trills',
    'harmonics',
    'bar dips',
    'graces',
    'rakes',
    'articulations',
    'strokes',
    'let ring',
    'slide-outs',
    'repeats',
    'swing',
  ],
};

/**
 * What a MIDI file of our own can carry, in lines to be compared. It has no word for: the mode 'blues' and
 * the unit of the tempo, techniques that only change how a note begins or sounds, what several techniques
 * on one note are (their curves are one), and lengths that a technique cuts.
 * @param lengths Whether nothing in the phrase sounds shorter or longer than it is written.
 */
export function midiDifferences(p: Phrase, back: Phrase, lengths: boolean): readonly string[] {
  const plain = plainMotions(p);
  const lines = (q: Phrase) => [
    `title ${q.meta.title}`,
    `key ${signatureFifths(q.key)} ${q.key.mode === 'minor' ? 'minor' : 'major'}`,
    `tempo ${(60 / (secondsPerTick(q.tempo) * 10_080)).toFixed(1)}`,
    `tuning ${q.instrument.tuning.map(formatPitch).join(' ')} capo ${q.instrument.capo}`,
    `pickup ${q.pickup}, length ${q.length}`,
    `meters ${q.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`).join(' ')}`,
    `chords ${q.chords.map((c) => `${c.onset} ${c.symbol ?? 'N.C.'}`).join(', ')}`,
    ...q.marks.flatMap((m) => (m.kind === 'words' ? [`words ${m.onset} ${m.text}`] : [])),
    ...notesOf(q).flatMap(({ note, event }) => {
      if (note.kind === 'dead') return [];
      const motion = plain.has(`${event.onset} ${note.string}`) ? motionOf(note) : '';
      const length = lengths ? ` for ${event.duration}` : '';
      const at = String(event.onset).padStart(7);
      return [`${at}${length} ${formatPitch(note.pitch)} ${note.string}/${note.fret}${motion}`];
    }),
  ];
  const [a, b] = [lines(p), lines(back)];
  return [
    ...a.filter((l) => !b.includes(l)).map((l) => `- ${l}`),
    ...b.filter((l) => !a.includes(l)).map((l) => `+ ${l}`),
  ];
}

/** All of a phrase but what is about it rather than in it, for comparing two. */
export function musicOf(p: Phrase): unknown {
  const { id: _, parent: __, meta, ...music } = p;
  return { ...music, title: meta.title };
}

/** The notes, by onset and string, whose pitch does one thing at most. */
function plainMotions(p: Phrase): ReadonlySet<string> {
  const slidFrom = new Set<string>();
  for (const v of p.voices) {
    v.events.forEach((e, i) => {
      for (const n of e.notes) {
        if (slides(n)) {
          const before = v.events[i - 1];
          if (before !== undefined) slidFrom.add(`${before.onset} ${n.string}`);
        }
      }
    });
  }
  const out = new Set<string>();
  for (const { note, event } of notesOf(p)) {
    if (note.kind === 'dead') continue;
    const things = [note.bend, note.slideIn, note.slideOut, note.vibrato, note.barDip, note.trill];
    const name = `${event.onset} ${note.string}`;
    const count = things.filter((x) => x !== undefined).length + (slidFrom.has(name) ? 1 : 0);
    // A shorter note has no whole wave of vibrato.
    const short = note.vibrato !== undefined && event.duration * secondsPerTick(p.tempo) < 0.4;
    if (count <= 1 && !short) out.add(name);
  }
  return out;
}

function slides(n: Note): boolean {
  return n.kind === 'pitched' && (n.attack === 'slide' || n.attack === 'slide-plucked');
}

function motionOf(n: PitchedNote): string {
  const { bend, slideIn } = n;
  const bent =
    bend === undefined
      ? ''
      : bend.shape === 'curl'
        ? ' curl'
        : ` ${bend.shape} to ${formatPitch(bend.target)}`;
  const slid =
    slideIn === undefined
      ? ''
      : slideIn.kind === 'interval'
        ? ` in ${slideIn.from} ${slideIn.semitones}`
        : ` in ${slideIn.from}`;
  return `${bent}${slid}${n.vibrato === undefined ? '' : ` ${n.vibrato}`}${n.slideOut === undefined ? '' : ` out ${n.slideOut}`}`;
}

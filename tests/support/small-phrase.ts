import fc from 'fast-check';
import { openMidi, playableFrets, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type {
  Grace,
  Instrument,
  Note,
  Phrase,
  PhraseEvent,
  PitchedNote,
} from '../../src/core/phrase/types';
import { pitchOfMidi } from '../../src/core/theory/pitch';
import { build } from './build';
import { Dice } from './generate/dice';

const open = (...midi: number[]) => midi.map((m) => pitchOfMidi(m, 'flat'));

/** Small necks, so that every fingering can be tried: among them a capo and a re-entrant tuning. */
const NECKS: readonly Instrument[] = [
  { ...STANDARD_GUITAR, frets: 6 },
  { ...STANDARD_GUITAR, frets: 9, capo: 3 },
  { ...STANDARD_GUITAR, name: 'Ukulele', tuning: open(69, 64, 60, 67), frets: 7, scaleLength: 349 },
  { ...STANDARD_GUITAR, name: 'Bass', tuning: open(43, 38, 33, 28), frets: 8, scaleLength: 864 },
  { ...STANDARD_GUITAR, name: 'Three strings', tuning: open(62, 59, 55), frets: 12 },
];

/**
 * A phrase of one to eight notes with double stops, rests, held drones, hammer-ons, pull-offs,
 * slides, bends, graces, let ring, harmonics and dead notes on a small neck. It need not be playable
 * where it stands.
 */
export function arbSmallPhrase(): fc.Arbitrary<Phrase> {
  return fc.integer({ min: 0, max: 0x7fff_ffff }).map(smallPhrase);
}

function smallPhrase(seed: number): Phrase {
  const dice = new Dice(seed, 1);
  const instrument = dice.pick(NECKS);
  const make = new Maker(dice, instrument);
  const line = make.line(dice.int(1, 7));
  const voices: Phrase['voices'] =
    make.left > 0 && dice.chance(0.35) ? [line, make.drone(line.events.length)] : [line];
  return { ...build('w 1/0'), instrument, voices };
}

const STEP = 5_040;

class Maker {
  /** Notes that may still be made. */
  left = 8;
  private next = 1;
  /** The whole phrase is let ring. */
  private readonly rings: boolean;

  constructor(
    private readonly dice: Dice,
    private readonly instrument: Instrument,
  ) {
    this.rings = dice.chance(0.2);
  }

  line(count: number) {
    const events: PhraseEvent[] = [];
    for (let i = 0; i < count && this.left > 0; i++) events.push(this.event(i, events.at(-1)));
    return { events, tuplets: [] };
  }

  /** One or two long notes under the line. */
  drone(steps: number) {
    const half = Math.max(1, steps >> 1);
    const cuts =
      steps > 2 && this.left > 1 && this.dice.chance(0.4) ? [0, half, steps] : [0, steps];
    const events = cuts.slice(1).map((end, i): PhraseEvent => {
      const onset = cuts[i]! * STEP;
      return { onset, duration: end * STEP - onset, notes: [this.note(this.anyString())] };
    });
    return { events, tuplets: [] };
  }

  private event(i: number, before: PhraseEvent | undefined): PhraseEvent {
    const { dice } = this;
    const strings = [this.anyString()];
    const other = this.anyString();
    if (this.left > 1 && dice.chance(0.3) && other !== strings[0]) strings.push(other);
    const plain = strings.sort((a, b) => a - b).map((s) => this.note(s));
    const duration = dice.chance(0.15) ? STEP / 2 : STEP;
    const graces = this.left > 0 && dice.chance(0.12) ? this.graces(plain[0]!) : undefined;
    const notes = plain.map((n, k) => (k === 0 && graces ? graces.note : this.linked(n, before)));
    return {
      onset: i * STEP,
      duration,
      notes: notes as unknown as PhraseEvent['notes'],
      ...(graces === undefined ? {} : { graces: graces.graces }),
    };
  }

  private anyString(): number {
    return this.dice.int(1, this.instrument.tuning.length);
  }

  private note(string: number): Note {
    const { dice } = this;
    this.left--;
    const id = `n${this.next++}`;
    const fret = dice.int(0, playableFrets(this.instrument));
    if (dice.chance(0.06)) return { kind: 'dead', id, string, fret };
    const midi = openMidi(this.instrument, string) + fret;
    const note: PitchedNote = {
      kind: 'pitched',
      id,
      string,
      fret,
      pitch: pitchOfMidi(midi, 'flat'),
    };
    if (dice.chance(0.06)) {
      const pitch = pitchOfMidi(openMidi(this.instrument, string) + 19, 'flat');
      return { ...note, fret: 7, pitch, harmonic: { kind: 'natural', above: 19 } };
    }
    switch (dice.weighted([10, 1, 1, 1, 2])) {
      case 1:
        return {
          ...note,
          bend: { shape: 'bend', target: pitchOfMidi(midi + 2, 'flat'), curve: [] },
        };
      case 2:
        return { ...note, vibrato: 'narrow' };
      case 3:
        return { ...note, slideIn: { kind: 'interval', from: 'below', semitones: 1 } };
      case 4:
        return { ...note, letRing: true };
      default:
        return this.rings ? { ...note, letRing: true } : note;
    }
  }

  /** A grace on the note's string, hammered or pulled to it. */
  private graces(note: Note): { graces: [Grace]; note: Note } | undefined {
    if (note.kind === 'dead' || note.harmonic !== undefined) return undefined;
    const fret = this.dice.int(0, playableFrets(this.instrument));
    if (fret === note.fret) return undefined;
    this.left--;
    const pitch = pitchOfMidi(openMidi(this.instrument, note.string) + fret, 'flat');
    const attack = fret < note.fret ? 'hammer-on' : 'pull-off';
    return {
      graces: [{ notes: [{ string: note.string, fret, pitch }] }],
      note: { ...note, attack },
    };
  }

  private linked(note: Note, before: PhraseEvent | undefined): Note {
    const { dice } = this;
    if (note.kind === 'dead' || before === undefined || before.duration < STEP) return note;
    const source = before.notes.find((n) => n.string === note.string);
    if (source?.kind !== 'pitched' || source.fret === note.fret || dice.chance(0.3)) return note;
    if (dice.chance(0.3)) return { ...note, attack: 'slide' };
    return { ...note, attack: source.fret < note.fret ? 'hammer-on' : 'pull-off' };
  }
}

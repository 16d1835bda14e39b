import type { LaidForm } from '../form/lay';
import { edgeOf, joinNote, MOST_OF_NOTE, type Side } from '../joins/near-note';
import type { Sketch } from '../joins/sketch';
import { parseLane } from '../move/lane';
import { placeMidi, playableFrets } from '../phrase/instrument';
import type { Phrase, Tempo } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { formatKey, type Key } from '../theory/key';
import type { Midi } from '../theory/pitch';
import { bestFirst, type Offer } from './best-first';
import { isInReach, suitsAt } from './candidates';
import { fitWords } from './fit-words';
import { type Phrases, Placer, type Sketched } from './placer';
import { Playing } from './playing';
import { aloneScore, BAR_OF_REST } from './scores';

/** A note next to a place: what sounds, or a place on the neck of whatever instrument the phrase is for. */
export type NearNote =
  | { readonly kind: 'pitch'; readonly midi: Midi }
  | { readonly kind: 'place'; readonly string: number; readonly fret: number };

/** Where phrases are to fit. */
export interface FitPlace {
  /** Chords as `parseLane` reads them; one symbol stands for as many bars as a phrase has. */
  readonly lane: string;
  /** What numerals count from, and where phrases are moved; null: each in its own key. */
  readonly key: Key | null;
  /** What the hand is judged at; null: each at its own. */
  readonly tempo: Tempo | null;
  readonly before: NearNote | null;
  readonly after: NearNote | null;
}

/** A phrase that fits, and how. */
export interface Fit {
  readonly index: number;
  /** As it is played there. */
  readonly moved: Phrase;
  /** Octaves beyond what the move chose. */
  readonly octaves: number;
  /** The larger, the better; on the scale of `joinScore`. */
  readonly worth: number;
  /** Way of moving, place on the neck, join: parts of a sentence. */
  readonly why: readonly string[];
}

export interface Fits {
  /** The best first, equal ones as they stand in the list. */
  readonly fits: readonly Fit[];
  /** Whether phrases were left that may fit as well, none of them better. */
  readonly more: boolean;
}

/** What each thing counts that could not be done by the bare rules (*ours*): half an octave. */
const OTHERWISE = 0.5;

/**
 * The phrases that can be moved to a lane and played there, ranked as the solo builder ranks what begins
 * a chorus: roles kept, octaves off, bars left empty; and by the notes before and behind as joins count
 * them. What is longer than the lane does not fit. Moved is only what may be among the best.
 * @returns What is wrong where the lane can be read in none of the keys.
 */
export function fitsHere(
  phrases: Phrases,
  place: FitPlace,
  count = Number.POSITIVE_INFINITY,
): Result<Fits> {
  const lanes = new Lanes(phrases, place);
  const offers: Offer<Fit>[] = [];
  for (let i = 0; i < phrases.length; i++) offers.push(...lanes.offers(phrases.at(i)!, i));
  if (offers.length === 0 && lanes.unread !== null) return lanes.unread;
  const { values, more } = bestFirst(offers, count);
  return ok({ fits: values, more });
}

/** The lane in one key and metre, and what moves phrases to it. */
interface Lane {
  readonly form: LaidForm;
  readonly placer: Placer;
  readonly playing: Playing;
  /** Whether one symbol stands for the whole of any phrase. */
  readonly whole: boolean;
}

class Lanes {
  unread: Result<never> | null = null;
  private readonly known = new Map<string, Lane | null>();

  constructor(
    private readonly phrases: Phrases,
    private readonly place: FitPlace,
  ) {}

  /** A phrase that may fit, not yet moved; none where it does not. */
  offers(p: Phrase, index: number): readonly Offer<Fit>[] {
    const lane = this.laneFor(p);
    if (lane === null) return [];
    const empty = lane.whole ? 0 : lane.form.bars.length - p.bars.length;
    const notes = this.notesFor(p);
    if (empty < 0 || notes === null) return [];
    const suits = suitsAt(lane.form, p, 0);
    const rest = -BAR_OF_REST * empty;
    const most = rest + aloneScore({ suits, octaves: 0, torn: 0 }) + MOST_OF_NOTE * notes.length;
    // It holds no phrase: there are as many as phrases, and few are opened.
    const open = () => {
      const placed = lane.placer.at(index, 0, suits);
      if (!placed.ok) return [];
      const here = this.phrases.at(index)!;
      return placed.value
        .filter((c) => isInReach(c, here))
        .map((c) => this.offerOf(here, c, rest + aloneScore(c) + joined(c, notes), notes, lane));
    };
    return [{ index, most, open }];
  }

  /** A phrase in one octave, not yet fingered. */
  private offerOf(
    p: Phrase,
    candidate: Sketched,
    most: number,
    notes: NearNotes,
    lane: Lane,
  ): Offer<Fit> {
    const { index, octaves, suits, torn } = candidate;
    const open = (): readonly Offer<Fit>[] => {
      const played = lane.playing.of(candidate);
      if (!played.ok) return [];
      const {
        phrase: moved,
        moved: { report },
      } = played.value;
      const done = [...report.general, ...report.notes.flatMap((n) => n.adaptations)];
      const otherwise = done.filter((a) => a.fallback).map((a) => a.text);
      const worth = most - OTHERWISE * otherwise.length;
      const near = nearTo(candidate, notes);
      const why = fitWords({ source: p, moved, suits, torn, otherwise, near });
      return [{ index, most: worth, value: { index, moved, octaves, worth, why } }];
    };
    return { index, most, open };
  }

  private laneFor(p: Phrase): Lane | null {
    const key = this.place.key ?? p.key;
    const { length } = p.bars;
    const { meter } = p.bars[0]!;
    const tempo = this.place.tempo ?? p.tempo;
    const time = [length, meter.beats, meter.beatType, tempo.bpm, tempo.unit];
    const name = [formatKey(key), ...time].join(' ');
    let lane = this.known.get(name);
    if (lane === undefined) {
      lane = this.read(key, meter, tempo, length);
      this.known.set(name, lane);
    }
    return lane;
  }

  /** @param length Of the phrase, in bars: so many does one symbol stand for. */
  private read(
    key: Key,
    meter: Phrase['bars'][number]['meter'],
    tempo: Tempo,
    length: number,
  ): Lane | null {
    const read = parseLane(this.place.lane, key);
    if (!read.ok) {
      this.unread = fail(...read.problems);
      return null;
    }
    const [first] = read.value;
    const whole = read.value.length === 1 && first!.length === 1;
    const bars = whole ? Array.from({ length }, () => first!) : read.value;
    const form: LaidForm = {
      form: {
        ...{ id: 'lane', title: 'Lane', mode: key.mode, meter, feel: { kind: 'straight' }, tempo },
        sections: [{ name: '', bars: this.place.lane }],
      },
      key,
      bars,
      sectionStarts: [1],
    };
    const placer = new Placer(form, this.phrases);
    return { form, placer, playing: new Playing(placer), whole };
  }

  /** What sounds before and behind; null where the instrument has no such place. */
  private notesFor({ instrument }: Phrase): NearNotes | null {
    const midis: { side: Side; midi: Midi }[] = [];
    for (const side of ['before', 'after'] as const) {
      const note = this.place[side];
      if (note === null) continue;
      if (note.kind === 'place') {
        const { string, fret } = note;
        if (string > instrument.tuning.length || fret > playableFrets(instrument)) return null;
        midis.push({ side, midi: placeMidi(instrument, note) });
      } else midis.push({ side, midi: note.midi });
    }
    return midis;
  }
}

type NearNotes = readonly { readonly side: Side; readonly midi: Midi }[];

function joined(
  { sketch, octaves }: { sketch: Sketch; octaves: number },
  notes: NearNotes,
): number {
  return notes.reduce((sum, n) => sum + joinNote(sketch, n.side, n.midi, 12 * octaves), 0);
}

/** How far its nearer end lies from each note. */
function nearTo({ sketch, octaves }: Sketched, notes: NearNotes) {
  return notes.map(({ side, midi }) => ({
    side,
    semitones: edgeOf(sketch, side, 12 * octaves) - midi,
  }));
}

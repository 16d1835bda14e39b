import { FIRST_HAND, handFor } from '../../core/neck/handy-place';
import { byString, nonEmpty } from '../../core/phrase/rebuild';
import { ratioText, type TupletRatio } from '../../core/phrase/tuplet-ratio';
import { readRatioText, TUPLET_RATIOS } from '../../core/phrase/tuplet-ratios';
import {
  type ChordChange,
  type Grace,
  type Meter,
  type Note,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
  type Ticks,
  type Tuplet,
  type Voice,
} from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { BarKeeper } from './bar-keeper';
import { MIDDLE, placeDegree } from './degree-place';
import { readEventMarks } from './event-marks';
import { LaneReader, tickHere } from './lane-reader';
import { takeNotKept } from './not-kept';
import { placeIn } from './place-in';
import { type Head, type QuickDefaults, type QuickOrigin, readHead } from './read-head';
import { readNote } from './read-note';
import { Scanner } from './scanner';
import { ticksOfWord } from './signs';

interface OpenTuplet {
  readonly onset: Ticks;
  readonly ratio: TupletRatio;
  readonly at: number;
}

/** Reads a quick text word by word; mistakes go to `scan`. */
export class Reader {
  readonly scan: Scanner;
  private readonly head: Head;
  private readonly bars: BarKeeper;
  private readonly lane: LaneReader;
  private readonly voices: { events: PhraseEvent[]; tuplets: Tuplet[] }[] = [];
  /** Where each part of the phrase that has a place in the text begins there. */
  private readonly places = new Map<object, number>();
  private noteCount = 0;

  // The voice that is being read.
  private events: PhraseEvent[] = [];
  private tuplets: Tuplet[] = [];
  private t: Ticks = 0;
  private value: Ticks = 5_040;
  /** Absolute, whatever tuplet it stands in. */
  private inTicks = false;
  private string = 0;
  private hand = FIRST_HAND;
  private tuplet: OpenTuplet | null = null;

  constructor(
    text: string,
    private readonly origin: QuickOrigin,
    defaults: QuickDefaults,
    private readonly known: readonly ChordChange[],
  ) {
    this.scan = new Scanner(text);
    this.head = readHead(this.scan, defaults);
    this.lane = new LaneReader(this.scan, this.head.key, this.places);
    this.bars = new BarKeeper(this.scan, this.head.meter, this.head.pickup, this.places);
  }

  run(): Phrase {
    const { scan } = this;
    for (scan.skipSpace(); !scan.done; scan.skipSpace()) {
      const before = scan.at;
      this.readWord();
      if (scan.at === before) {
        scan.report(
          `'${scan.text[before]}' is not known here`,
          'Look at the list of signs.',
          before,
        );
        scan.take(/\S+/y);
      }
    }
    this.endVoice();
    return this.phrase();
  }

  private readWord(): void {
    const { scan } = this;
    if (scan.take(/2nd:/y)) {
      this.secondVoice();
      return;
    }
    if (scan.looksAt(/[|:]/y)) {
      this.bars.readLine(this.t, this.events);
      return;
    }
    if (scan.looksAt(/\{/y)) {
      this.lane.chord(this.bars.standing(this.t));
      return;
    }
    if (scan.looksAt(/"/y)) {
      this.lane.words(this.bars.standing(this.t));
      return;
    }
    if (takeNotKept(scan) || this.lane.dynamic(this.bars.standing(this.t))) return;
    const meter = scan.take(/(\d{1,3})\/(1|2|4|8|16)(?=\s|$)/y);
    if (meter !== null) {
      const beatType = Number(meter[2]) as Meter['beatType'];
      const at = scan.at - meter[0].length;
      this.bars.changeMeter({ beats: Number(meter[1]), beatType }, at);
      return;
    }
    const ticks = scan.take(/'(\d{1,9})/y);
    if (ticks !== null) {
      this.value = Number(ticks[1]);
      this.inTicks = true;
      return;
    }
    const value = scan.take(
      /(?:v128|v64|[whqest])\.?(?:_(?:v128|v64|[whqest])\.?)*(?=\s|\)|\||$)/y,
    );
    if (value !== null) {
      this.value = value[0].split('_').reduce((sum, part) => sum + ticksOfWord(part), 0);
      this.inTicks = false;
      return;
    }
    const open = scan.take(/(\d{1,2}(?::\d{1,2})?)(?:'(\d{1,9}))?\(/y);
    if (open !== null) {
      const onset = open[2] === undefined ? this.t : Number(open[2]);
      this.openTuplet(open[1]!, onset, scan.at - open[0].length);
      return;
    }
    if (scan.looksAt(/\)/y)) {
      this.closeTuplet();
      return;
    }
    if (scan.take(/r(?=\s|\)|\||$)/y)) {
      this.t += this.ticks();
      this.bars.atLine = false;
      return;
    }
    this.event();
  }

  /** Length of what comes. */
  private ticks(): Ticks {
    if (this.tuplet === null || this.inTicks) return this.value;
    const { actual, normal } = this.tuplet.ratio;
    return (this.value * normal) / actual;
  }

  private openTuplet(text: string, onset: Ticks, at: number): void {
    if (this.tuplet !== null) {
      this.scan.report('a tuplet cannot stand in a tuplet', "Close the first one with ')'.", at);
      return;
    }
    const ratio = readRatioText(text);
    if (ratio === null) {
      this.scan.report(
        `a tuplet of '${text}' is not in use`,
        `Write one of ${TUPLET_RATIOS.map(ratioText).join(', ')} before the '('.`,
        at,
      );
    }
    this.tuplet = { onset, ratio: ratio ?? TUPLET_RATIOS[0]!, at };
  }

  private closeTuplet(): void {
    const at = this.scan.at;
    this.scan.take(/\)/y);
    if (this.tuplet === null) {
      this.scan.report("')' closes nothing", 'Open a tuplet with 3( before it.', at);
      return;
    }
    const { onset, ratio } = this.tuplet;
    const end = tickHere(this.scan, this.t);
    const tuplet = { onset, duration: end - onset, ...ratio };
    this.places.set(tuplet, this.tuplet.at);
    this.tuplets.push(tuplet);
    this.tuplet = null;
  }

  private event(): void {
    const { scan } = this;
    const start = scan.at;
    const notes: Note[] = [];
    let graces: readonly Grace[] = [];
    do {
      const at = scan.at;
      const read = readNote(scan, this.context(notes));
      if (read === null) {
        // What the note has in parentheses closes no tuplet.
        scan.take(/(?:\([^\s|()]*\)|[^\s|)])+/y);
        return;
      }
      if (notes.some((n) => n.string === read.note.string)) {
        scan.report(
          `string ${read.note.string} is struck twice at once`,
          'Name another string.',
          at,
        );
        continue;
      }
      this.places.set(read.note, at);
      notes.push(read.note);
      this.noteCount++;
      this.string = read.note.string;
      if (read.note.fret > 0) this.hand = handFor(this.hand, read.note.fret);
      if (read.graces.length > 0) graces = read.graces;
    } while (scan.take(/\+/y));
    const duration = this.ticks();
    if (notes.length === 0) return;
    const before = nonEmpty(graces);
    const event: PhraseEvent = {
      onset: this.t,
      duration,
      notes: byString(notes),
      ...(before === null ? {} : { graces: before }),
    };
    const marked = readEventMarks(scan, event, this.context([]));
    this.places.set(marked, start);
    this.events.push(marked);
    this.bars.atLine = false;
    this.t += duration;
  }

  private context(beside: readonly Note[]) {
    const phrase = this.soFar();
    return {
      phrase,
      onset: this.t,
      string: this.string,
      id: `n${this.noteCount + 1}`,
      placeOf: (text: string, octaves: number, at: number) => {
        const last = beside.at(-1) ?? this.events.at(-1)?.notes[0];
        const string = this.eventBefore()?.notes[0].string ?? (this.string || MIDDLE);
        const here = { phrase, onset: this.t, beside, last, string, hand: this.hand };
        return placeDegree(here, text, octaves, (why) => this.scan.report(...why, at));
      },
    };
  }

  private secondVoice(): void {
    if (this.voices.length > 0) {
      this.scan.report(
        'there are two voices at most',
        'Put the notes into one of the two.',
        this.scan.at - 4,
      );
      return;
    }
    this.endVoice();
    this.events = [];
    this.tuplets = [];
    this.t = 0;
    this.value = 5_040;
    this.inTicks = false;
    this.string = 0;
    this.bars.beginSecond();
  }

  private endVoice(): void {
    if (this.tuplet !== null) {
      this.scan.report(
        "the tuplet is not closed by ')'",
        "Write ')' after its last note.",
        this.tuplet.at,
      );
      this.tuplet = null;
    }
    if (this.voices.length === 0) this.bars.end(this.t, this.events);
    this.voices.push({ events: this.events, tuplets: this.tuplets });
  }

  private eventBefore(): PhraseEvent | undefined {
    let i = this.events.length - 1;
    while (i >= 0 && this.events[i]!.onset >= this.t) i--;
    return this.events[i];
  }

  /** The phrase as it is known here: of its chords the one that sounds, which is all that is asked. */
  private soFar(): Phrase {
    const voice = { events: this.events, tuplets: this.tuplets };
    return this.frame([voice], this.chordHere(), Number.MAX_SAFE_INTEGER);
  }

  private chordHere(): readonly ChordChange[] {
    let low = 0;
    let high = this.known.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.known[middle]!.onset <= this.t) low = middle;
      else high = middle - 1;
    }
    return this.known.slice(low, low + 1);
  }

  private phrase(): Phrase {
    const [first, second] = this.voices;
    const voices: Phrase['voices'] = second === undefined ? [first!] : [first!, second];
    return {
      ...this.frame(voices, this.lane.chords(), this.bars.length),
      marks: this.lane.marks(),
    };
  }

  private frame(
    voices: readonly [Voice] | readonly [Voice, Voice],
    chords: readonly ChordChange[],
    length: Ticks,
  ): Phrase {
    const { key, tempo, feel, instrument, title } = this.head;
    return {
      format: 'degreewise-phrase',
      version: PHRASE_VERSION,
      id: this.origin.id,
      parent: null,
      meta: { title, tags: [], created: this.origin.now, modified: this.origin.now },
      instrument,
      key,
      tempo,
      feel,
      pickup: this.bars.pickup,
      bars: this.bars.bars,
      length,
      chords,
      voices,
      marks: [],
    };
  }

  /** A problem of the phrase, at the innermost part of it that has a place in the text. */
  placed(phrase: Phrase, problem: Problem): Problem {
    const at = placeIn(phrase, problem.pointer ?? '', this.places, this.head.places);
    if (at === null) return problem;
    const probe = new Scanner(this.scan.text);
    probe.report(problem.message, problem.fix ?? 'Change it.', at);
    return probe.problems[0]!;
  }
}

import { FIRST_HAND, handFor, handiestPlace } from '../../core/neck/handy-place';
import { ticksOfValue } from '../../core/phrase/note-value';
import { byString, nonEmpty } from '../../core/phrase/rebuild';
import { meterTicks } from '../../core/phrase/time';
import {
  type Bar,
  type ChordChange,
  type Grace,
  type Mark,
  type Meter,
  type Note,
  PHRASE_VERSION,
  type Phrase,
  type PhraseEvent,
  type Ticks,
  type Tuplet,
  type Voice,
} from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { formatChord, isNoChord } from '../../core/theory/chord';
import { degreeNearMidi, parseDegree } from '../../core/theory/degree';
import { midiOf } from '../../core/theory/pitch';
import { parseChordOrRoman } from '../../core/theory/roman';
import { rootAt } from '../../core/understand/spell';
import { checkPhrase } from '../../core/validity/check-phrase';
import { type Head, PLAIN_DEFAULTS, type QuickDefaults, readHead } from './read-head';
import { type PlacedPitch, readGraces, readNote } from './read-note';
import { Scanner } from './scanner';
import { NORMAL, VALUE_WORDS } from './signs';

/** Whose the phrase is and when it was made, which the text does not say. */
export interface QuickOrigin {
  readonly id: string;
  /** ISO 8601 in UTC. */
  readonly now: string;
}

/** Texts longer than this are no phrase typed by anybody. */
export const LONGEST_QUICK_TEXT = 200_000;

/**
 * Reads quick text (grammar in `signs.ts`).
 * @param defaults What a text without a head is in: key, metre, tempo, feel, instrument.
 * @returns a valid phrase, or every mistake found with its line and column.
 */
export function readQuick(
  text: string,
  origin: QuickOrigin,
  defaults: QuickDefaults = PLAIN_DEFAULTS,
): Result<Phrase> {
  if (text.length > LONGEST_QUICK_TEXT) {
    return fail({
      message: `the text has ${text.length} characters, and at most ${LONGEST_QUICK_TEXT} are read`,
      fix: 'Write it as several phrases.',
    });
  }
  // Names and degrees need the chords, and the first chord also stands before its own place (D2).
  const first = new Reader(text, origin, defaults, []);
  const chords = first.run().chords;
  const reader = new Reader(text, origin, defaults, chords);
  const phrase = reader.run();
  const { problems } = reader.scan;
  if (problems.length > 0) return fail(...problems);
  const wrong = checkPhrase(phrase);
  return wrong.length === 0 ? ok(phrase) : fail(...wrong.map((p) => reader.placed(p)));
}

interface OpenTuplet {
  readonly onset: Ticks;
  readonly actual: Tuplet['actual'];
  readonly at: number;
}

class Reader {
  readonly scan: Scanner;
  private readonly head: Head;
  private readonly bars: Bar[] = [];
  private readonly chords: ChordChange[] = [];
  private readonly marks: Mark[] = [];
  private readonly voices: { events: PhraseEvent[]; tuplets: Tuplet[] }[] = [];
  /** Where each event of each voice begins in the text. */
  private readonly places = new Map<string, number>();
  private pickup: Ticks = 0;
  private length: Ticks = 0;
  /** Where a repeat ends the phrase inside its last bar. */
  private endsAt: Ticks | null = null;
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
  private barStart: Ticks = 0;
  private barCount = 0;
  private next: Partial<Bar> = {};
  private meter: Meter;
  private lines = false;
  /** Nothing has come since the last bar line. */
  private atLine = true;

  constructor(
    text: string,
    private readonly origin: QuickOrigin,
    defaults: QuickDefaults,
    private readonly known: readonly ChordChange[],
  ) {
    this.scan = new Scanner(text);
    this.head = readHead(this.scan, defaults);
    this.meter = this.head.meter;
    if (this.head.pickup !== null) this.pickup = this.head.pickup;
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
      this.barLine();
      return;
    }
    if (scan.looksAt(/\{/y)) {
      this.chord();
      return;
    }
    if (scan.looksAt(/"/y)) {
      this.words();
      return;
    }
    const dynamic = scan.take(/%(pp|p|mp|mf|ff|f)(?![a-z])/y);
    if (dynamic !== null) {
      this.marks.push({ kind: 'dynamic', onset: this.tick(), value: dynamic[1] as 'mf' });
      return;
    }
    const meter = scan.take(/(\d{1,3})\/(1|2|4|8|16)(?=\s|$)/y);
    if (meter !== null) {
      this.meter = { beats: Number(meter[1]), beatType: Number(meter[2]) as Meter['beatType'] };
      if (!this.atLine) {
        scan.report(
          'a metre is written at the beginning of a bar',
          'Put it after a bar line.',
          scan.at - meter[0].length,
        );
      }
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
    const open = scan.take(/([3579])(?:'(\d{1,9}))?\(/y);
    if (open !== null) {
      const onset = open[2] === undefined ? this.t : Number(open[2]);
      this.openTuplet(Number(open[1]) as Tuplet['actual'], onset, scan.at - open[0].length);
      return;
    }
    if (scan.looksAt(/\)/y)) {
      this.closeTuplet();
      return;
    }
    if (scan.take(/r(?=\s|\)|\||$)/y)) {
      this.t += this.ticks();
      this.atLine = false;
      return;
    }
    this.event();
  }

  /** Length of what comes. */
  private ticks(): Ticks {
    if (this.tuplet === null || this.inTicks) return this.value;
    return (this.value * NORMAL[this.tuplet.actual]) / this.tuplet.actual;
  }

  /** The moment a chord or mark stands at: named in ticks behind it, else here. */
  private tick(): Ticks {
    const m = this.scan.take(/'(\d{1,9})/y);
    return m === null ? this.t : Number(m[1]);
  }

  private chord(): void {
    const { scan } = this;
    const start = scan.at;
    const m = scan.take(/\{([^}\n]*)\}/y);
    if (m === null) {
      scan.report("the chord is not closed by '}'", 'Write {A7}.', start);
      scan.take(/\S+/y);
      return;
    }
    const text = m[1]!.trim();
    const onset = this.tick();
    if (isNoChord(text)) {
      this.chords.push({ onset, symbol: null });
      return;
    }
    const chord = parseChordOrRoman(text, this.head.key);
    if (!chord.ok) {
      const why = chord.problems[0]!;
      scan.report(why.message, why.fix ?? 'Write a chord such as A7 or IV7.', start + 1);
    } else this.chords.push({ onset, symbol: formatChord(chord.value) });
  }

  private words(): void {
    const start = this.scan.at;
    const text = this.scan.takeQuoted();
    if (text === null) {
      this.scan.report("the words are not closed by '\"'", 'Write "lazily".', start);
      this.scan.take(/[^\n]*/y);
    } else this.marks.push({ kind: 'words', onset: this.tick(), text });
  }

  private openTuplet(actual: Tuplet['actual'], onset: Ticks, at: number): void {
    if (this.tuplet !== null) {
      this.scan.report('a tuplet cannot stand in a tuplet', "Close the first one with ')'.", at);
      return;
    }
    this.tuplet = { onset, actual, at };
  }

  private closeTuplet(): void {
    const at = this.scan.at;
    this.scan.take(/\)/y);
    if (this.tuplet === null) {
      this.scan.report("')' closes nothing", 'Open a tuplet with 3( before it.', at);
      return;
    }
    const { onset, actual } = this.tuplet;
    const end = this.tick();
    this.tuplets.push({ onset, duration: end - onset, actual, normal: NORMAL[actual] });
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
        scan.take(/[^\s|)]+/y);
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
    this.places.set(`${this.voices.length}/${this.events.length}`, start);
    this.events.push(this.withMarks(event));
    this.atLine = false;
    this.t += duration;
  }

  private withMarks(e: PhraseEvent): PhraseEvent {
    const { scan } = this;
    const out: { -readonly [K in keyof PhraseEvent]: PhraseEvent[K] } = { ...e };
    for (;;) {
      const at = scan.at;
      if (!scan.take(/!/y)) return out;
      const rake = scan.take(/k(\d(?:\.?\d)*)/y);
      if (rake !== null) {
        const text = rake[1]!;
        const strings = (text.includes('.') ? text.split('.') : [...text]).map(Number);
        out.rake = strings as [number, ...number[]];
        continue;
      }
      if (scan.take(/G/y)) {
        const graces = nonEmpty(readGraces(scan, this.context([]), this.head.instrument));
        if (graces !== null) out.graces = graces;
        continue;
      }
      const m = scan.take(/pm|\/{1,3}|[duDU>.\-?]/y);
      switch (m?.[0]) {
        case 'd':
          out.stroke = 'down';
          break;
        case 'u':
          out.stroke = 'up';
          break;
        case 'D':
          out.strum = 'down';
          break;
        case 'U':
          out.strum = 'up';
          break;
        case '>':
          out.accent = true;
          break;
        case '.':
          out.staccato = true;
          break;
        case '-':
          out.tenuto = true;
          break;
        case 'pm':
          out.palmMute = true;
          break;
        case '?':
          out.guessed = true;
          break;
        case '/':
        case '//':
        case '///':
          out.tremolo = m[0].length as 1 | 2 | 3;
          break;
        default:
          scan.report(
            "what follows '!' is not known",
            'Write !d !u !D !U !> !. !- !pm !/ !k65 or !?.',
            at,
          );
          scan.take(/[^\s!]*/y);
      }
    }
  }

  private context(beside: readonly Note[]) {
    const phrase = this.soFar();
    return {
      phrase,
      onset: this.t,
      string: this.string,
      id: `n${this.noteCount + 1}`,
      placeOf: (text: string, octaves: number, at: number) =>
        this.placeOf(phrase, beside, text, octaves, at),
    };
  }

  /** A degree in the octave nearest to the note before, on the handiest free string. */
  private placeOf(
    phrase: Phrase,
    beside: readonly Note[],
    text: string,
    octaves: number,
    where: number,
  ): PlacedPitch | null {
    const degree = parseDegree(text)!;
    const { root } = rootAt(phrase, this.t);
    const last = beside.at(-1) ?? this.events.at(-1)?.notes[0];
    const near =
      last?.kind === 'pitched'
        ? midiOf(last.pitch)
        : midiOf(phrase.instrument.tuning[2] ?? phrase.instrument.tuning[0]!) + this.hand + 1;
    const pitch = degreeNearMidi(root, degree, near);
    const moved = pitch === null ? null : { ...pitch, octave: pitch.octave + octaves };
    const before = this.events.filter((e) => e.onset < this.t).at(-1)?.notes[0].string;
    const at = {
      instrument: phrase.instrument,
      hand: this.hand,
      string: before ?? (this.string === 0 ? 3 : this.string),
      taken: beside.map((n) => n.string),
    };
    const place = moved === null ? null : handiestPlace(at, midiOf(moved));
    if (moved === null || place === null || beside.some((n) => n.string === place.string)) {
      this.scan.report(
        `the instrument has no place for ${text} here`,
        'Add ^ or _ for another octave, or write string and fret.',
        where,
      );
      return null;
    }
    return { pitch: moved, ...place };
  }

  private barLine(): void {
    const { scan } = this;
    const start = scan.at;
    this.lines = true;
    const close = scan.take(/:\|(\d{1,2})?(?=\s|\||$)/y);
    if (close !== null) {
      this.next = { ...this.next, repeatEnd: close[1] === undefined ? 2 : Number(close[1]) };
      this.closeBar(start);
      return;
    }
    if (scan.take(/\|:/y)) {
      if (!this.atLine) this.closeBar(start);
      this.atLine = true;
      this.next = { ...this.next, repeatStart: true };
      return;
    }
    const ending = scan.take(/\|(\d(?:,\d)*)\./y);
    const same = ending === null && scan.take(/\|=/y) !== null;
    if (ending !== null || same) {
      if (!this.atLine) this.closeBar(start);
      this.atLine = true;
      const before = this.bars.at(-1)?.ending;
      this.next = {
        ...this.next,
        ...(ending === null
          ? before === undefined
            ? {}
            : { ending: before }
          : { ending: ending[1]!.split(',').map(Number) }),
      };
      return;
    }
    if (scan.take(/\|/y)) this.closeBar(start);
  }

  /** Ends a bar: it must be full, except a first one, which is then the pickup. */
  private closeBar(at: number): void {
    this.atLine = true;
    const second = this.voices.length > 0;
    const meter = second
      ? (this.bars[this.barCount - (this.pickup > 0 ? 1 : 0)]?.meter ?? this.meter)
      : this.meter;
    const isPickup = this.barCount === 0 && this.pickup > 0;
    const full = isPickup ? this.pickup : meterTicks(meter);
    const end = this.barStart + full;
    const isEnd = this.next.repeatEnd !== undefined && this.scan.looksAt(/\s*(?:2nd:|$)/y);
    if (this.t < end && isEnd && !second && this.t > this.barStart) {
      this.bars.push({ meter, ...this.next });
      this.next = {};
      this.endsAt = this.t;
      return;
    }
    if (this.t < end) {
      const first = !second && this.barCount === 0 && this.bars.length === 0 && this.t > 0;
      if (first && !isPickup) {
        this.pickup = this.t;
        this.barStart = this.t;
        this.barCount = 1;
        return;
      }
      this.scan.report(
        `the bar is ${beatsText(end - this.t)} short`,
        `A bar of ${meter.beats}/${meter.beatType} must be filled, with rests (r) where nothing sounds.`,
        at,
      );
    } else if (
      (this.events.at(-1)?.onset ?? 0) > end ||
      (this.t > end && (this.events.at(-1)?.onset ?? 0) >= end)
    ) {
      this.scan.report(
        `the bar is ${beatsText(this.t - end)} too long`,
        `A bar of ${meter.beats}/${meter.beatType} ends before here.`,
        at,
      );
    }
    if (!second && !isPickup) this.bars.push({ meter, ...this.next });
    if (!isPickup) this.next = {};
    this.barCount++;
    this.barStart = end;
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
    this.barStart = 0;
    this.barCount = 0;
    this.next = {};
    this.lines = false;
    this.atLine = true;
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
    if (this.voices.length === 0) this.endBars();
    this.voices.push({ events: this.events, tuplets: this.tuplets });
  }

  /** The bars that no line closed; the last may be open. */
  private endBars(): void {
    if (this.endsAt !== null) {
      this.length = this.endsAt;
      return;
    }
    const last = this.events.at(-1)?.onset ?? 0;
    let full = meterTicks(this.meter);
    if (this.lines && this.bars.length > 0 && last >= this.barStart + full) {
      this.scan.report(
        `the last bar is ${beatsText(this.t - this.barStart - full)} too long`,
        'Write a bar line where it ends.',
        this.scan.text.length,
      );
    }
    if (this.head.pickup !== null && this.barCount === 0) this.barStart = this.pickup;
    while (this.t > this.barStart || this.bars.length === 0) {
      this.bars.push({ meter: this.meter, ...this.next });
      this.next = {};
      this.barStart += full;
      full = meterTicks(this.meter);
    }
    // An open last bar ends with its last word; an empty text is one bar long.
    this.length = this.t > this.barStart - full && this.t < this.barStart ? this.t : this.barStart;
  }

  private soFar(): Phrase {
    const voice = { events: this.events, tuplets: this.tuplets };
    return this.frame([voice], this.known, Number.MAX_SAFE_INTEGER);
  }

  private phrase(): Phrase {
    const [first, second] = this.voices;
    const voices: Phrase['voices'] = second === undefined ? [first!] : [first!, second];
    const byTime = <T extends { onset: Ticks }>(list: readonly T[]) =>
      [...list].sort((a, b) => a.onset - b.onset);
    return {
      ...this.frame(voices, byTime(this.chords), this.length),
      marks: byTime(this.marks),
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
      pickup: this.pickup,
      bars: this.bars,
      length,
      chords,
      voices,
      marks: [],
    };
  }

  /** A problem of the phrase, at the event in the text that has it. */
  placed(problem: Problem): Problem {
    const m = /^\/voices\/(\d)\/events\/(\d+)/u.exec(problem.pointer ?? '');
    const at = m === null ? undefined : this.places.get(`${m[1]}/${m[2]}`);
    if (at === undefined) return problem;
    const probe = new Scanner(this.scan.text);
    probe.report(problem.message, problem.fix ?? 'Change it.', at);
    return probe.problems[0]!;
  }
}

function ticksOfWord(word: string): Ticks {
  const dots = word.endsWith('.') ? 1 : 0;
  return ticksOfValue({ value: VALUE_WORDS[word.replace('.', '')]!, dots });
}

function beatsText(ticks: Ticks): string {
  const quarters = Math.round((ticks / 10_080) * 1_000) / 1_000;
  return `${quarters} ${quarters === 1 ? 'quarter' : 'quarters'}`;
}

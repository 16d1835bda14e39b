import type { Instrument, Phrase, Ticks } from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { midiOf } from '../../../core/theory/pitch';
import { checkStorable } from '../../json/storable';
import { child, parseXml, XML_LIMITS, type XmlElement, type XmlLimits } from '../xml/parse';
import { type BarLayout, layOutBars } from './bars';
import type { NoteContext } from './built';
import { mergeShared, resolveConflicts } from './conflicts';
import { readDirections, SpanCover } from './directions';
import { draftEvents } from './events';
import { type Extras, ExtrasFinder, NO_EXTRAS, readExtras } from './extras';
import { readHarmonies } from './harmony';
import { type Header, readHeader } from './header';
import { MOST_FRETS, readInstrument } from './instrument';
import { readKey } from './key';
import { mendLegato } from './legato';
import { ImportLog, type ImportNote } from './log';
import { mendPhrase } from './mend';
import { IdSource } from './note-ids';
import { buildEvent } from './notes';
import { type ChosenPart, choosePart, partsWithPitches } from './part';
import { PartPitches } from './part-pitches';
import { placeNotes, type Shell } from './place';
import type { RawPart } from './raw';
import { timeStream } from './rhythm';
import { octavesAboveFrets } from './sounding';
import { type MarkedItem, markStream } from './spans';
import { Speller } from './spelling';
import { notationStaves, onStaff, separateStaves } from './staves';
import { suitedInstrument } from './suit';
import { arrangeVoices, type DraftStream, type DraftVoice } from './voices';
import { walkPart } from './walk';
import { choiceThatReads } from './ways-in';

export type { ImportNote } from './log';
export { formatImportNote } from './log';

export interface ReadMusicXmlOptions {
  /** Makes the ids of the phrase and of notes that bring none. */
  readonly newId: () => string;
  /** ISO 8601 in UTC; when the phrase is made, where the file does not say. */
  readonly now: string;
  /** Title of a file that has none; empty when absent. */
  readonly title?: string;
  /** Number of the part to read, from 1; the first with pitches when absent. */
  readonly part?: number;
  /** Number of the staff of that part to read, from 1 at the top; all of them together when absent. */
  readonly staff?: number;
  /** Octaves by which all notes are read higher, negative for lower; 0 when absent. */
  readonly octave?: number;
  readonly limits?: XmlLimits;
}

/** A phrase that was read, and what in the file it does not hold just as it was written. */
export interface ImportedPhrase {
  readonly phrase: Phrase;
  readonly notes: readonly ImportNote[];
}

/**
 * Reads a MusicXML file (any version, partwise or timewise) as a phrase: the first part that has
 * pitches, or the one asked for, with all its staves or one; notation, tab or both. A file of `writeMusicXml` comes back with equal musical fields.
 * Where strings and frets are absent the fingering engine chooses them. The phrase that is returned
 * is always valid (`checkPhrase`); what was left out, changed or assumed is listed. Takes time
 * linear in the length of the text.
 * @returns Problems with line and column, or bar and beat, where no phrase can be made of it.
 */
export function readMusicXml(text: string, options: ReadMusicXmlOptions): Result<ImportedPhrase> {
  const xml = parseXml(text, options.limits ?? XML_LIMITS);
  if (!xml.ok) return xml;
  const { result, unplayable, staves } = readPart(xml.value, options);
  if (result.ok || !unplayable) return result;
  const [first, ...more] = result.problems;
  const pitches = new PartPitches(xml.value);
  const choice = choiceThatReads(
    options,
    partsWithPitches(xml.value).slice(1, MOST_PARTS),
    staves,
    (chosen) => {
      const choice = { ...options, ...chosen };
      return pitches.mayBeHeld(choice) && readPart(xml.value, choice).result.ok;
    },
  );
  if (first === undefined || choice === null) return result;
  return fail({ ...first, fix: choice }, ...more);
}

/** So many parts are tried for music that no instrument can play as written. */
const MOST_PARTS = 6;

interface ReadPart {
  readonly result: Result<ImportedPhrase>;
  /** Refused since no instrument can play it, not for a fault of the file. */
  readonly unplayable: boolean;
  /** Staves of the part that have notes and are no tab; empty where it did not come so far. */
  readonly staves: readonly number[];
}

/** What three voices play on one staff may be more than a hand holds: then less of it is kept. */
function readPart(score: XmlElement, options: ReadMusicXmlOptions): ReadPart {
  const whole = readVoices(score, options, true);
  return whole.unplayable ? readVoices(score, options, false) : whole;
}

function readVoices(score: XmlElement, options: ReadMusicXmlOptions, crowded: boolean): ReadPart {
  const log = new ImportLog();
  const refused = (result: Result<never>): ReadPart => ({ result, unplayable: false, staves: [] });
  const chosen = choosePart(score, options.part ?? null, log);
  if (!chosen.ok) return refused(chosen);
  const walked = walkPart(chosen.value.measures, log);
  if (!walked.ok) return refused(walked);
  const staves = notationStaves(walked.value);
  const part = onStaff(walked.value, options.staff ?? null, log);
  if (!part.ok) return refused(part);
  const layout = layOutBars(part.value.measures, log);
  if (!layout.ok) return refused(layout);
  const tooLong = refuseLong(part.value, layout.value);
  if (tooLong !== null) return refused(fail(tooLong));
  // Our own fields are about the first part; what is written beneath it has none.
  const extras = chosen.value.isFirst ? readExtras(score, log) : NO_EXTRAS;
  const header = readHeader(score, extras.phrase, options, log);
  const reading = new Reading(chosen.value, part.value, layout.value, extras, crowded, log);
  const phrase = reading.phrase(header, options);
  if (!phrase.ok) return { result: phrase, unplayable: reading.unplayable, staves };
  const wrong = checkStorable(phrase.value);
  if (wrong.length > 0) return refused(fail(...wrong.map(({ pointer: _, ...p }) => p)));
  return {
    result: ok({ phrase: phrase.value, notes: log.finish(phrase.value) }),
    unplayable: false,
    staves,
  };
}

/** The bounds of the stored form: more could not be saved. */
const MOST_NOTES = 100_000;
const MOST_BARS = 10_000;
const MOST_SIGNS = 20_000;

function refuseLong(part: RawPart, layout: BarLayout): Problem | null {
  const notes = part.items.reduce((n, i) => n + i.notes.length, 0);
  const fix = 'Export only the bars you need.';
  if (notes > MOST_NOTES) {
    return { message: `the part has ${notes} notes, more than ${MOST_NOTES}`, fix };
  }
  if (layout.bars.length > MOST_BARS) {
    return { message: `the part has ${layout.bars.length} bars, more than ${MOST_BARS}`, fix };
  }
  const signs = Math.max(part.harmonies.length, part.directions.length);
  if (signs > MOST_SIGNS) {
    return {
      message: `the part has ${signs} chord symbols or directions, more than ${MOST_SIGNS}`,
      fix,
    };
  }
  return null;
}

/** Everything read of one part, on its way to a phrase. */
class Reading {
  /** Whether it was refused since notes have no place. */
  unplayable = false;

  constructor(
    private readonly chosen: ChosenPart,
    private readonly part: RawPart,
    private readonly layout: BarLayout,
    private readonly extras: Extras,
    private readonly crowded: boolean,
    private readonly log: ImportLog,
  ) {}

  phrase(header: Header, options: ReadMusicXmlOptions): Result<Phrase> {
    const { part, layout, extras, log } = this;
    const streams = this.streams();
    const items = streams.flatMap((s) => s.items);
    const written = readInstrument(part, this.chosen.scorePart, extras.phrase, log);
    const octaves = this.octavesDown(items, written) - (options.octave ?? 0);
    const suited = this.suited(written, items, octaves);
    const instrument = withFrets(suited, items, extras.phrase !== null, octaves, log);
    const key = this.key();
    const chords = readHarmonies(part.harmonies, part.items, layout, key, log);
    const directions = this.directions(items);
    const speller = new Speller(chords, key);
    const finder = new ExtrasFinder(extras.notes, layout);
    const says = (test: (m: MarkedItem['notes'][0]['marks']) => boolean) =>
      items.some((i) => i.notes.some((n) => test(n.marks)));
    const spans = directions.spans;
    const context: NoteContext = {
      instrument,
      speller,
      finder,
      own: extras.notes.length > 0,
      hasTab: says((m) => m.string !== null && m.fret !== null),
      transposed: part.transposed,
      octavesDown: octaves,
      // What notes say themselves goes before words over them.
      muted: new SpanCover(says((m) => m.palmMute) ? [] : spans, 'palm mute'),
      ringing: new SpanCover(says((m) => m.letRing) ? [] : spans, 'let ring'),
      ids: new IdSource(options.newId),
      log,
    };
    const voices = this.voices(streams).map((v) => ({
      events: mendLegato(
        v.events.flatMap((e) => buildEvent(e, context) ?? []),
        log,
      ),
      tuplets: v.tuplets,
    }));
    finder.finish(extras.notes, log);
    const { tempo, feel, marks } = directions;
    const { pickup, bars, length } = layout;
    const shell: Shell = {
      ...header,
      instrument,
      key,
      tempo,
      feel,
      pickup,
      bars,
      length,
      chords,
      marks,
    };
    const clear = resolveConflicts(mergeShared(voices, log), instrument, log);
    const placed = placeNotes(shell, clear, log);
    this.unplayable = !placed.ok;
    return placed.ok ? mendPhrase(placed.value, speller, log) : placed;
  }

  private streams(): readonly { items: readonly MarkedItem[]; tuplets: DraftVoice['tuplets'] }[] {
    const { part, layout, log } = this;
    return separateStaves(part, layout, log).streams.map((raw) => {
      const timed = timeStream(raw, layout, log);
      return {
        items: markStream(timed, this.extras.notes.length > 0, log),
        tuplets: timed.tuplets,
      };
    });
  }

  private voices(
    streams: readonly { items: readonly MarkedItem[]; tuplets: DraftVoice['tuplets'] }[],
  ): readonly DraftVoice[] {
    const drafts = streams.map(
      (s): DraftStream => ({ events: draftEvents(s.items, this.log), tuplets: s.tuplets }),
    );
    const empty: DraftVoice = { events: [], tuplets: [] };
    const wanted = this.extras.phrase?.voices ?? 1;
    const voices = [...arrangeVoices(drafts, this.crowded, this.log)];
    // A voice of rests has no note to be known by: our own field says that it is there.
    if (wanted === 2 && voices.length === 1) {
      const silent = drafts.findIndex((d) => d.events.length === 0);
      if (silent === 0) voices.unshift(empty);
      else voices.push(empty);
    }
    return voices.length === 0 ? [empty] : voices;
  }

  private key() {
    const key = readKey(this.part.keys, this.log);
    const blues = this.extras.phrase?.mode === 'blues' && key.mode === 'major';
    return blues ? { ...key, mode: 'blues' as const } : key;
  }

  private directions(items: readonly MarkedItem[]) {
    const dynamics = items.flatMap((i) =>
      i.notes.flatMap((n) =>
        n.marks.dynamics.map((element): { onset: Ticks; element: typeof element } => ({
          onset: i.onset,
          element,
        })),
      ),
    );
    const own = this.extras.phrase !== null;
    return readDirections(this.part.directions, dynamics, this.layout, own, this.log);
  }

  /** An instrument that holds the notes, where the file does not say which one it is for. */
  private suited(i: Instrument, items: readonly MarkedItem[], octaves: number): Instrument {
    const stated = this.part.staffDetails.some(
      (d) => child(d.element, 'staff-tuning') !== undefined,
    );
    if (stated || this.extras.phrase !== null) return i;
    const midis = items.flatMap((item) =>
      item.notes.flatMap(({ raw }) =>
        // A quarter tone that no string is bent up to becomes the semitone above.
        raw.pitch === null ? [] : [midiOf(raw.pitch) + (raw.quarterUp ? 1 : 0) - 12 * octaves],
      ),
    );
    return suitedInstrument(i, midis, this.log);
  }

  private octavesDown(items: readonly MarkedItem[], instrument: Instrument): number {
    const notes = items.flatMap((i) =>
      i.notes.map((n) => ({ pitch: n.raw.pitch, marks: n.marks })),
    );
    const octaves = octavesAboveFrets(notes, instrument);
    if (octaves !== 0) {
      const size = Math.abs(octaves) === 1 ? 'an octave' : `${Math.abs(octaves)} octaves`;
      const side = octaves > 0 ? 'above' : 'below';
      this.log.add(
        'approximated',
        `the notes are written ${size} ${side} what strings and frets sound, and read as these`,
      );
    }
    return octaves;
  }
}

/** More frets than the usual 22 where the notes need them. */
function withFrets(
  i: Instrument,
  items: readonly MarkedItem[],
  own: boolean,
  octaves: number,
  log: ImportLog,
): Instrument {
  if (own) return i;
  const top = Math.max(...i.tuning.map(midiOf));
  let needed = i.frets;
  for (const item of items) {
    for (const { raw, marks } of item.notes) {
      const fret = marks.fret === null ? 0 : marks.fret + i.capo;
      if (Number.isInteger(fret) && fret <= MOST_FRETS) needed = Math.max(needed, fret);
      const bent = marks.bends.length > 0;
      const high = raw.pitch === null || bent ? 0 : midiOf(raw.pitch) - 12 * octaves - top;
      if (high <= 24) needed = Math.max(needed, high);
    }
  }
  if (needed === i.frets) return i;
  log.add('assumed', `the notes need ${needed} frets, so the instrument has them`);
  return { ...i, frets: needed };
}

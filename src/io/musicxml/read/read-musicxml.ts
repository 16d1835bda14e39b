import type { Instrument, Phrase, Ticks } from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { midiOf } from '../../../core/theory/pitch';
import { parseXml, XML_LIMITS, type XmlLimits } from '../xml/parse';
import { type BarLayout, layOutBars } from './bars';
import { mergeShared, resolveConflicts } from './conflicts';
import { readDirections, SpanCover } from './directions';
import { draftEvents } from './events';
import { type Extras, ExtrasFinder, readExtras } from './extras';
import { readHarmonies } from './harmony';
import { type Header, readHeader } from './header';
import { MOST_FRETS, readInstrument } from './instrument';
import { readKey } from './key';
import { mendLegato } from './legato';
import { ImportLog, type ImportNote } from './log';
import { mendPhrase } from './mend';
import { buildEvent, IdSource, type NoteContext } from './notes';
import { type ChosenPart, choosePart } from './part';
import { placeNotes, type Shell } from './place';
import type { RawPart } from './raw';
import { timeStream } from './rhythm';
import { octavesAboveFrets } from './sounding';
import { type MarkedItem, markStream } from './spans';
import { Speller } from './spelling';
import { separateStaves } from './staves';
import { arrangeVoices, type DraftStream, type DraftVoice } from './voices';
import { walkPart } from './walk';

export type { ImportNote } from './log';
export { formatImportNote } from './log';

export interface ReadMusicXmlOptions {
  /** Makes the ids of the phrase and of notes that bring none. */
  readonly newId: () => string;
  /** ISO 8601 in UTC; when the phrase is made, where the file does not say. */
  readonly now: string;
  /** Title of a file that has none; empty when absent. */
  readonly title?: string;
  /** Number of the part to read, from 1; the first with notes when absent. */
  readonly part?: number;
  readonly limits?: XmlLimits;
}

/** A phrase that was read, and what in the file it does not hold just as it was written. */
export interface ImportedPhrase {
  readonly phrase: Phrase;
  readonly notes: readonly ImportNote[];
}

/**
 * Reads a MusicXML file (any version, partwise or timewise) as a phrase: the first part that has
 * notes; notation, tab or both. A file of `writeMusicXml` comes back with equal musical fields.
 * Where strings and frets are absent the fingering engine chooses them. The phrase that is returned
 * is always valid (`checkPhrase`); what was left out, changed or assumed is listed. Takes time
 * linear in the length of the text.
 * @returns Problems with line and column, or bar and beat, where no phrase can be made of it.
 */
export function readMusicXml(text: string, options: ReadMusicXmlOptions): Result<ImportedPhrase> {
  const xml = parseXml(text, options.limits ?? XML_LIMITS);
  if (!xml.ok) return xml;
  const log = new ImportLog();
  const chosen = choosePart(xml.value, options.part ?? null, log);
  if (!chosen.ok) return chosen;
  const part = walkPart(chosen.value.measures, log);
  if (!part.ok) return part;
  const layout = layOutBars(part.value.measures, log);
  if (!layout.ok) return layout;
  const tooLong = refuseLong(part.value, layout.value);
  if (tooLong !== null) return fail(tooLong);
  const extras = readExtras(xml.value, log);
  const header = readHeader(xml.value, extras.phrase, options, log);
  const phrase = new Reading(chosen.value, part.value, layout.value, extras, log).phrase(
    header,
    options,
  );
  if (!phrase.ok) return phrase;
  return ok({ phrase: phrase.value, notes: log.finish(phrase.value) });
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
  constructor(
    private readonly chosen: ChosenPart,
    private readonly part: RawPart,
    private readonly layout: BarLayout,
    private readonly extras: Extras,
    private readonly log: ImportLog,
  ) {}

  phrase(header: Header, options: ReadMusicXmlOptions): Result<Phrase> {
    const { part, layout, extras, log } = this;
    const streams = this.streams();
    const items = streams.flatMap((s) => s.items);
    const written = readInstrument(part, this.chosen.scorePart, extras.phrase, log);
    const instrument = withFrets(written, items, extras.phrase !== null, log);
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
      octavesDown: this.octavesDown(items, instrument),
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
    const voices = [...arrangeVoices(drafts, this.log)];
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
    return readDirections(this.part.directions, dynamics, this.layout, this.log);
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
  log: ImportLog,
): Instrument {
  if (own) return i;
  const top = Math.max(...i.tuning.map(midiOf));
  let needed = i.frets;
  for (const item of items) {
    for (const { raw, marks } of item.notes) {
      const fret = marks.fret === null ? 0 : marks.fret + i.capo;
      if (Number.isInteger(fret) && fret <= MOST_FRETS) needed = Math.max(needed, fret);
      const high = raw.pitch === null || marks.bends.length > 0 ? 0 : midiOf(raw.pitch) - top;
      if (high <= 24) needed = Math.max(needed, high);
    }
  }
  if (needed === i.frets) return i;
  log.add('assumed', `the notes need ${needed} frets, so the instrument has them`);
  return { ...i, frets: needed };
}

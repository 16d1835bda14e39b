import { fingeredView } from '../../../core/neck/as-fingered';
import { placeMidi } from '../../../core/phrase/instrument';
import { writeRhythm } from '../../../core/phrase/rhythm';
import type { Instrument, Note, Phrase } from '../../../core/phrase/types';
import { notesOf } from '../../../core/phrase/walk';
import { degreeSign } from '../../../core/theory/degree';
import { signatureFifths } from '../../../core/theory/key';
import { type Pitch, pitchOfMidi } from '../../../core/theory/pitch';
import { analyse } from '../../../core/understand/analyse';
import {
  encodeMisc,
  NOTES_FIELD,
  noteExtras,
  PHRASE_FIELD,
  phraseExtras,
  type StaffKind,
} from '../misc';
import { el, formatXml, group, leaf, type XmlNode } from '../xml/format';
import { accidentalsOfBars, measureNode, type ScoreContext } from './measure';
import { findLinks, SpannerNumbers } from './spanners';

export interface WriteMusicXmlOptions {
  /** Notation with the tab below it (default), or one of the two. */
  readonly staves?: 'both' | 'staff' | 'tab';
  /** Degrees of every note as lyrics: of its chord, or of the key (D1). */
  readonly degrees?: 'chord' | 'key';
  /** Pitches, key and chords as the hand names them, with `<transpose>` to what sounds (N2). */
  readonly asFingered?: boolean;
  /** A phrase of the same bars as a second part: its accompaniment. */
  readonly beneath?: Phrase;
  /** Day of the encoding as `yyyy-mm-dd`; left out when absent. */
  readonly encodingDate?: string;
}

const PROLOGUE = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`;

/**
 * A phrase as a MusicXML 4.0 file: one part with notation and tab staves, or either alone, and its accompaniment as a second. Pitches
 * are sounding; the octave of the guitar is in its clef (P3). What the format has no element for is
 * in two fields (see `misc.ts`).
 * @param p A phrase without problems (`checkPhrase`).
 * @throws RangeError for a phrase that has problems (programmer's error).
 */
export function writeMusicXml(p: Phrase, options: WriteMusicXmlOptions = {}): string {
  const { beneath, degrees: _, ...plain } = options;
  const score = el(
    'score-partwise',
    { version: '4.0' },
    p.meta.title === '' ? null : group('work', leaf('work-title', p.meta.title)),
    identification(p, options.encodingDate),
    credits(p),
    group(
      'part-list',
      ...(beneath === undefined ? [] : [bracket('start')]),
      scorePart('P1', p.instrument),
      ...(beneath === undefined
        ? []
        : [scorePart('P2', { ...beneath.instrument, name: 'Comping' }), bracket('stop')]),
    ),
    part('P1', p, options),
    beneath === undefined ? null : part('P2', besides(p, beneath), plain, notesOf(p).length),
  );
  return PROLOGUE + formatXml(score);
}

/** What accompanies a phrase: in its tempo, and chords stand over the upper part only. */
function besides({ tempo, feel }: Phrase, beneath: Phrase): Phrase {
  return { ...beneath, tempo, feel, chords: [] };
}

/** @param before Notes of the parts before it: ids of notes are those of the whole file (`xs:ID`). */
function part(id: string, p: Phrase, options: WriteMusicXmlOptions, before = 0): XmlNode {
  const bars = writeRhythm(p);
  const context = contextOf(p, stavesOf(options.staves ?? 'both'), options, before);
  const accidentals = accidentalsOfBars(context, bars);
  const measures = bars.map((_, i) => measureNode(context, bars, i, accidentals[i]!));
  const open = context.note.numbers.unclosed();
  if (open.length > 0) throw new RangeError(`nothing stops ${open.join(', ')}`);
  return el('part', { id }, measures);
}

/** The bracket that joins two parts on every line. */
function bracket(type: 'start' | 'stop'): XmlNode {
  const symbol = type === 'start' ? leaf('group-symbol', 'bracket') : null;
  return el('part-group', { number: 1, type }, symbol);
}

function stavesOf(staves: 'both' | 'staff' | 'tab'): readonly StaffKind[] {
  return staves === 'both' ? ['staff', 'tab'] : [staves];
}

function contextOf(
  p: Phrase,
  staves: readonly StaffKind[],
  options: WriteMusicXmlOptions,
  before: number,
): ScoreContext {
  const view = options.asFingered === true ? fingeredView(p.instrument, p.key) : null;
  const key = view?.key ?? p.key;
  const numbers = new Map<Note, number>(notesOf(p).map(({ note }, i) => [note, before + i + 1]));
  const side = signatureFifths(p.key) < 0 ? 'flat' : 'sharp';
  const lines = degreeLines(p, options.degrees);
  return {
    phrase: p,
    staves,
    view,
    key,
    note: {
      links: findLinks(p),
      numbers: new SpannerNumbers(),
      written: (pitch: Pitch) => view?.pitch(pitch) ?? pitch,
      mutedPitch: (string, fret) => pitchOfMidi(placeMidi(p.instrument, { string, fret }), side),
      numberOf: (note) => numbers.get(note)!,
      lyrics: lines,
    },
  };
}

/** The degrees under the notes, one line a note of a chord, the first string on top. */
function degreeLines(
  p: Phrase,
  which: 'chord' | 'key' | undefined,
): (voice: number, event: number) => readonly string[] {
  if (which === undefined) return () => [];
  const field = which === 'chord' ? 'chordDegree' : 'keyDegree';
  const lines = new Map<string, string[]>();
  for (const { at, start, heard } of analyse(p).readings) {
    const from = start[field];
    const to = heard[field];
    if (from === null || to === null) continue;
    const isBent = heard !== start;
    // The heard note of a bend is its target (D5).
    const text = isBent ? `${degreeSign(from)}→${degreeSign(to)}` : degreeSign(from);
    const key = `${at.voice} ${at.eventIndex}`;
    lines.set(key, [...(lines.get(key) ?? []), text]);
  }
  return (voice, event) => lines.get(`${voice} ${event}`) ?? [];
}

function identification(p: Phrase, date: string | undefined): XmlNode {
  const field = (name: string, text: string) => leaf('miscellaneous-field', text, { name });
  const supports = (element: string) => el('supports', { element, type: 'yes' });
  return group(
    'identification',
    group(
      'encoding',
      leaf('software', 'Degreewise'),
      date === undefined ? null : leaf('encoding-date', date),
      supports('accidental'),
      supports('beam'),
    ),
    p.meta.source === undefined ? null : leaf('source', p.meta.source),
    group(
      'miscellaneous',
      field(PHRASE_FIELD, encodeMisc(phraseExtras(p))),
      field(NOTES_FIELD, encodeMisc(noteExtras(p))),
    ),
  );
}

function credits(p: Phrase): XmlNode[] {
  const credit = (type: string, text: string) =>
    el('credit', { page: 1 }, leaf('credit-type', type), leaf('credit-words', text));
  const { title, styleOf } = p.meta;
  return [
    ...(title === '' ? [] : [credit('title', title)]),
    ...(styleOf === undefined ? [] : [credit('subtitle', `In the style of ${styleOf}`)]),
  ];
}

/** General MIDI programs (MIDI Association), counted from 1 as MusicXML does. */
const PROGRAMS: Readonly<Record<Instrument['clef'], number>> = {
  'treble-8': 28,
  treble: 25,
  'bass-8': 34,
};

function scorePart(part: 'P1' | 'P2', { name, clef }: Instrument): XmlNode {
  const id = `${part}-I1`;
  return el(
    'score-part',
    { id: part },
    leaf('part-name', name),
    el('score-instrument', { id }, leaf('instrument-name', name)),
    el('midi-instrument', { id }, leaf('midi-program', PROGRAMS[clef])),
  );
}

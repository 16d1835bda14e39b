import { expect } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatProblem, type Problem } from '../../src/core/result';
import { formatPitch } from '../../src/core/theory/pitch';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { decodePhrase } from '../../src/io/json/decode';
import { encodePhrase } from '../../src/io/json/encode';
import {
  formatImportNote,
  type ImportNote,
  readMusicXml,
} from '../../src/io/musicxml/read/read-musicxml';

/*
 * Plain MusicXML as other programs write it, made in a few words, for tests of the reader. Element
 * names and order follow the W3C's MusicXML 4.0 reference.
 */

export interface NoteText {
  /** Note value; quarter, eighth … by the duration when absent is not guessed: then no `<type>`. */
  readonly type?: string;
  readonly dots?: number;
  readonly voice?: string;
  readonly staff?: number;
  readonly chord?: boolean;
  readonly grace?: boolean;
  readonly tie?: readonly ('start' | 'stop')[];
  /** `3:2` for `<time-modification>`. */
  readonly ratio?: string;
  /** Children of `<notations>`. */
  readonly notations?: string;
  /** Children of `<technical>`. */
  readonly technical?: string;
  readonly head?: string;
  /** Elements at the end of the note. */
  readonly extra?: string;
  readonly id?: string;
}

/** A note at a pitch such as `F#4`, `Bb3`; `rest`; or `x` for an unpitched one. */
export function n(pitch: string, duration: number, o: NoteText = {}): string {
  const ties = (o.tie ?? []).map((t) => `<tie type="${t}"/>`).join('');
  const tied = (o.tie ?? []).map((t) => `<tied type="${t}"/>`).join('');
  const technical = o.technical === undefined ? '' : `<technical>${o.technical}</technical>`;
  const notations = `${tied}${o.notations ?? ''}${technical}`;
  const [actual, normal] = (o.ratio ?? '').split(':');
  return [
    o.id === undefined ? '<note>' : `<note id="${o.id}">`,
    o.grace === true ? '<grace/>' : '',
    o.chord === true ? '<chord/>' : '',
    pitchText(pitch),
    o.grace === true ? '' : `<duration>${duration}</duration>`,
    ties,
    `<voice>${o.voice ?? '1'}</voice>`,
    o.type === undefined ? '' : `<type>${o.type}</type>`,
    '<dot/>'.repeat(o.dots ?? 0),
    normal === undefined
      ? ''
      : `<time-modification><actual-notes>${actual}</actual-notes><normal-notes>${normal}</normal-notes></time-modification>`,
    o.head ?? '',
    o.staff === undefined ? '' : `<staff>${o.staff}</staff>`,
    notations === '' ? '' : `<notations>${notations}</notations>`,
    o.extra ?? '',
    '</note>',
  ].join('');
}

function pitchText(pitch: string): string {
  if (pitch === 'rest') return '<rest/>';
  if (pitch === 'x') {
    return '<unpitched><display-step>B</display-step><display-octave>4</display-octave></unpitched>';
  }
  const m = /^([A-G])(##|#|bb|b)?(-?\d)$/u.exec(pitch);
  if (m === null) throw new Error(`pitch ${pitch}`);
  const alter = { '##': 2, '#': 1, '': 0, b: -1, bb: -2 }[m[2] ?? ''] ?? 0;
  const alterText = alter === 0 ? '' : `<alter>${alter}</alter>`;
  return `<pitch><step>${m[1]}</step>${alterText}<octave>${m[3]}</octave></pitch>`;
}

/** String and fret, as children of `<technical>`. */
export function at(string: number, fret: number): string {
  return `<string>${string}</string><fret>${fret}</fret>`;
}

export interface AttributesText {
  readonly divisions?: number;
  readonly key?: string;
  /** `4/4`; `none` leaves the time signature out. */
  readonly time?: string;
  readonly rest?: string;
}

export function attributes(o: AttributesText = {}): string {
  const [beats, type] = (o.time ?? '4/4').split('/');
  return [
    '<attributes>',
    `<divisions>${o.divisions ?? 2}</divisions>`,
    o.key ?? '<key><fifths>0</fifths><mode>major</mode></key>',
    o.time === 'none' ? '' : `<time><beats>${beats}</beats><beat-type>${type}</beat-type></time>`,
    o.rest ?? '',
    '</attributes>',
  ].join('');
}

export function move(name: 'backup' | 'forward', duration: number): string {
  return `<${name}><duration>${duration}</duration></${name}>`;
}

/** Measures as strings; each may begin with `{…}` holding its own attributes. */
export function score(measures: readonly string[], o: { readonly head?: string } = {}): string {
  const body = measures.map((m, i) => {
    const own = /^\{([^}]*)\}/u.exec(m);
    const attribute = own?.[1] ?? `number="${i + 1}"`;
    return `<measure ${attribute}>${m.slice(own?.[0].length ?? 0)}</measure>`;
  });
  return `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">${o.head ?? ''}<part-list><score-part id="P1"><part-name>Test part</part-name></score-part></part-list><part id="P1">
${body.join('\n')}
</part></score-partwise>`;
}

export interface Imported {
  readonly phrase: Phrase;
  readonly notes: readonly ImportNote[];
  /** The list as lines of text. */
  readonly listed: readonly string[];
}

export interface ImportOptions {
  readonly part?: number;
  readonly title?: string;
}

/** Reads a file that must be readable; the phrase must be valid and survive being stored. */
export function imported(xml: string, o: ImportOptions = {}): Imported {
  let next = 1;
  const r = readMusicXml(xml, {
    newId: () => `new${next++}`,
    now: '2026-02-03T04:05:06Z',
    ...o,
  });
  if (!r.ok) throw new Error(r.problems.map(formatProblem).join('\n'));
  const { phrase, notes } = r.value;
  expect(checkPhrase(phrase).map(formatProblem)).toEqual([]);
  const stored = decodePhrase(encodePhrase(phrase));
  expect(stored.ok ? stored.value : stored.problems.map(formatProblem)).toEqual(phrase);
  return { phrase, notes, listed: notes.map(formatImportNote) };
}

/** Reads a file that must be refused. */
export function refused(xml: string): readonly Problem[] {
  const r = readMusicXml(xml, { newId: () => 'x', now: '2026-02-03T04:05:06Z' });
  if (r.ok) throw new Error('the file was read');
  expect(r.problems.length).toBeGreaterThan(0);
  return r.problems;
}

/** The events of a voice as `onset+duration pitch pitch`, highest string first; `x` is a dead note. */
export function lines(p: Phrase, voice = 0): readonly string[] {
  return (p.voices[voice]?.events ?? []).map((e) => {
    const notes = e.notes.map((x) => (x.kind === 'dead' ? 'x' : formatPitch(x.pitch)));
    return `${e.onset}+${e.duration} ${notes.join(' ')}`;
  });
}

/** String and fret of every note as `string/fret`, in the order of time. */
export function places(p: Phrase): readonly string[] {
  return notesOf(p).map(({ note }) => `${note.string}/${note.fret}`);
}

import type { Note, Phrase, PhraseEvent, PitchedNote } from '../../src/core/phrase/types';
import { bendSemitones, notesOf } from '../../src/core/phrase/walk';

/**
 * What a phrase is as music, which a round trip must keep: everything but identity and times of the
 * phrase and the ids of its notes.
 */
export function musicalFields(p: Phrase): unknown {
  const { id: _, parent: __, meta, voices, ...rest } = p;
  const { created: ___, modified: ____, ...said } = meta;
  return {
    ...rest,
    meta: said,
    voices: voices.map((v) => ({ ...v, events: v.events.map(bareEvent) })),
  };
}

function bareEvent(e: PhraseEvent): unknown {
  return { ...e, notes: e.notes.map(({ id: _, ...n }) => n) };
}

/**
 * What standard MusicXML says of a phrase without our own two fields. It has no element for: the
 * mode 'blues', style, tags, level, notes for students, frets and scale length of the instrument,
 * anchors, roles, anticipations and pins, the spelling of a bend's target, points of a bend between
 * the beginning and end of its rise and fall, the upper note of a trill wider than a tone, the interval of an
 * artificial or pinch harmonic, that a length was guessed, and an empty second voice. Phrases with `hasSharedSlide` are no matter for
 * it.
 */
export function standardFields(p: Phrase): unknown {
  const { title, source } = p.meta;
  const { tuning, capo } = p.instrument;
  const voices = p.voices.filter((v, i) => i === 0 || v.events.length > 0);
  return {
    title,
    source,
    tuning,
    capo,
    key: { ...p.key, mode: p.key.mode === 'minor' ? 'minor' : 'major' },
    tempo: p.tempo,
    feel: p.feel,
    pickup: p.pickup,
    bars: p.bars,
    length: p.length,
    chords: p.chords,
    marks: p.marks,
    voices: voices.map((v) => ({ tuplets: v.tuplets, events: v.events.map(standardEvent) })),
  };
}

function standardEvent({ guessed: _, ...e }: PhraseEvent): unknown {
  return { ...e, notes: e.notes.map(standardNote) };
}

function standardNote(n: Note): unknown {
  if (n.kind === 'dead') {
    return { kind: n.kind, string: n.string, fret: n.fret, scrape: n.scrape ?? null };
  }
  const { id: _, anchor: __, role: ___, anticipation: ____, pinned: _____, ...rest } = n;
  const { bend, trill, harmonic, ...plain } = rest;
  return {
    ...plain,
    bend: bend === undefined ? null : [bend.shape, bendSemitones(n)],
    trill: trill !== undefined,
    harmonic: harmonic?.kind ?? null,
  };
}

/**
 * Whether a slide is written in a way that plain MusicXML shares with another: from a grace note,
 * which is also a slide-in; or two at once of which one is plucked, since a slur at one note of a
 * chord is meant for all of them.
 */
export function hasSharedSlide(p: Phrase): boolean {
  return notesOf(p).some(({ note, event }) => {
    if (note.kind === 'dead' || !isSlide(note)) return false;
    const graced = (event.graces ?? []).some((g) => g.notes.some((n) => n.string === note.string));
    return graced || event.notes.some((n) => isSlide(n) && n.attack !== note.attack);
  });
}

function isSlide(n: Note): n is PitchedNote {
  return n.kind === 'pitched' && (n.attack === 'slide' || n.attack === 'slide-plucked');
}

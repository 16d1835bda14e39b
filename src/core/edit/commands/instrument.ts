import { openMidi } from '../../phrase/instrument';
import { mapEvents, mapGraceNotes } from '../../phrase/rebuild';
import type { Instrument, Note, Phrase } from '../../phrase/types';
import { mapNotes } from '../../phrase/walk';
import { midiOf, type Pitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { placeAgain, restrungWords } from '../place-again';
import { soundingBy } from '../sounding-by';
import type { EditState } from '../state';

/**
 * What stays when the strings change: `pitches` (frets change), `frets` (what sounds changes under the
 * same chords), or `shapes`: frets stay, and key and chords move along with what sounds.
 */
export type Keeping = 'pitches' | 'frets' | 'shapes';

/** The capo, the hand as it was: the shapes stay, and key and chords are named as they sound. */
export const capoKeepingShapes = defineCommand<number>({
  id: 'neck.capo-shapes',
  group: 'Instrument',
  title: 'Keep the frets, take key and chords along, and put the capo at fret (0: none)',
  words: 'capo shapes transpose key',
  ask: { kind: 'number', label: 'the capo', least: 0, most: 12, step: 1 },
  apply: (s, capo) => withCapo(s, capo, 'shapes'),
});

/** The capo, the hand as it was: what sounds changes under the chords that stand there. */
export const capoKeepingFrets = defineCommand<number>({
  id: 'neck.capo-frets',
  group: 'Instrument',
  title: 'Keep the frets, key and chords, and put the capo at fret (0: none)',
  words: 'capo',
  ask: { kind: 'number', label: 'the capo', least: 0, most: 12, step: 1 },
  apply: (s, capo) => withCapo(s, capo, 'frets'),
});

/** The capo, the music as it was: frets are counted from the capo. */
export const capoKeepingPitches = defineCommand<number>({
  id: 'neck.capo-pitches',
  group: 'Instrument',
  title: 'Keep the pitches and put the capo at fret (0: none)',
  words: 'capo',
  ask: { kind: 'number', label: 'the capo', least: 0, most: 12, step: 1 },
  apply: (s, capo) => withCapo(s, capo, 'pitches'),
});

function withCapo(s: EditState, capo: number, keep: Keeping): Outcome {
  if (capo === s.phrase.instrument.capo) return cannot('the capo is there already');
  const next = { ...s.phrase.instrument, capo };
  return withInstrument(s, next, keep, capo === 0 ? 'capo taken off' : `capo at fret ${capo}`);
}

/** How many frets the neck has. */
export const setFrets = defineCommand<number>({
  id: 'neck.frets',
  group: 'Instrument',
  title: 'Say how many frets the neck has',
  words: 'neck length frets',
  ask: { kind: 'number', label: 'the number of frets', least: 12, most: 36, step: 1 },
  apply: (s, frets) =>
    frets === s.phrase.instrument.frets
      ? cannot('it has so many already')
      : done(
          { ...s, phrase: { ...s.phrase, instrument: { ...s.phrase.instrument, frets } } },
          `${frets} frets`,
        ),
});

/** The phrase on another instrument with something kept, where that can be. */
export function withInstrument(
  s: EditState,
  instrument: Instrument,
  keep: Keeping,
  say: string,
): Outcome {
  if (keep === 'shapes') {
    const by = soundingBy(s.phrase, instrument);
    return by.ok ? done({ ...s, phrase: by.phrase }, say + by.say) : cannot(by.because);
  }
  if (keep === 'frets') return done({ ...s, phrase: keepFrets(s.phrase, instrument) }, say);
  const placed = placeAgain(s.phrase, instrument);
  return placed.ok
    ? done({ ...s, phrase: placed.phrase }, say + restrungWords(placed.restrung))
    : cannot(placed.because);
}

/** The same places; bends, trills and graces keep their width. */
function keepFrets(p: Phrase, instrument: Instrument): Phrase {
  const moved = mapNotes(p, ({ note, onset }): Note => {
    if (note.kind === 'dead') return note;
    const by = openMidi(instrument, note.string) - openMidi(p.instrument, note.string);
    if (by === 0) return note;
    const up = (pitch: Pitch) => spellAt(p, onset, midiOf(pitch) + by);
    const { bend, trill } = note;
    return {
      ...note,
      pitch: up(note.pitch),
      ...(bend === undefined || bend.shape === 'curl'
        ? {}
        : { bend: { ...bend, target: up(bend.target) } }),
      ...(trill === undefined ? {} : { trill: { upper: up(trill.upper) } }),
    };
  });
  const graced = mapEvents(moved, (e) =>
    mapGraceNotes(e, (n) => ({
      ...n,
      pitch: spellAt(p, e.onset, openMidi(instrument, n.string) + n.fret),
    })),
  );
  return { ...graced, instrument };
}

import { movePhrase } from '../../move/move';
import type { Feel, Tempo } from '../../phrase/types';
import { shortened } from '../../shortened';
import { formatKey, parseKey } from '../../theory/key';
import { keySign } from '../../theory/key-sign';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import { FEEL_NAMES, FEELS, type FeelName } from '../setup/choices';
import { FASTEST, SLOWEST, TEMPO_UNIT_NAMES } from '../tempo-for';

/** Another key: only its name and signature, the notes stay. */
export const renameKey = defineCommand<string>({
  id: 'key.rename',
  group: 'Chords and key',
  title: 'Say that it is in the key of',
  words: 'signature tonic mode',
  ask: { kind: 'text', label: 'the key', example: 'Bb blues' },
  apply: (s, text) => {
    const key = parseKey(text);
    if (key === null) return cannot(`'${shortened(text)}' is no key: write C, F#m or Bb blues`);
    if (formatKey(key) === formatKey(s.phrase.key)) return cannot('it is in this key already');
    return done({ ...s, phrase: { ...s.phrase, key } }, `in ${keySign(key)}`);
  },
});

/** Another key with everything moved into it. */
export const moveToKey = defineCommand<string>({
  id: 'key.move',
  group: 'Chords and key',
  title: 'Move everything to the key of',
  words: 'transpose key',
  ask: { kind: 'text', label: 'the key', example: 'G' },
  apply: (s, text) => {
    const key = parseKey(text);
    if (key === null) return cannot(`'${shortened(text)}' is no key: write C, F#m or Bb blues`);
    if (sameData(key, s.phrase.key)) return cannot('it is in this key already');
    const sameMode = (key.mode === 'minor') === (s.phrase.key.mode === 'minor');
    const moved = movePhrase(s.phrase, {
      to: { kind: 'key', key },
      ...(sameMode ? {} : { way: 'chord' as const }),
    });
    if (!moved.ok) return cannot(moved.problems[0]!.message);
    return sayLost(s, done({ ...s, phrase: moved.value.phrase }, `moved to ${keySign(key)}`));
  },
});

/** Beats in a minute, of the unit that is counted. */
export const setTempo = defineCommand<number>({
  id: 'key.tempo',
  group: 'Chords and key',
  title: 'Set the tempo, in beats a minute',
  words: 'bpm speed',
  ask: { kind: 'number', label: 'the tempo', least: SLOWEST, most: FASTEST, step: 1 },
  apply: (s, bpm) =>
    bpm === s.phrase.tempo.bpm
      ? cannot('it is this tempo already')
      : done(
          { ...s, phrase: { ...s.phrase, tempo: { ...s.phrase.tempo, bpm } } },
          `${bpm} a minute`,
        ),
});

const UNITS = (['eighth', 'quarter', 'dotted-quarter', 'half'] as const).map((value) => ({
  value,
  title: TEMPO_UNIT_NAMES[value],
}));

/** What the tempo counts. */
export const setTempoUnit = defineCommand<Tempo['unit']>({
  id: 'key.tempo-unit',
  group: 'Chords and key',
  title: 'Let the tempo count',
  words: 'bpm beat unit',
  ask: { kind: 'choice', choices: UNITS },
  now: (s) => s.phrase.tempo.unit,
  apply: (s, unit) =>
    unit === s.phrase.tempo.unit
      ? cannot('it counts these already')
      : done(
          { ...s, phrase: { ...s.phrase, tempo: { ...s.phrase.tempo, unit } } },
          `the tempo counts ${TEMPO_UNIT_NAMES[unit]}`,
        ),
});

const FEEL_TITLES: Readonly<Record<FeelName, string>> = {
  straight: 'straight',
  shuffle: 'like a shuffle, 2 to 1',
  light: 'lightly swung, 3 to 2',
  sixteenths: 'with swung 16ths, 2 to 1',
};

/** How the written rhythm sounds (T3). */
export const setFeel = defineCommand<FeelName>({
  id: 'key.feel',
  group: 'Chords and key',
  title: 'Let it feel',
  words: 'feel groove',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'straight', title: FEEL_TITLES.straight, words: 'feel groove even' },
      {
        value: 'shuffle',
        title: FEEL_TITLES.shuffle,
        words: 'feel groove swing swung triplets',
      },
      { value: 'light', title: FEEL_TITLES.light, words: 'feel groove swing' },
      { value: 'sixteenths', title: FEEL_TITLES.sixteenths, words: 'feel groove swing funk' },
    ],
  },
  now: (s) => FEEL_NAMES.find((name) => sameData(FEELS[name], s.phrase.feel)),
  apply: (s, which) => {
    const feel: Feel = FEELS[which];
    if (sameData(feel, s.phrase.feel)) return cannot('it feels so already');
    return done({ ...s, phrase: { ...s.phrase, feel } }, `it feels ${FEEL_TITLES[which]}`);
  },
});

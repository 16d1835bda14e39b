import type { PitchedNote, SlideIn } from '../../phrase/types';
import { changePitched, ofPitched, withField } from '../change';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import type { Outcome } from '../outcome';
import { nextPlayable } from '../round';
import type { EditState } from '../state';

const SLIDES = [
  { value: 'below', title: 'from a semitone below' },
  { value: 'above', title: 'from a semitone above' },
  { value: 'somewhere below', title: 'from somewhere below' },
  { value: 'somewhere above', title: 'from somewhere above' },
  { value: 'none', title: 'not at all' },
] as const;
type Slide = (typeof SLIDES)[number]['value'];

/** A slide into the note from no note before it. */
export const setSlideIn = defineCommand<Slide>({
  id: 'hand.slide-in',
  group: 'Left hand',
  title: 'Slide into it',
  words: 'slide-in scoop plop approach',
  ask: { kind: 'choice', choices: SLIDES },
  apply: withSlideIn,
});

/** The same by one key; a side from which one of the notes cannot be slid into is passed over. */
export const nextSlideIn = defineCommand<undefined>({
  id: 'hand.slide-in-next',
  group: 'Left hand',
  title: 'Slide into it from a semitone below, above, or not',
  words: 'slide-in approach',
  ask: { kind: 'nothing' },
  keys: [{ key: 'a', value: undefined }],
  apply: (s) => {
    const now = ofPitched<Slide>(s, (n) => n.slideIn?.from ?? 'none');
    return nextPlayable<Slide>(s, ['none', 'below', 'above'], now, (next) => withSlideIn(s, next));
  },
});

function withSlideIn(s: EditState, slide: Slide): Outcome {
  const from = slide.endsWith('below') ? 'below' : 'above';
  const slideIn: SlideIn | undefined =
    slide === 'none'
      ? undefined
      : slide.startsWith('somewhere')
        ? { kind: 'indefinite', from }
        : { kind: 'interval', from, semitones: 1 };
  const outcome = changePitched(
    s,
    (n) => {
      if (slideIn !== undefined && n.fret === 0) return 'an open string cannot be slid into';
      const free =
        slideIn === undefined || n.attack === 'tap' ? n : withField(n, 'attack', undefined);
      return withField(free, 'slideIn', slideIn);
    },
    slideIn === undefined
      ? 'without a slide-in'
      : `slid into ${SLIDES.find((c) => c.value === slide)!.title}`,
    slideIn === undefined ? 'nothing slides into it' : 'it is slid into so already',
  );
  return sayLost(s, outcome, 'slideIn');
}

/** A slide off the note to nowhere. */
export const nextSlideOut = defineCommand<undefined>({
  id: 'hand.slide-out-next',
  group: 'Left hand',
  title: 'Slide off it downwards, upwards, or not',
  words: 'fall doit slide out',
  ask: { kind: 'nothing' },
  keys: [{ key: '\\', value: undefined }],
  apply: (s) => {
    const now = ofPitched(s, (n) => n.slideOut);
    return nextPlayable<PitchedNote['slideOut']>(s, [undefined, 'down', 'up'], now, (next) =>
      changePitched(
        s,
        (n) =>
          next !== undefined && n.fret === 0
            ? 'an open string cannot be slid off'
            : withField(n, 'slideOut', next),
        next === undefined ? 'without a slide off' : `slid off ${next}wards`,
      ),
    );
  },
});

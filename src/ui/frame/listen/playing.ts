import type { NoteId, Phrase } from '../../../core/phrase/types';
import type { Accompany } from '../../../core/practice/course';
import type { Practice, Step } from '../../../core/practice/types';
import { PLAIN, type Stretch } from '../../../core/practice/types';
import type { Problem } from '../../../core/result';
import type { PlayerState, PlayRequest } from '../../../sound/player/player';
import type { SoundingNotes } from '../../score/sounding';
import { onDemand } from '../../shared/on-demand';
import { keptChoice } from '../../shared/use-kept';
import { type Listening, STOPS_HIDDEN } from './listening';

/** What is played of a phrase, and how. */
export type PlayWay =
  /** As it is written, from the beginning or a written tick on. */
  | { readonly kind: 'listen'; readonly stretch: Stretch | null; readonly from?: number }
  | { readonly kind: 'practise'; readonly stretch: Stretch | null };

const waiting = new Set<() => void>();

/** One player for the whole window: what is begun ends what was heard before. */
export const playing = onDemand('What plays', async () => {
  const [{ createPlayer }, { courseOf }, { playedTick, unfold }, { hushOnEscape }] =
    await Promise.all([
      import('../../../sound/player/player'),
      import('../../../core/practice/course'),
      import('../../../core/sound/unfold'),
      import('./hush-on-escape'),
    ]);
  const player = createPlayer();
  player.subscribe(() => {
    for (const changed of waiting) changed();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.hidden && keptChoice(STOPS_HIDDEN, false)) player.stop();
  });
  prepareOnPress(() => player.prepare());
  hushOnEscape(
    () => player.state() !== 'silent',
    () => player.stop(),
  );
  // An instrument that is connected would go on sounding without the page.
  window.addEventListener('pagehide', () => player.stop());
  return {
    ...player,
    courseOf,
    firstPlayed: (p: Phrase, tick: number) => playedTick(unfold(p), tick),
  };
});

/** What begins to sound when it is pressed. */
const SOUNDS =
  '.listen-button, .card-hear, .practice-head button, .write-sound button, .hear-phrase';

/**
 * Browsers let a page sound after a press only. The first one anywhere makes everything ready; later ones wake a
 * sound card that rests, a little before the press is over.
 */
function prepareOnPress(prepare: () => void): void {
  let first = true;
  const press = (e: Event) => {
    // The finger that touches counts for the browser when it leaves.
    if (navigator.userActivation?.isActive === false) return;
    const at = e.target instanceof Element ? e.target : null;
    if (!first && at?.closest(SOUNDS) == null) return;
    first = false;
    prepare();
  };
  for (const type of ['pointerdown', 'pointerup', 'keydown']) {
    window.addEventListener(type, press, { capture: true, passive: true });
  }
  if (navigator.userActivation?.hasBeenActive === true) {
    first = false;
    prepare();
  }
}

/** Fetched by itself: many listen to the phrase alone. */
const bands = onDemand('The band', () => import('../../../core/backing/accompany'));

/** Hears of the player, also before it has come. @returns ends the subscription. */
export const subscribeToPlayer = (changed: () => void) => {
  waiting.add(changed);
  return () => {
    waiting.delete(changed);
  };
};

/** Silent until the player has come. */
export const playerState = (): PlayerState => playing.known()?.state() ?? 'silent';

/** Whether a phrase is what is played, or is about to be. */
export const isPlayed = (id: string): boolean => playedNow === id && playerState() !== 'silent';
let playedNow: string | null = null;

/** What begins to sound is a phrase, by its id, or no phrase as it is written. */
export const setPlayed = (id: string | null): void => {
  playedNow = id;
};

/** The part of the course that is heard; null in silence. */
export const stepNow = (): Step | null => playing.known()?.step() ?? null;

const NOTHING: ReadonlySet<NoteId> = new Set();

/** What is heard, for whoever marks it. */
export const HEARD: SoundingNotes = {
  subscribe: subscribeToPlayer,
  now: () => playing.known()?.sounding() ?? NOTHING,
};

/** The practice that a way of playing is. */
function practiceOf(way: PlayWay, { speed, loop, practice }: Listening): Practice {
  return way.kind === 'practise'
    ? { ...practice, stretch: way.stretch, speed, endless: true }
    : { ...PLAIN, stretch: way.stretch, speed, endless: loop };
}

/** Something is wrong with what was chosen; the problems say what. */
export class WrongCourse extends Error {
  override readonly name = 'WrongCourse';

  constructor(readonly problems: readonly Problem[]) {
    super(problems[0]?.message ?? 'it cannot be played');
  }
}

async function bandOf(
  { band: chosen }: Listening,
  beneath: Phrase | null,
): Promise<Accompany | null> {
  if (chosen === null && beneath === null) return null;
  const { accompany, alongside } = await bands.get();
  if (chosen === null) return (p, time) => alongside(beneath!, p, time);
  const band = beneath === null ? chosen : { ...chosen, rhythm: beneath };
  const options = bandOptions(band);
  return (p, time) => accompany(p, options, { ...time, full: true });
}

function bandOptions({ feel, seed, rhythm }: NonNullable<Listening['band']>) {
  return { feel, seed, ...(rhythm === null ? {} : { rhythm }) };
}

/** Over which chords of a phrase the band's rhythm cannot be played. */
export async function bandRests(p: Phrase, band: Listening['band']) {
  if (band === null || band.rhythm === null) return null;
  const { whereItRests } = await bands.get();
  return whereItRests(p, { ...bandOptions(band), rhythm: band.rhythm });
}

/**
 * Plays a phrase.
 * @param at Where in the course; the beginning where absent.
 * @param beneath What is written out under it, over the same bars: a band plays it in place of its own comping, and where
 *   none is chosen it is heard alone.
 * @throws WrongCourse, NotThere, or when the browser gives no sound.
 */
export async function playPhrase(
  phrase: Phrase,
  way: PlayWay,
  how: Listening,
  at?: NonNullable<PlayRequest['at']>,
  beneath: Phrase | null = null,
): Promise<void> {
  const ready = await playing.get();
  const course = ready.courseOf(phrase, practiceOf(way, how), await bandOf(how, beneath));
  if (!course.ok) throw new WrongCourse(course.problems);
  const from =
    way.kind === 'listen' && way.from !== undefined
      ? { round: 0, ticks: ready.firstPlayed(phrase, way.from) }
      : undefined;
  const begin = at ?? from;
  ready.level(how.mix);
  setPlayed(phrase.id);
  await ready.play({
    course: course.value,
    title: phrase.meta.title.trim() === '' ? 'Untitled' : phrase.meta.title,
    ...(begin === undefined ? {} : { at: begin }),
    ...(how.tone === 'own' ? {} : { tone: how.tone }),
  });
}

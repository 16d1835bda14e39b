import type { NoteId } from '../../core/phrase/types';
import type { Course } from '../../core/practice/course';
import type { Step } from '../../core/practice/types';
import { type Mix, type Parts, type StringPart, USUAL_MIX } from '../../core/sound/parts';
import { type ToneName, toneOf } from '../../core/sound/tone';
import type { Seconds } from '../../core/sound/types';
import { createMediaKeys } from './media-keys';
import { Output } from './output';
import { nextRound, notesHeard, type Placed, Sent } from './sent';
import type { Sink } from './sink';

/** What is to be heard. */
export interface PlayRequest {
  readonly course: Course;
  /** What it is called on a lock screen. */
  readonly title: string;
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
  /** Where it begins; the beginning of the course where absent. */
  readonly at?: {
    /** Rounds of the course before it. */
    readonly round: number;
    /** Percent of the tempo; that of the course where absent. */
    readonly speed?: number;
    /** Played ticks of the take. */
    readonly ticks: number;
  };
}

export type PlayerState = 'silent' | 'starting' | 'playing';

/** Plays one thing at a time. */
export interface Player {
  readonly subscribe: (changed: () => void) => () => void;
  readonly state: () => PlayerState;
  /** @throws when the browser gives no sound, with words for a person. */
  readonly play: (request: PlayRequest) => Promise<void>;
  readonly stop: () => void;
  /** Played ticks of the take, as they are heard now; null in silence and while it is counted in. */
  readonly ticks: () => number | null;
  /** The part of the course that is heard now; the same object until the next one begins. */
  readonly step: () => Step | null;
  /** Notes that are heard now; the same object until they change. */
  readonly sounding: () => ReadonlySet<NoteId>;
  /** Says that the round that is heard was good; counts for the next one that has not been sent. */
  readonly good: () => void;
  /** Goes on with the next round at once; nothing where there is none. */
  readonly skip: () => void;
  /** Sounds by themselves, at once, while nothing else is played. @throws like `play`. */
  readonly strike: (part: StringPart, as: 'phrase' | 'comping') => Promise<void>;
  /** Makes this device ready to sound, on a press of the person. */
  readonly prepare: () => void;
  /** The levels of the parts, from now on. */
  readonly level: (mix: Mix) => void;
  /** What it is heard through from now on; this device where it is null. What is played ends. */
  readonly through: (sink: Sink | null) => void;
}

/** What comes next is sent so long before it begins, so that a busy or a hidden page makes no gap. */
const AHEAD: Seconds = 2.5;
/** A hidden page draws nothing and still sends what comes next. Milliseconds. */
const FEED = 250;
const NOTHING: ReadonlySet<NoteId> = new Set();

interface Running {
  readonly request: PlayRequest;
  readonly sent: Sent;
}

// Whole at 160: one machine of three states; what it can do shares what it knows and has no other subject.
export function createPlayer(): Player {
  const listeners = new Set<() => void>();
  const device = new Output();
  let output: Sink = device;
  let state: PlayerState = 'silent';
  let running: Running | null = null;
  let last: PlayRequest | null = null;
  let heard: ReadonlySet<NoteId> = NOTHING;
  let step: Step | null = null;
  let frame = 0;
  let timer: ReturnType<typeof setInterval> | undefined;
  /** A play that is still starting is overtaken by a later one. */
  let turn = 0;
  let mix = USUAL_MIX;

  const keys = createMediaKeys((wish) => {
    if (wish === 'stop') stop();
    else if (wish === 'next') skip();
    // A key that cannot play has nobody to tell why.
    else if (state === 'silent' && last !== null) void play(last).catch(() => {});
  });

  const tell = () => {
    for (const changed of listeners) changed();
  };

  const send = (request: PlayRequest, { step: s, start }: Placed, from: Seconds) =>
    output.play(partsOf(s, request.tone, from), start);

  /** Sends what begins soon. */
  const feed = () => {
    if (running === null) return;
    const { request, sent } = running;
    for (const placed of sent.next(output.now() + AHEAD)) send(request, placed, 0);
  };

  /** What is heard now, and whether it is over. */
  const look = () => {
    if (running === null) return;
    feed();
    const { sent } = running;
    const now = sent.at(output.heardNow());
    if (sent.isEnd(now)) {
      silence();
      return;
    }
    sent.forgetBefore(now.at);
    const ids = notesHeard(now);
    const same = ids.every((id) => heard.has(id)) && new Set(ids).size === heard.size;
    const moved = now.at.step !== step;
    step = now.at.step;
    if (!same) heard = ids.length === 0 ? NOTHING : new Set(ids);
    if (moved || !same) tell();
  };

  const draw = () => {
    look();
    if (running !== null) frame = requestAnimationFrame(draw);
  };

  const silence = () => {
    turn++;
    cancelAnimationFrame(frame);
    clearInterval(timer);
    running = null;
    step = null;
    heard = NOTHING;
    state = 'silent';
    keys.silent();
    output.rest();
    tell();
  };

  const stop = () => {
    output.stop();
    silence();
  };

  const wake = async () => {
    const mine = ++turn;
    await output.wake();
    // Somebody pressed stop, or play again, in the meantime.
    return mine === turn;
  };

  const play = async (request: PlayRequest) => {
    stop();
    last = request;
    state = 'starting';
    tell();
    try {
      if (!(await wake())) return;
    } catch (reason) {
      silence();
      throw reason;
    }
    const { course, at } = request;
    const first = at === undefined ? course.first : course.at(at.round, at.speed);
    const from = at === undefined ? 0 : Math.max(0, at.ticks - first.from) * first.secondsPerTick;
    const placed = { step: first, start: output.soonest() - from };
    running = { request, sent: new Sent(course, placed) };
    output.level(mix);
    send(request, placed, from);
    state = 'playing';
    keys.playing(request.title);
    timer = setInterval(look, FEED);
    tell();
    draw();
  };

  const skip = () => {
    const next = running === null || step === null ? null : nextRound(running.request.course, step);
    if (running === null || next === null) return;
    const { request } = running;
    const { round, speed, from } = next;
    // Whoever cannot hear it goes on with it sees why at the next press of a button.
    void play({ ...request, at: { round, speed, ticks: from } }).catch(() => {});
    last = request;
  };

  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    state: () => state,
    play,
    stop,
    ticks() {
      if (running === null) return null;
      const { at, time } = running.sent.at(output.heardNow());
      if (at.step.kind === 'count-in') return null;
      return at.step.from + Math.max(0, time) / at.step.secondsPerTick;
    },
    step: () => step,
    sounding: () => heard,
    good() {
      if (running !== null) running.sent.good = true;
    },
    skip,
    async strike(part, as) {
      if (state !== 'silent') return;
      if (!output.isAwake()) await output.wake();
      if (state !== 'silent') return;
      output.level(mix);
      output.strike(part, as);
    },
    level(wished) {
      mix = wished;
      output.level(mix);
    },
    prepare() {
      if (state === 'silent' && output === device) device.prepare();
    },
    through(sink) {
      stop();
      output = sink ?? device;
    },
  };
}

/** What is sent of a step that begins so many seconds in. */
function partsOf(s: Step, wished: ToneName | undefined, from: Seconds): Parts {
  const begun = <T extends { readonly onset: Seconds }>(list: readonly T[]) =>
    from === 0 ? list : list.filter((x) => x.onset >= from - 0.001);
  const strings = (own: StringPart | null) =>
    own === null ? null : { ...own, sounds: begun(own.sounds) };
  const { phrase } = s.take;
  const tone = wished ?? toneOf(phrase);
  const { backing } = s;
  return {
    phrase: s.heard ? { instrument: phrase.instrument, tone, sounds: begun(s.sounds) } : null,
    click: begun(s.clicks),
    backing:
      backing === null
        ? null
        : {
            bass: strings(backing.bass),
            comping: strings(backing.comping),
            drums: begun(backing.drums),
          },
    length: s.length,
  };
}

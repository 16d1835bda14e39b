import type { NoteId, Phrase } from '../../core/phrase/types';
import { perform } from '../../core/sound/perform';
import { type ToneName, toneOf } from '../../core/sound/tone';
import type { Performance, Seconds } from '../../core/sound/types';
import { AHEAD as LIMITER_AHEAD } from '../dsp/limiter';
import { type ToStrings, WORKLET } from '../worklet/messages';
import url from '../worklet/processor?worker&url';

/** What is to be heard. */
export interface PlayRequest {
  readonly phrase: Phrase;
  /** 1 as written; the pitch stays. */
  readonly speed: number;
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
  /** Over and over, without a gap. */
  readonly loop: boolean;
  /** Played ticks from which it begins; the beginning where absent. */
  readonly from?: number;
}

export type PlayerState = 'silent' | 'starting' | 'playing';

/** Plays one phrase at a time. */
export interface Player {
  readonly subscribe: (changed: () => void) => () => void;
  readonly state: () => PlayerState;
  /** @throws when the browser gives no sound, with words for a person. */
  readonly play: (request: PlayRequest) => Promise<void>;
  readonly stop: () => void;
  /** Played ticks since the beginning of the phrase, as they are heard now; null in silence. */
  readonly ticks: () => number | null;
  /** Notes that are heard now; the same object until they change. */
  readonly sounding: () => ReadonlySet<NoteId>;
}

/** Everything is sent to the strings so long before it sounds. */
const LEAD: Seconds = 0.06;
/** The next round of a loop is sent so long before it begins, so that a page that is busy makes no gap. */
const AHEAD: Seconds = 2;
const NOTHING: ReadonlySet<NoteId> = new Set();

interface Running {
  readonly performance: Performance;
  readonly loop: boolean;
  /** Time of the context at which the phrase's beginning lies. */
  readonly origin: number;
  /** Seconds into the phrase at which it was begun. */
  readonly from: Seconds;
  /** Rounds that were sent. */
  rounds: number;
}

interface Strings {
  readonly context: AudioContext;
  readonly node: AudioWorkletNode;
}

/** @param ended Called when a phrase has come to its end by itself. */
export function createPlayer(ended: () => void = () => {}): Player {
  const listeners = new Set<() => void>();
  let strings: Promise<Strings> | null = null;
  let open: Strings | null = null;
  let state: PlayerState = 'silent';
  let running: Running | null = null;
  let heard: ReadonlySet<NoteId> = NOTHING;
  let frame = 0;
  /** A play that is still starting is overtaken by a later one. */
  let turn = 0;

  const tell = () => {
    for (const changed of listeners) changed();
  };
  const send = (message: ToStrings) => open?.node.port.postMessage(message);

  /** Seconds into the phrase, loops not taken off, as they leave the loudspeaker now. */
  const elapsed = (r: Running, { context }: Strings): Seconds => {
    const late =
      (context.outputLatency || context.baseLatency || 0) + LIMITER_AHEAD / context.sampleRate;
    return context.currentTime - late - r.origin;
  };

  const within = (r: Running, time: Seconds): Seconds =>
    r.loop && time >= 0 ? time % r.performance.length : time;

  const sendRounds = (r: Running, s: Strings) => {
    const { performance: p } = r;
    const now = s.context.currentTime - r.origin;
    while (r.loop ? r.rounds * p.length < now + AHEAD + p.length : r.rounds === 0) {
      const first = r.rounds === 0;
      const sounds = first ? p.sounds.filter((x) => x.onset >= r.from - 0.001) : p.sounds;
      const origin = Math.round((r.origin + r.rounds * p.length) * s.context.sampleRate);
      send({ kind: 'play', sounds, origin });
      r.rounds++;
    }
  };

  const look = () => {
    if (running === null || open === null) return;
    sendRounds(running, open);
    const time = elapsed(running, open);
    if (!running.loop && time > running.performance.length + 0.05) {
      silence();
      ended();
      return;
    }
    const at = within(running, time);
    const now = running.performance.sounds.filter(
      (s) => s.noteId !== null && s.onset <= at && at < s.onset + s.length,
    );
    const ids = now.map((s) => s.noteId!);
    if (ids.length !== heard.size || ids.some((id) => !heard.has(id))) {
      heard = ids.length === 0 ? NOTHING : new Set(ids);
      tell();
    }
    frame = requestAnimationFrame(look);
  };

  const silence = () => {
    turn++;
    cancelAnimationFrame(frame);
    running = null;
    heard = NOTHING;
    state = 'silent';
    tell();
  };

  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    state: () => state,
    async play(request) {
      send({ kind: 'stop' });
      silence();
      const mine = ++turn;
      state = 'starting';
      tell();
      try {
        strings ??= setUp();
        open = await strings;
        await open.context.resume();
      } catch (reason) {
        strings = null;
        if (mine === turn) silence();
        throw reason;
      }
      // Somebody pressed stop, or play again, in the meantime.
      if (mine !== turn) return;
      const { phrase, speed, loop } = request;
      const performance = perform(phrase, { speed });
      const from = (request.from ?? 0) * performance.secondsPerTick;
      send({ kind: 'set up', instrument: phrase.instrument, tone: request.tone ?? toneOf(phrase) });
      running = {
        performance,
        loop,
        from,
        origin: open.context.currentTime + LEAD - from,
        rounds: 0,
      };
      state = 'playing';
      tell();
      look();
    },
    stop() {
      send({ kind: 'stop' });
      silence();
    },
    ticks() {
      if (running === null || open === null) return null;
      const time = within(running, elapsed(running, open));
      return Math.max(0, time) / running.performance.secondsPerTick;
    },
    sounding: () => heard,
  };
}

async function setUp(): Promise<Strings> {
  if (typeof AudioContext === 'undefined' || typeof AudioWorkletNode === 'undefined') {
    throw new Error('This browser has no way to compute sound.');
  }
  const context = new AudioContext({ latencyHint: 'interactive' });
  await context.audioWorklet.addModule(url);
  const node = new AudioWorkletNode(context, WORKLET, { outputChannelCount: [2] });
  node.connect(context.destination);
  return { context, node };
}

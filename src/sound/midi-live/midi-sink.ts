import { type Mix, USUAL_MIX } from '../../core/sound/parts';
import type { Seconds } from '../../core/sound/types';
import type { Sink } from '../player/sink';
import { type MidiOut, MidiSender } from './port';
import { scheduleMidi, type TimedMessage } from './schedule';

/** Everything is ordered so long before it sounds. */
const LEAD: Seconds = 0.04;

/** Calls back several times in `AHEAD`, in a hidden page too, until the function that it returns is called. */
export type Ticking = (tick: () => void) => () => void;

/**
 * An instrument that is connected. Its clock is that of the page, and it plays all parts, the metronome too,
 * so that nothing has to agree with the sound card.
 * @param clock Milliseconds, of which the timestamps of `out` are.
 */
export function midiSink(out: MidiOut, clock: () => number, ticking: Ticking): Sink {
  const sender = new MidiSender(out);
  let mix: Mix = USUAL_MIX;
  let endTicks: (() => void) | null = null;
  let used = false;
  /** Channels whose program was told: it is not told again while their notes ring. */
  const programs = new Map<number, number>();
  /** Notes that are taken back begin and end until this moment. */
  let clear: Seconds = 0;
  const now = () => clock() / 1000;

  const rest = () => {
    endTicks?.();
    endTicks = null;
  };
  const send = () => {
    if (!sender.send(clock(), mix)) rest();
  };
  const isNews = ({ bytes: [status = 0, program = 0] }: TimedMessage) => {
    if (status >> 4 !== 0xc) return true;
    const news = programs.get(status) !== program;
    programs.set(status, program);
    return news;
  };
  const play: Sink['play'] = (parts, start) => {
    used = true;
    sender.add(scheduleMidi(parts).filter(isNews), 1000 * start);
    endTicks ??= ticking(send);
    send();
  };
  const stop = () => {
    if (!used) return;
    used = false;
    rest();
    programs.clear();
    clear = sender.stop(clock()) / 1000;
  };
  return {
    wake: async () => {},
    isAwake: () => true,
    // What rang to its end leaves no channel bent.
    rest: stop,
    now,
    heardNow: now,
    soonest: () => Math.max(now() + LEAD, clear),
    play,
    strike(part, as) {
      stop();
      const backing = as === 'comping' ? { bass: null, comping: part, drums: [] } : null;
      const phrase = as === 'phrase' ? part : null;
      play({ phrase, backing, click: [], length: 0 }, Math.max(now(), clear));
    },
    stop,
    level(wished) {
      mix = wished;
    },
  };
}

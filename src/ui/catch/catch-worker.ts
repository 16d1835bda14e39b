import { type PlayedTo, startOfRound } from '../../core/heard/clock';
import { longRest, struckWithin } from '../../core/heard/span';
import type { Heard } from '../../core/heard/types';
import { lowestOpen, STANDARD_GUITAR } from '../../core/phrase/instrument';
import type { Problem } from '../../core/result';
import { Listener } from '../../sound/capture/listen';
import { Live } from '../../sound/capture/live';
import { soundRemarks } from '../../sound/capture/sound-remarks';
import { steadyRemarks } from '../../sound/capture/steady';
import { type BandNote, withoutBand } from '../../sound/capture/without-band';
import { Remembered } from './memory';
import type { CatchSaid, FromEar, ToEar } from './messages';
import { clockIn, lastPhraseOf, lastRoundOf, type Part } from './part-to-keep';
import { Rounds } from './rounds';
import { instrumentOf } from './said';
import { writeHeard } from './write-heard';

/** Minutes that are remembered while it listens. */
const MINUTES = 5;

type AskedRound = Extract<ToEar, { readonly kind: 'accompany' }>;

type AskedToKeep = Extract<ToEar, { readonly kind: 'keep' }>;

type AskedSound = Extract<ToEar, { readonly kind: 'render' }>;

/** Milliseconds that a block may wait. */
const BEHIND = 300;

let model: Promise<Uint8Array> | null = null;
let listener: Listener | null = null;
let live: Live | null = null;
let memory: Remembered | null = null;
let rate = 48_000;
/** Pitch of the lowest string, for the notes that are told as they come. */
let lowest = lowestOpen(STANDARD_GUITAR);
let heard: Heard | null = null;
let remarks: readonly string[] = [];
/** What the recording was played to. */
let playedTo: PlayedTo | null = null;
/** What the band plays in what it was played to. */
let bandNotes: readonly BandNote[] = [];
const rounds = new Rounds();
/** What of the sound is meant, where only a part was kept, and when that was. */
let part: (Pick<Part, 'within'> & { readonly of: string }) | null = null;
let names = { title: '', now: '' };

const tell = (message: FromEar, move: Transferable[] = []) =>
  self.postMessage(message, { transfer: move });
const refuse = (...problems: readonly Problem[]) => tell({ kind: 'refused', problems });

async function weights(): Promise<Uint8Array> {
  model ??= fetch(new URL('../../sound/capture/model/weights.bin', import.meta.url)).then(
    async (r) => {
      if (!r.ok) throw new Error(`status ${r.status}`);
      return new Uint8Array(await r.arrayBuffer());
    },
  );
  try {
    return await model;
  } catch (e) {
    model = null;
    throw e;
  }
}

async function theListener(): Promise<Listener> {
  listener ??= new Listener(await weights());
  return listener;
}

async function take(message: ToEar): Promise<void> {
  switch (message.kind) {
    case 'accompany':
      return accompany(message);
    case 'begin': {
      rate = message.rate;
      memory = new Remembered(MINUTES * 60 * rate);
      live = new Live(await weights(), rate);
      live.lowest = lowest;
      return tell({ kind: 'ready', arithmetic: live.arithmetic });
    }
    case 'lowest':
      lowest = message.midi;
      if (live !== null) live.lowest = lowest;
      return;
    case 'block': {
      memory?.add(message.samples);
      // Where it cannot keep up, every block is still remembered; notes are only not shown.
      const behind = Date.now() - message.sent > BEHIND;
      const notes = live?.add(message.samples, behind) ?? [];
      if (notes.length > 0) {
        tell({
          kind: 'live',
          notes: notes.map(({ id, note }) => ({
            id,
            midi: Math.round(note.pitch),
            technique: techniqueOf(note),
          })),
        });
      }
      return;
    }
    case 'keep':
      return keep(message);
    case 'file':
      part = null;
      names = { title: message.title, now: message.now };
      playedTo = null;
      return hear(message.samples, message.rate, message.said);
    case 'anew':
      return hear(message.samples, message.rate, message.said, new Set(message.without));
    case 'heard before': {
      const { notes, recorded } = message;
      heard = { notes, dead: recorded.dead, seconds: recorded.seconds };
      names = { title: recorded.title, now: recorded.now };
      ({ playedTo } = recorded);
      ({ remarks } = message);
      return;
    }
    case 'render':
      return render(message);
    case 'again':
      return write(message.said, new Set(message.without));
  }
}

async function keep({ what, said, title, now, clock }: AskedToKeep): Promise<void> {
  // Before anything is forgotten: where what hears cannot be had, it is still remembered.
  const l = await theListener();
  const remembered = memory;
  const seconds = (remembered?.length ?? 0) / rate;
  const band = clock === null ? [] : rounds.of(clock.ask);
  if (remembered === null || what === 'all') {
    bandNotes = band;
    names = { title, now };
    const samples = remembered?.last(remembered.length) ?? new Float32Array(0);
    remembered?.forget();
    tell({ kind: 'forgotten' });
    part = null;
    playedTo = clock === null ? null : clockIn(seconds, clock);
    return hear(samples, rate, said);
  }
  // Where there is no such part, what was kept before stays what it is: its name, and what the band played to it.
  const bandBefore = bandNotes;
  bandNotes = band;
  const newest = (some: number) => {
    const samples = remembered.last(Math.round(some * rate));
    const to = clock === null ? null : clockIn(samples.length / rate, clock);
    return heardBy(l, samples, rate, said, to);
  };
  const found =
    what === 'round'
      ? lastRoundOf(seconds, clock)
      : lastPhraseOf(seconds, longRest(clock?.bpm ?? said.bpm), clock, newest);
  if (!found.ok) {
    bandNotes = bandBefore;
    return refuse(...found.problems);
  }
  tell({ kind: 'found' });
  names = { title, now };
  const { sound, within } = found.value;
  ({ playedTo } = found.value);
  part = { of: now, within };
  // What comes after it and before it is remembered on.
  const all = remembered.last(Math.round((seconds - sound.from) * rate));
  return hear(all.slice(0, Math.round((sound.to - sound.from) * rate)), rate, said);
}

async function accompany({ ask, wish, rate: at }: AskedRound): Promise<void> {
  const { roundOf } = await import('./accompaniment');
  const made = roundOf(wish, at);
  if (!made.ok) return tell({ kind: 'no round', ask, problems: made.problems });
  const { countIn, samples, notes } = made.value;
  rounds.add(ask, notes);
  tell({ kind: 'round', ask, round: made.value }, [countIn.buffer, samples.buffer]);
}

/** Seconds that may ring on after a phrase. */
const RINGS_ON = 0.6;

async function render({ ask, phrase, tone, rate: at }: AskedSound): Promise<void> {
  try {
    const { renderPhrase } = await import('../../sound/render');
    const own = tone === null ? {} : { tone };
    const samples = renderPhrase(phrase, { rate: at, tail: RINGS_ON, ...own });
    tell({ kind: 'rendered', ask, samples }, [samples.buffer]);
  } catch (e) {
    // Whoever waits for it may ask again.
    tell({ kind: 'rendered', ask, samples: null });
    throw e;
  }
}

function techniqueOf(n: Heard['notes'][number]): string {
  if (n.bend !== undefined) return 'bend';
  return n.attack === 'pluck' ? (n.vibrato === undefined ? '' : 'vibrato') : n.attack;
}

async function hear(
  samples: Float32Array,
  at: number,
  said: CatchSaid,
  without: ReadonlySet<number> = new Set(),
): Promise<void> {
  const l = await theListener();
  remarks = soundRemarks(samples);
  const all = heardBy(l, samples, at, said, playedTo);
  remarks = [...remarks, ...steadyRemarks(all)];
  // Of a part that is heard anew the same is meant.
  const ofPart = part?.of === names.now ? part.within : null;
  const onsets = all.notes.map((n) => n.onset);
  heard = ofPart === null ? all : struckWithin(all, ofPart(onsets, playedTo));
  tell({ kind: 'sound', samples, rate: at }, [samples.buffer]);
  write(said, without);
}

/** What was heard, without what a band played that it was played to. */
function heardBy(
  l: Listener,
  samples: Float32Array,
  at: number,
  said: CatchSaid,
  to: PlayedTo | null,
): Heard {
  const string = lowestOpen(instrumentOf(said));
  const all = l.hear(samples, at, (share) => tell({ kind: 'share', share }), string);
  return to === null ? all : withoutBand(all, samples, at, bandIn(all, to));
}

/** The notes of the band, round after round, as they lie in the recording. */
function bandIn({ notes, seconds }: Heard, to: PlayedTo): readonly BandNote[] {
  const onsets = notes.map((n) => n.onset);
  const start = startOfRound(onsets, to);
  const rounds = bandNotes.length === 0 ? 0 : Math.ceil((seconds - start) / to.round);
  return Array.from({ length: Math.max(0, rounds) }, (_, k) =>
    bandNotes.map(({ at, midi }) => ({ at: start + k * to.round + at, midi })),
  ).flat();
}

function write(said: CatchSaid, without: ReadonlySet<number>): void {
  if (heard === null) return;
  const all = { ...names, newId: () => crypto.randomUUID() };
  const made = writeHeard({ heard, playedTo, names: all, remarks }, said, without);
  if (made.ok) tell({ kind: 'taken', take: made.value });
  else refuse(...remarks.map((message) => ({ message })), ...made.problems);
}

// One after the other: a block that comes while the model is fetched waits for it.
let last: Promise<void> = Promise.resolve();
self.onmessage = (e: MessageEvent<ToEar>) => {
  last = last
    .then(() => take(e.data))
    .catch((reason: unknown) =>
      refuse({
        message: `it could not be heard (${reason instanceof Error ? reason.message : String(reason)})`,
        fix: 'Connect to the network once, load the page again and try again.',
      }),
    );
};

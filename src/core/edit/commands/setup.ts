import type { Phrase } from '../../phrase/types';
import { formatProblem } from '../../result';
import type { Key } from '../../theory/key';
import { keySign } from '../../theory/key-sign';
import type { Command } from '../command';
import { defineCommand } from '../command';
import { layWithBars, withBars } from '../lane-bars';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import { laneOfForm } from '../setup/forms';
import { modeOf, readSetup, type Setup } from '../setup/read-line';
import { cursorAt, type EditState } from '../state';
import { setMeter } from './bars';
import { capoKeepingFrets } from './instrument';
import { setFeel } from './key';
import { tuneKeepingFrets, tuningNow } from './tunings';

/** Longest title in characters, as in the stored form. */
const LONGEST_TITLE = 500;

/** Key, metre, feel, tempo, form and title in one line. */
export const setUp = defineCommand<string>({
  id: 'setup.line',
  group: 'Bars and beats',
  title: 'Set it up in one line',
  words: 'begin key metre meter feel tempo form title header bars chords tuning capo',
  ask: {
    kind: 'text',
    label: 'key, metre, feel, tempo, form, title',
    example: 'A 12b 12/8 92 Mill Race',
  },
  keys: [{ key: 'S', value: '' }],
  apply: (s, line) => {
    const setup = readSetup(line);
    if (!setup.ok) return cannot(formatProblem(setup.problems[0]!).replace(/\.$/u, ''));
    return applySetup(s, setup.value);
  },
});

/** A phrase as a line says it is to be; all of it or nothing. */
export function applySetup(s: EditState, setup: Setup): Outcome {
  let at: EditState = { ...s, selection: cursorAt(0, { ...s.selection.cursor, onset: 0 }) };
  for (const step of STEPS) {
    const next = step(at, setup);
    if (typeof next === 'string') return cannot(next);
    at = next;
  }
  if (sameData(at.phrase, s.phrase)) return cannot('it is set up so already');
  return done(at, 'set up');
}

type Step = (s: EditState, setup: Setup) => EditState | string;

const STEPS: readonly Step[] = [
  instrumentStep,
  keyStep,
  meterStep,
  feelStep,
  tempoStep,
  barsStep,
  formStep,
  titleStep,
];

/** With notes there it must be asked what stays, the frets or the pitches: only before them. */
function instrumentStep(s: EditState, { tuning, capo }: Setup): EditState | string {
  const tuned = tuning === undefined || tuningNow(s) === tuning;
  const capoed = capo === undefined || s.phrase.instrument.capo === capo;
  if (tuned && capoed) return s;
  if (s.phrase.voices.some((v) => v.events.length > 0)) {
    return `there are notes already: ${tuned ? 'put the capo on' : 'tune it'} by itself, where it is said what stays`;
  }
  const next = tuned ? s : told(s, tuneKeepingFrets, tuning);
  return capoed || typeof next === 'string' ? next : told(next, capoKeepingFrets, capo);
}

function keyStep(s: EditState, setup: Setup): EditState | string {
  const now = s.phrase.key;
  const tonic = setup.key?.tonic ?? now.tonic;
  const key: Key = { tonic, mode: modeOf(setup, now.mode) };
  if (sameData(key, now)) return s;
  if (s.phrase.voices.some((v) => v.events.length > 0)) {
    return `there are notes already, in ${keySign(now)}: move them to another key, or say what the key is called, by itself`;
  }
  return { ...s, phrase: { ...s.phrase, key } };
}

function meterStep(s: EditState, { meter }: Setup): EditState | string {
  return meter === undefined ? s : told(s, setMeter, meter);
}

function feelStep(s: EditState, { feel }: Setup): EditState | string {
  return feel === undefined ? s : told(s, setFeel, feel);
}

function tempoStep(s: EditState, { tempo }: Setup): EditState {
  if (tempo === undefined) return s;
  return { ...s, phrase: { ...s.phrase, tempo: { ...s.phrase.tempo, ...tempo } } };
}

function barsStep(s: EditState, { bars }: Setup): EditState | string {
  if (bars === undefined) return s;
  const { phrase } = s;
  if (bars < phrase.bars.length) {
    return `it has ${phrase.bars.length} bars already: take out those that are too many`;
  }
  return { ...s, phrase: withBars(phrase, bars - phrase.bars.length) };
}

function formStep(s: EditState, { form, bars }: Setup): EditState | string {
  if (form === undefined) return s;
  const lane = form.kind === 'named' ? laneOfForm(form.name, s.phrase.key) : form.lane;
  const laid = layWithBars(s.phrase, lane);
  if (!laid.ok) return formatProblem(laid.problems[0]!).replace(/\.$/u, '');
  const { phrase } = laid.value;
  if (bars !== undefined && phrase.bars.length > bars) {
    return `the chords take ${phrase.bars.length} bars, and ${bars} are asked for: say one of the two`;
  }
  return { ...s, phrase };
}

function titleStep(s: EditState, { title }: Setup): EditState | string {
  if (title === undefined) return s;
  if (title.length > LONGEST_TITLE) return `a title is ${LONGEST_TITLE} letters at most`;
  const phrase: Phrase = { ...s.phrase, meta: { ...s.phrase.meta, title } };
  return { ...s, phrase };
}

/** The state after a command, which may be so already; or why it cannot be. */
function told(s: EditState, command: Command, value: unknown): EditState | string {
  if (command.now?.(s) === value) return s;
  const outcome = command.apply(s, value);
  return outcome.kind === 'done' ? outcome.state : outcome.because;
}

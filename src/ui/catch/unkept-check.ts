import type { HeardNote } from '../../core/heard/types';
import { isHistory } from '../../storage/history-record';
import type { Corrected } from './corrections';
import {
  type KeptData,
  type PhraseData,
  type TakeData,
  UNKEPT_VERSION,
  type WorkData,
} from './unkept-form';

/* Whether what was read from the disk is what the page wrote there; phrases in it are checked like any others. */

type Fields = { readonly [key: string]: unknown };

export function isTakeData(x: unknown): x is TakeData {
  return (
    isObject(x) &&
    x.version === UNKEPT_VERSION &&
    isSaid(x.said) &&
    isNumber(x.bpm) &&
    isMeter(x.meter) &&
    isListOf(x.readings, (r) => isObject(r) && isNumber(r.bpm) && isFlag(r.threes)) &&
    [x.bpmFound, x.toClock, x.fits, x.keyFound].every(isFlag) &&
    (x.bpmBefore === null || isNumber(x.bpmBefore)) &&
    isText(x.key) &&
    isText(x.feel) &&
    isListOf(x.phrases, isPhrase) &&
    isListOf(x.notes, isNote) &&
    isListOf(x.without, isNumber) &&
    isListOf(x.bars, isNumber) &&
    isListOf(x.remarks, isText) &&
    isRecorded(x.recorded)
  );
}

export function isWorkData(x: unknown): x is WorkData {
  return (
    isObject(x) &&
    x.version === UNKEPT_VERSION &&
    isText(x.text) &&
    isHistory(x.history) &&
    isListOf(x.made, (step) => isListOf(step, isMade)) &&
    (x.kept === null || isKept(x.kept))
  );
}

function isKept(x: unknown): x is Fields & KeptData {
  return (
    isObject(x) &&
    isText(x.text) &&
    isHistory(x.history) &&
    isNumber(x.revision) &&
    (x.caught === null || isText(x.caught))
  );
}

function isMade(x: unknown): x is Fields & Corrected['made'][number][number] {
  return (
    isObject(x) &&
    isText(x.command) &&
    isListOf(x.sounds, isText) &&
    isText(x.typed) &&
    'value' in x
  );
}

function isSaid(x: unknown): boolean {
  return (
    isObject(x) &&
    isText(x.lane) &&
    isText(x.key) &&
    isMissingOr(x.bpm, isNumber) &&
    isMissingOr(x.meter, isMeter) &&
    isMissingOr(x.instrument, isText) &&
    isMissingOr(x.otherwise, (o) => isListOf(o, isNumber))
  );
}

function isRecorded(x: unknown): boolean {
  return (
    isObject(x) &&
    isText(x.title) &&
    isText(x.now) &&
    isNumber(x.seconds) &&
    isListOf(x.dead, (d) => isObject(d) && isNumber(d.onset) && isNumber(d.confidence)) &&
    (x.playedTo === null || isPlayedTo(x.playedTo))
  );
}

function isPlayedTo(x: unknown): boolean {
  return isObject(x) && [x.bpm, x.round, x.begin].every(isNumber) && isFlag(x.measured);
}

function isPhrase(x: unknown): x is Fields & PhraseData {
  return (
    isObject(x) &&
    isText(x.text) &&
    isListOf(x.heard, (h) => Array.isArray(h) && isText(h[0]) && isNote(h[1])) &&
    [x.from, x.to, x.begin].every(isNumber) &&
    isListOf(x.chords, (c) => isObject(c) && isText(c.symbol) && isNumber(c.share)) &&
    // Takes that were set aside before rhythms were said to be unsure have none.
    isMissingOr(x.doubts, (d) => isListOf(d, isDoubt)) &&
    isListOf(
      x.notes,
      (n) => isObject(n) && isText(n.message) && isText(n.kind) && isNumber(n.count),
    )
  );
}

function isDoubt(x: unknown): boolean {
  return (
    isObject(x) &&
    isText(x.note) &&
    (x.of === 'place' || x.of === 'length') &&
    [x.other, x.key].every(isNumber) &&
    isFlag(x.taken)
  );
}

const ATTACKS: readonly unknown[] = ['pluck', 'hammer-on', 'pull-off', 'slide'];

function isNote(x: unknown): x is Fields & HeardNote {
  return (
    isObject(x) &&
    [x.onset, x.end, x.pitch, x.start, x.confidence].every(isNumber) &&
    ATTACKS.includes(x.attack) &&
    isFlag(x.muted) &&
    isListOf(x.curve, (c) => isObject(c) && isNumber(c.at) && isNumber(c.midi)) &&
    isMissingOr(x.bend, (b) => isObject(b) && isNumber(b.semitones) && isText(b.shape)) &&
    isMissingOr(x.vibrato, isNumber) &&
    isMissingOr(x.slideIn, (s) => s === null || isNumber(s)) &&
    isMissingOr(x.slideOut, (s) => s === 'up' || s === 'down') &&
    isMissingOr(x.strings, (s) => isListOf(s, isNumber)) &&
    // Takes of before have none.
    isMissingOr(x.others, isOthers)
  );
}

function isOthers(x: unknown): boolean {
  return (
    isObject(x) &&
    isListOf(
      x.pitches,
      (p) => isObject(p) && [p.by, p.begins, p.sounds].every(isNumber) && Number.isInteger(p.by),
    ) &&
    isListOf(x.attacks, isNumber) &&
    isNumber(x.bends)
  );
}

function isMeter(x: unknown): boolean {
  return isObject(x) && [x.beats, x.beatType].every((n) => isNumber(n) && n > 0);
}

const isMissingOr = (x: unknown, is: (x: unknown) => boolean) => x === undefined || is(x);
const isText = (x: unknown): x is string => typeof x === 'string';
const isFlag = (x: unknown): x is boolean => typeof x === 'boolean';
const isNumber = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x);
const isListOf = (x: unknown, is: (entry: unknown) => boolean): boolean =>
  Array.isArray(x) && x.every(is);
const isObject = (x: unknown): x is Fields => typeof x === 'object' && x !== null;

import type { Command } from '../command';
import { alterNext, namedDegree, nextReading, setReading, together, typeDegree } from './degrees';
import { again, putTime, rest, takeBack, takeOut, takeTime } from './erase';
import { moveHand, typeFinger } from './fingers';
import { otherOctave, otherString, putAtPlace } from './other-place';
import { writePitch, writePlace } from './point';
import { writeStruck } from './struck';
import {
  dot,
  halve,
  holdOn,
  setFlow,
  setRatio,
  setTuplet,
  setValue,
  toggleTriplets,
} from './values';

/** Writing notes and their lengths. */
export const WRITING: readonly Command[] = [
  nextReading,
  setReading,
  typeDegree,
  alterNext,
  namedDegree,
  typeFinger,
  moveHand,
  writePlace,
  writePitch,
  writeStruck,
  together,
  rest,
  again,
  takeOut,
  takeBack,
  putTime,
  takeTime,
  setValue,
  dot,
  halve,
  toggleTriplets,
  setTuplet,
  setRatio,
  holdOn,
  setFlow,
  otherOctave,
  otherString,
  putAtPlace,
];

import type { Command } from '../command';
import { endHere, setMeter, setPickup } from './bars';
import { swapVoices, toOtherVoice } from './between-voices';
import { setEnding } from './endings';
import { chordAt, chordHere } from './harmony';
import { inTime, stretch } from './in-time';
import { capoKeepingFrets, capoKeepingPitches, capoKeepingShapes, setFrets } from './instrument';
import { moveToKey, renameKey, setFeel, setTempo, setTempoUnit } from './key';
import { playOn, setClef, setName, setScale } from './kinds';
import { laneWithBars, layForm, wholeLane } from './lane';
import { setDynamic, setWords } from './marks';
import { byDegree, byOctave, bySemitone, phraseOctave } from './moving';
import { paste, pasteOverChord, repeatChosen } from './putting';
import { setRepeat } from './repeats';
import { setUp } from './setup';
import { chooseAll, chooseNothing, cut, otherVoice } from './taking';
import {
  tuneKeepingFrets,
  tuneKeepingPitches,
  tuneKeepingShapes,
  tuneTo,
  tuneToFrets,
  tuneToShapes,
} from './tunings';
import { deleteBars, insertBar } from './whole-bars';

/** Choosing, taking, moving, and the frame of bars, chords and instrument. */
export const STRUCTURE: readonly Command[] = [
  otherVoice,
  chooseAll,
  chooseNothing,
  cut,
  paste,
  pasteOverChord,
  repeatChosen,
  bySemitone,
  byOctave,
  byDegree,
  phraseOctave,
  inTime,
  stretch,
  insertBar,
  setUp,
  deleteBars,
  endHere,
  setPickup,
  setMeter,
  setRepeat,
  setEnding,
  toOtherVoice,
  swapVoices,
  setDynamic,
  setWords,
  chordHere,
  chordAt,
  wholeLane,
  laneWithBars,
  layForm,
  renameKey,
  moveToKey,
  setTempo,
  setTempoUnit,
  setFeel,
  tuneKeepingPitches,
  tuneKeepingFrets,
  tuneKeepingShapes,
  tuneTo,
  tuneToFrets,
  tuneToShapes,
  capoKeepingShapes,
  capoKeepingPitches,
  capoKeepingFrets,
  setFrets,
  playOn,
  setScale,
  setClef,
  setName,
];

import type { Command } from '../command';
import { drawBend } from './bend-curve';
import { bendNext, bendPace, bendShape, bendWidth, curl } from './bends';
import { bendOblique, bendToUnison } from './double-stop-bends';
import { addGrace, setGrace } from './graces';
import { nextScrape, setHarmonic, toggleDead } from './harmonics';
import {
  adjust,
  legato,
  nextVibrato,
  setAttack,
  setBarDip,
  setTrill,
  toggleMark,
} from './left-hand';
import { flipAnticipation, respell, setAnchor, setRole } from './meaning';
import { nameFingers } from './propose-fingers';
import {
  alternate,
  setFinger,
  setPluck,
  setRake,
  setStroke,
  setTremolo,
  togglePin,
  toggleStrike,
} from './right-hand';
import { nextSlideIn, nextSlideOut, setSlideIn } from './slides';

/** How notes are played, and what they mean. */
export const TECHNIQUES: readonly Command[] = [
  legato,
  setAttack,
  nextSlideIn,
  setSlideIn,
  nextSlideOut,
  nextVibrato,
  setTrill,
  setGrace,
  addGrace,
  toggleDead,
  toggleMark,
  setHarmonic,
  setBarDip,
  setFinger,
  nameFingers,
  togglePin,
  bendNext,
  bendWidth,
  bendShape,
  curl,
  adjust,
  bendPace,
  bendToUnison,
  bendOblique,
  drawBend,
  setStroke,
  alternate,
  nextScrape,
  toggleStrike,
  setTremolo,
  setRake,
  setPluck,
  setRole,
  setAnchor,
  flipAnticipation,
  respell,
];

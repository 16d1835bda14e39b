import type { Command } from '../../core/edit/command';
import { chosenEvents, chosenNotes } from '../../core/edit/select';
import type { EditState } from '../../core/edit/state';
import { commandOf } from '../../core/edit/table';

/** A command as it is offered for what is chosen. */
export interface Offer {
  readonly command: Command;
  readonly value: unknown;
  /** A word or two; the whole title is told beside it. */
  readonly short: string;
}

type Row = readonly (readonly [id: string, short: string, value?: unknown])[];

const EMPTY: Row = [
  ['write.rest', 'Rest'],
  ['length.hold', 'Hold on'],
  ['length.triplets', 'Triplets'],
  ['write.again', 'Once more'],
  ['write.take-back', 'Take back'],
  ['take.repeat', 'Repeat this bar'],
  ['bar.insert', 'Bar', 'before'],
];

const NOTE: Row = [
  ['hand.legato', 'Hammer or pull'],
  ['hand.attack', 'Slide to it', 'slide'],
  ['hand.slide-in-next', 'Slide into it'],
  ['bend.next', 'Bend'],
  ['bend.unison', 'Unison bend'],
  ['hand.vibrato-next', 'Vibrato'],
  ['length.dot', 'Dot'],
  ['write.together', 'One with it'],
  ['note.other-string', 'Other string'],
  ['write.take-out', 'Take out'],
];

const BENT: Row = [
  ['bend.next', 'Next shape'],
  ['hand.adjust', 'Wider', 'wider'],
  ['hand.adjust', 'Narrower', 'narrower'],
  ['bend.unison', 'Unison bend'],
  ['hand.vibrato-next', 'Vibrato'],
  ['length.dot', 'Dot'],
  ['write.take-out', 'Take out'],
];

/** Of a note that is struck with others: what is done next may be meant for all of them. */
const TOGETHER: Row = [
  ...NOTE.filter(([id]) => id !== 'write.together' && id !== 'write.take-out'),
  ['choose.all', 'All struck here', 'moment'],
  ['write.take-out', 'Take out'],
];

const BENT_TOGETHER: Row = [
  ...BENT.filter(([id]) => id !== 'write.take-out'),
  ['choose.all', 'All struck here', 'moment'],
  ['write.take-out', 'Take out'],
];

/** All that is struck at one moment. */
const MOMENT: Row = [
  ['hand.attack', 'Slide to it', 'slide'],
  ['hand.slide-in-next', 'Slide into it'],
  ['bend.next', 'Bend'],
  ['hand.vibrato-next', 'Vibrato'],
  ['hand.mark', 'Let ring', 'letRing'],
  ['pick.mark', 'Palm mute', 'palmMute'],
  ['take.repeat', 'Repeat'],
  ['write.take-out', 'Take out'],
  ['choose.nothing', 'Let go'],
];

const BLOCK: Row = [
  ['take.repeat', 'Repeat'],
  ['hand.mark', 'Let ring', 'letRing'],
  ['pick.mark', 'Palm mute', 'palmMute'],
  ['move.semitone', 'Higher', 1],
  ['move.semitone', 'Lower', -1],
  ['move.time', 'Earlier', 'earlier'],
  ['move.time', 'Later', 'later'],
  ['write.take-out', 'Take out'],
  ['choose.nothing', 'Let go'],
];

/** What is offered beneath the score: a few commands for what is chosen; the rest is in the list. */
export function offersFor(s: EditState): readonly Offer[] {
  return rowFor(s).map(([id, short, value]) => {
    const command = commandOf(id);
    if (command === null) throw new RangeError(`no command ${id}`);
    return { command, value, short };
  });
}

function rowFor(s: EditState): Row {
  if (s.selection.corner !== null) return chosenEvents(s).length === 1 ? MOMENT : BLOCK;
  const chosen = chosenNotes(s);
  if (chosen.length === 0) return EMPTY;
  const bent = chosen.some(({ note }) => note.kind === 'pitched' && note.bend !== undefined);
  const [only] = chosenEvents(s);
  const oneOfMore = chosen.length === 1 && only!.event.notes.length > 1;
  if (bent) return oneOfMore ? BENT_TOGETHER : BENT;
  return oneOfMore ? TOGETHER : NOTE;
}

/** Every row there is, for tests. */
export const OFFERED: readonly Row[] = [EMPTY, NOTE, TOGETHER, BENT, BENT_TOGETHER, MOMENT, BLOCK];

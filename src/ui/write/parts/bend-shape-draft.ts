import { useState } from 'react';
import { drawBend } from '../../../core/edit/commands/bend-curve';
import { runCommand } from '../../../core/edit/run';
import type { Bend, BendPoint } from '../../../core/phrase/types';
import { bendSemitones } from '../../../core/phrase/walk';
import type { Writer } from '../../frame/writing/writer';
import type { BentNote } from './bend-shape-notes';

/** A bend as it is shown: the phrase's, or as somebody is drawing it. */
export interface Drawn {
  readonly curve: readonly BendPoint[];
  readonly semitones: number;
}

/** Drawing one bend. */
export interface BendDraft {
  readonly shown: Drawn;
  /** Why something was not done; empty where it was. */
  readonly said: string;
  /** Shows a bend without writing it. */
  readonly preview: (next: Drawn) => void;
  /** Forgets what was only shown. */
  readonly drop: () => void;
  /** Writes a bend. Where it cannot be, the phrase's is shown again with the reason. */
  readonly write: (next: Drawn) => boolean;
  readonly refuse: (because: string) => void;
}

/** What is drawn over a bend; it holds for that bend only, not for what the phrase has next. */
interface Over {
  readonly bend: Bend;
  readonly drawn: Drawn;
}

/** A bend as it is being drawn, until the phrase has it. */
export function useBendDraft(writer: Writer, { note }: BentNote): BendDraft {
  const [over, setOver] = useState<Over | null>(null);
  const [said, setSaid] = useState('');
  const { bend } = note;
  // The phrase has come to what was drawn, or somebody has changed it elsewhere.
  if (over !== null && over.bend !== bend) setOver(null);
  const shown =
    over !== null && over.bend === bend
      ? over.drawn
      : { curve: bend.curve, semitones: bendSemitones(note) };
  const refuse = (because: string) => setSaid(`Not done: ${because}.`);
  const preview = (drawn: Drawn) => {
    setSaid('');
    setOver({ bend, drawn });
  };
  return {
    shown,
    said,
    preview,
    drop: () => setOver(null),
    write: (drawn) => {
      const given = { note: note.id, ...drawn };
      const why = writer.why(drawBend, given);
      if (why !== null) {
        setOver(null);
        refuse(why);
        return false;
      }
      // What is shown stays until the phrase has it, which may be a moment later.
      preview(drawn);
      // By the note, so that what is drawn on two strings is never one step of undo.
      const command = `${drawBend.id} ${note.id}`;
      writer.take((s) => runCommand(s, drawBend, given), {
        command,
        label: drawBend.title,
        joins: true,
      });
      return true;
    },
    refuse,
  };
}

import { type ReactNode, useMemo } from 'react';
import type { EditState } from '../../core/edit/state';
import type { HeardNote } from '../../core/heard/types';
import { chordSign } from '../../core/theory/chord';
import type { ChordSymbol } from '../../core/theory/chord-model';
import type { NoteDoubt } from '../../io/heard/phrases';
import { pitchName } from '../frame/recording/pitch-name';
import type { Writer } from '../frame/writing/writer';
import { type Candidate, candidatesFor } from './candidates';
import { keyOffers } from './key-offers';
import type { CaughtTake } from './messages';
import { doubtWords, otherWords } from './rhythm-doubts';
import type { AnswerStep } from './use-answers';
import { SURE } from './use-asking';

/** What is asked, with its answers; of a note it stays in sight. */
export function AskedFirst(props: {
  readonly of: AskedOf;
  readonly unsure: number;
  readonly offers: readonly Offer[];
  readonly children: ReactNode;
}) {
  const { of, unsure, offers, children } = props;
  const { note } = of;
  return (
    <div className={note === undefined ? undefined : 'catch-asked'}>
      <p className="buttons">{children}</p>
      <Asked of={of} unsure={unsure} />
      <Offers offers={offers} of={note === undefined ? 'chords' : 'note'} />
    </div>
  );
}

/** What can be said of a note; null where there is nothing to say it of. */
export function Answers(props: {
  readonly next: (() => void) | null;
  readonly right: (() => void) | null;
  readonly takeOut: (() => void) | null;
  readonly correct: (() => void) | null;
}) {
  const row = [
    ['Next unsure note (N)', props.next],
    ['It is right (Y)', props.right],
    ['Take it out (X)', props.takeOut],
    ['Correct it in the notes (Enter)', props.correct],
  ] as const;
  return row.map(([words, act]) => (
    <button key={words} type="button" onClick={() => act?.()} disabled={act === null}>
      {words}
    </button>
  ));
}

/** The way back from the last answer by which all was written anew, and on again. */
export function BackFromAnswer(props: {
  readonly undo: AnswerStep | null;
  readonly redo: AnswerStep | null;
}) {
  const { undo, redo } = props;
  return (
    <>
      {undo === null ? null : (
        <button type="button" onClick={undo.run}>
          Undo “{undo.words}”
        </button>
      )}
      {redo === null ? null : (
        <button type="button" onClick={redo.run}>
          Do again: “{redo.words}”
        </button>
      )}
    </>
  );
}

/** The note that is asked about, or how many are still to be asked about. */
function Asked({ of, unsure }: { readonly of: AskedOf; readonly unsure: number }) {
  return (
    <p className="quiet" aria-live="polite">
      {of.note === undefined ? unsureWords(unsure) : noteWords(of.note, of)}
    </p>
  );
}

function unsureWords(unsure: number): string {
  if (unsure === 0) return 'No note is unsure.';
  return `${unsure} ${unsure === 1 ? 'note is' : 'notes are'} unsure, marked with ?.`;
}

function noteWords(note: HeardNote, { written, doubt }: Omit<AskedOf, 'note'>): string {
  const sure = `${written ?? pitchName(Math.round(note.pitch))} at ${note.onset.toFixed(1)} s, ${Math.round(100 * note.confidence)}% sure`;
  return doubt === undefined ? `${sure}.` : `${sure}; ${doubtWords(doubt)}.`;
}

/** The note that is asked about, and what of its rhythm is unsure. */
export interface AskedOf {
  readonly note: HeardNote | undefined;
  /** What it is called where it is written; null where it is left out. */
  readonly written: string | null;
  readonly doubt: NoteDoubt | undefined;
}

interface Offer {
  readonly words: string;
  /** The key that takes it. */
  readonly digit: number;
  /** A key of music; else a chord, or what a note may be. */
  readonly isKey?: true;
  readonly take: () => void;
}

/** Chords and keys that are proposed, or what the chosen note may be instead: each with its key. */
function Offers(props: { readonly offers: readonly Offer[]; readonly of: 'chords' | 'note' }) {
  const { offers, of } = props;
  const keys = offers.filter((o) => o.isKey);
  const others = offers.filter((o) => !o.isKey);
  return (
    <>
      {others.length > 0 && (
        <p className="buttons">
          <span className="quiet">{of === 'chords' ? 'Perhaps over' : 'Or is it'}</span>
          <OfferButtons offers={others} />
          {of === 'chords' && (
            <span className="quiet">or write chords above: then every note has its degree.</span>
          )}
        </p>
      )}
      {keys.length > 0 && (
        <p className="buttons">
          <span className="quiet">Perhaps in the key of</span>
          <OfferButtons offers={keys} />
        </p>
      )}
    </>
  );
}

function OfferButtons({ offers }: { readonly offers: readonly Offer[] }) {
  return offers.map((o) => (
    <button key={o.words} type="button" onClick={o.take}>
      {o.words} ({o.digit})
    </button>
  ));
}

/** At most so many chords are proposed; the digits of keys come after theirs, also where there are fewer. */
const MOST_CHORDS = 3;

/** Chords that the phrases may have been played over, the likeliest of all first, three at most. */
function chordsOf({ phrases }: CaughtTake): readonly ChordSymbol[] {
  const shares = new Map<ChordSymbol, number>();
  for (const c of phrases.flatMap((p) => p.chords)) {
    shares.set(c.symbol, (shares.get(c.symbol) ?? 0) + c.share);
  }
  return [...shares]
    .sort((a, b) => b[1] - a[1])
    .slice(0, MOST_CHORDS)
    .map(([symbol]) => symbol);
}

/** What the chosen note may be instead; without one, chords that may lie under all and keys it may be in. */
export function useOffers(
  take: CaughtTake,
  { note, doubt }: AskedOf,
  writer: Writer | undefined,
  ways: {
    readonly over: (chord: string) => void;
    readonly inKey: (key: string) => void;
    readonly otherwise: (key: number) => void;
    /** The note is none. */
    readonly takeOut: () => void;
    /** Lets a note be heard as it was chosen. */
    readonly hear: (state: EditState) => void;
  },
): readonly Offer[] {
  const candidates = useMemo(
    () => (note === undefined || writer === undefined ? [] : candidatesFor(writer.state, note)),
    [note, writer],
  );
  const keys = useMemo(() => keyOffers(take), [take]);
  if (note === undefined) {
    return [
      ...numbered(
        chordsOf(take).map((c) => ({ words: chordSign(c), take: () => ways.over(c) })),
        1,
      ),
      ...numbered(
        keys.map((k) => ({ words: k.words, isKey: true as const, take: () => ways.inKey(k.key) })),
        MOST_CHORDS + 1,
      ),
    ];
  }
  const rhythm = take.phrases.flatMap(({ doubts, phrase }) =>
    doubt === undefined || !doubts.includes(doubt)
      ? []
      : [{ words: otherWords(doubt, phrase), take: () => ways.otherwise(doubt.key) }],
  );
  const choose = (c: Candidate) => () => {
    if (c.kind === 'absent') return ways.takeOut();
    const outcome = writer?.run(c.command, c.value);
    if (outcome?.kind === 'done') ways.hear(outcome.state);
  };
  const others = candidates.map((c) => ({ words: c.words, take: choose(c) }));
  // What is asked about comes first.
  return numbered(note.confidence < SURE ? [...others, ...rhythm] : [...rhythm, ...others], 1);
}

const numbered = (offers: readonly Omit<Offer, 'digit'>[], from: number): readonly Offer[] =>
  offers.map((o, i) => ({ ...o, digit: from + i }));

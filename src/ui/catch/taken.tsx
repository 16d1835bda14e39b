import { type ReactNode, useEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import type { HeardNote } from '../../core/heard/types';
import { chordSign } from '../../core/theory/chord';
import type { ChordSymbol } from '../../core/theory/chord-model';
import { typesetText } from '../../io/text/signs';
import type { RouteOf } from '../frame/route';
import type { Writer } from '../frame/writing/writer';
import { candidatesFor } from './candidates';
import { Caught, liesIn } from './caught-phrase';
import { type Corrected, correctedPhrase, type SoundKey } from './corrections';
import { useDoubles } from './doubles';
import { KeptBefore } from './keep-caught';
import type { CaughtTake } from './messages';
import { pitchName } from './pitch-name';
import { SetAside } from './set-aside';
import { OtherReading, type ReadAs } from './tempo-readings';
import type { Resumed } from './unkept-data';
import { useAsking } from './use-asking';
import { useCorrections } from './use-corrections';
import type { Sound, UseEar } from './use-ear';
import { useBackKeys, useKeys } from './use-keys';
import { useSteady } from './use-steady';
import type { UnkeptHere } from './use-unkept';
import { WithAll } from './with-all';
import { useKeepSound } from './with-recording';

interface TakenProps {
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly render: UseEar['render'];
  readonly out: ReadonlySet<number>;
  readonly again: (without: ReadonlySet<number>) => void;
  /** Puts back what was written before. */
  readonly putBack: (what: {
    readonly take: CaughtTake;
    readonly out: ReadonlySet<number>;
  }) => void;
  /** Writes it again over a chord. */
  readonly over: (chord: string) => void;
  /** Writes it again in another tempo in which it can be read. */
  readonly readAs: (as: ReadAs) => void;
  readonly route: RouteOf<'catch'>;
  /** As it stood when it was left, where it was caught before. */
  readonly resumed: Resumed | null;
  readonly unkept: UnkeptHere;
}

/** All that was caught: what is unsure and the phrases, with a key for each answer. */
export function Taken(props: TakenProps) {
  const { take, sound, out, again, over, route, resumed, unkept } = props;
  const { all: before = null, right: rightBefore = NONE } = resumed ?? {};
  const corrections = useCorrections(take, out, before);
  const { all, writers, chosen, point: choose, active } = corrections;
  const phrases = useMemo(() => all.map(correctedPhrase), [all]);
  const { right, unsure, next, isRight } = useAsking(take, out, corrections, rightBefore);
  const kept = useSetAside(props, all, right);
  const [heardLast, setHeardLast] = useState<number | null>(null);
  const takeOut = () => {
    if (chosen === null) return;
    again(new Set([...out, chosen]));
    choose(unsure.find((i) => i > chosen) ?? null);
  };
  const keeping = useKeepSound(sound, out, (id) =>
    stepsOf(all.find((c) => c.state.phrase.id === id)),
  );
  const writer = active === null ? undefined : writers[active];
  const note = chosen === null ? undefined : take.notes[chosen];
  const offers = useOffers(take, note, writer, over);
  useKeys({
    n: next,
    y: isRight,
    x: takeOut,
    Enter: note === undefined ? null : () => toScore(active),
    ...Object.fromEntries(offers.map((o, i) => [String(i + 1), o.take])),
  });
  useBackKeys(writer?.undo ?? null, writer?.redo ?? null);
  const onKey = useSteady((index: number, name: string) =>
    takeKey(name, { index, writer: writers[index]!, next, isRight }),
  );
  const doubles = useDoubles(take.phrases, kept);
  const heading = useShown(resumed === null);
  const { render } = props;
  const ofAll = { take, sound, kept, unsure, route, render, onKey, onChoose: choose };
  return (
    <section aria-labelledby="catch-result">
      <h2 id="catch-result" ref={heading}>
        What was played
      </h2>
      <p role="status">{summary(take)}</p>
      {take.remarks.length > 0 && <p>The sound: {take.remarks.join('; ')}.</p>}
      <Lost of={corrections} putBack={props.putBack} />
      <AskedFirst note={note} unsure={unsure.length} offers={offers}>
        <OtherReading take={take} onRead={props.readAs} />
        <Answers
          next={unsure.length === 0 ? null : next}
          right={note === undefined ? null : isRight}
          takeOut={note === undefined ? null : takeOut}
          correct={note === undefined || active === null ? null : () => toScore(active)}
        />
      </AskedFirst>
      <p className="buttons">
        <WithAll
          corrections={all}
          phrases={phrases}
          kept={kept}
          keeping={keeping}
          hasSound={sound !== null}
          putBack={out.size === 0 ? null : () => again(new Set())}
        />
      </p>
      <SetAside unkept={unkept} hasSound={sound !== null} isNew={resumed === null} />
      {phrases.map((p, i) => (
        <Caught
          key={p.from}
          {...ofAll}
          index={i}
          caught={p}
          writer={writers[i]!}
          active={i === active}
          scoreId={scoreIdOf(i)}
          keepSound={keeping.keepSound}
          double={doubles.get(p.phrase.id) ?? null}
          chosen={note !== undefined && liesIn(p, note) ? chosen : null}
          space={i === Math.min(heardLast ?? 0, phrases.length - 1)}
          onHear={setHeardLast}
        />
      ))}
    </section>
  );
}

/** What is asked, with its answers; of a note it stays in sight. */
function AskedFirst(props: {
  readonly note: HeardNote | undefined;
  readonly unsure: number;
  readonly offers: readonly Offer[];
  readonly children: ReactNode;
}) {
  const { note, unsure, offers, children } = props;
  return (
    <div className={note === undefined ? undefined : 'catch-asked'}>
      <p className="buttons">{children}</p>
      <Asked note={note} unsure={unsure} />
      <Offers offers={offers} of={note === undefined ? 'chords' : 'note'} />
    </div>
  );
}

const NONE: ReadonlySet<string> = new Set();

/** What was caught now is brought into sight where nothing of it would be seen; nobody's typing is moved away. */
function useShown(isNew: boolean) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    const { current } = heading;
    if (!isNew || current === null || document.activeElement?.matches('input, select')) return;
    const { top } = current.getBoundingClientRect();
    if (top < 0 || top > 0.8 * window.innerHeight) current.scrollIntoView({ block: 'start' });
  }, [isNew]);
  return heading;
}

/** Has what stands here set aside as it changes. @returns what was kept of it. */
function useSetAside(
  { take, resumed, unkept }: TakenProps,
  all: readonly Corrected[],
  right: ReadonlySet<SoundKey>,
): KeptBefore {
  const [kept] = useState(() => resumed?.kept ?? new KeptBefore());
  const { work } = unkept;
  useEffect(() => work?.follow({ take, all, right, kept }), [work, take, all, right, kept]);
  return kept;
}

const scoreIdOf = (phrase: number) => `caught-${phrase}`;

function toScore(phrase: number | null): void {
  const score = () => document.getElementById(scoreIdOf(phrase ?? -1));
  // One whose turn to be drawn has not come is drawn now.
  if (score() === null) flushSync(() => {});
  score()?.focus();
}

/** Keys of the page that a score does not take for its own. @returns whether this is one. */
function takeKey(
  name: string,
  of: {
    readonly index: number;
    readonly writer: Writer;
    /** Both go on to a note. @returns the phrase that has it. */
    readonly next: () => number | null;
    readonly isRight: () => number | null;
  },
): boolean {
  if (name === 'N') toScore(of.next());
  else if (name === 'Y') toScore(of.isRight());
  else if (name === 'Escape' && isLetGo(of.writer)) {
    document.getElementById(scoreIdOf(of.index))?.blur();
  } else return false;
  return true;
}

/** What the chosen note may be instead; without one, chords that may lie under all. */
function useOffers(
  take: CaughtTake,
  note: HeardNote | undefined,
  writer: Writer | undefined,
  over: (chord: string) => void,
): readonly Offer[] {
  const candidates = useMemo(
    () => (note === undefined || writer === undefined ? [] : candidatesFor(writer.state)),
    [note, writer],
  );
  return note === undefined
    ? chordsOf(take).map((c) => ({ words: chordSign(c), take: () => over(c) }))
    : candidates.map((c) => ({
        words: c.words,
        take: () => void writer?.run(c.command, c.value),
      }));
}

/** What Escape would let go of has been let go. */
function isLetGo({ state: { selection } }: Writer): boolean {
  return selection.corner === null && selection.fresh.length === 0;
}

/** What was changed of a phrase, in words. */
function stepsOf(c: Corrected | undefined): readonly string[] {
  return c === undefined ? [] : c.history.steps.slice(0, c.history.done).map((s) => s.label);
}

interface LostProps {
  readonly of: Pick<ReturnType<typeof useCorrections>, 'lost' | 'back'>;
  readonly putBack: TakenProps['putBack'];
}

/** Corrections that have no place in what is written now, and the way back; nothing where there are none. */
function Lost({ of: { lost, back }, putBack }: LostProps) {
  if (back === null) return null;
  return (
    <p className="problem">
      {lost} {lost === 1 ? 'correction has' : 'corrections have'} no place in what is written now.{' '}
      <button type="button" onClick={() => putBack(back())}>
        Put back what was written before
      </button>
    </p>
  );
}

/** What can be said of a note; null where there is nothing to say it of. */
function Answers(props: {
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

/** The note that is asked about, or how many are still to be asked about. */
function Asked({
  note,
  unsure,
}: {
  readonly note: HeardNote | undefined;
  readonly unsure: number;
}) {
  return (
    <p className="quiet" aria-live="polite">
      {note === undefined
        ? unsure === 0
          ? 'No note is unsure.'
          : `${unsure} ${unsure === 1 ? 'note is' : 'notes are'} unsure, marked with ?.`
        : `${pitchName(Math.round(note.pitch))} at ${note.onset.toFixed(1)} s, ${Math.round(100 * note.confidence)}% sure.`}
    </p>
  );
}

interface Offer {
  readonly words: string;
  readonly take: () => void;
}

/** Chords that are proposed, or what the chosen note may be instead: each with its key. */
function Offers(props: { readonly offers: readonly Offer[]; readonly of: 'chords' | 'note' }) {
  const { offers, of } = props;
  if (offers.length === 0) return null;
  return (
    <p className="buttons">
      <span className="quiet">{of === 'chords' ? 'Perhaps over' : 'Or is it'}</span>
      {offers.map((o, i) => (
        <button key={o.words} type="button" onClick={o.take}>
          {o.words} ({i + 1})
        </button>
      ))}
      {of === 'chords' && (
        <span className="quiet">or write chords above: then every note has its degree.</span>
      )}
    </p>
  );
}

/** Chords that the phrases may have been played over, the likeliest of all first, three at most. */
function chordsOf({ phrases }: CaughtTake): readonly ChordSymbol[] {
  const shares = new Map<ChordSymbol, number>();
  for (const c of phrases.flatMap((p) => p.chords)) {
    shares.set(c.symbol, (shares.get(c.symbol) ?? 0) + c.share);
  }
  return [...shares]
    .sort((a, b) => b[1] - a[1])
    .slice(0, 3)
    .map(([symbol]) => symbol);
}

function summary(take: CaughtTake): string {
  const { phrases, bpm, bpmFound, toClock, bpmBefore, fits, key, keyFound, feel, meter } = take;
  const count = `${phrases.length} ${phrases.length === 1 ? 'phrase' : 'phrases'}`;
  const tempo = `${bpm} beats a minute${bpmFound ? ' (found)' : toClock ? ' in the bars that it was played to' : ''}`;
  const earlier = bpmBefore === null ? '' : ` (${bpmBefore} before that, found)`;
  const bars =
    meter.beats === 4 && meter.beatType === 4 ? '' : ` in ${meter.beats}/${meter.beatType}`;
  const doubt = fits ? '' : ' The beat does not fit well: say the tempo above.';
  const name = `${typesetText(key)}${keyFound ? ' (guessed)' : ''}`;
  return `${count}, ${tempo}${bars}${earlier}, key of ${name}${feel === '' ? '' : `, ${feel}`}.${doubt}`;
}

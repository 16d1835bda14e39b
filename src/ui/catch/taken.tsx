import { useEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import { chosenNotes } from '../../core/edit/select';
import { typesetText } from '../../io/text/signs';
import { writtenAs } from '../frame/recording/pitch-picture';
import type { RouteOf } from '../frame/route';
import type { Writer } from '../frame/writing/writer';
import { Answers, AskedFirst, type AskedOf, BackFromAnswer, useOffers } from './asked';
import { Caught, liesIn } from './caught-phrase';
import { type Corrected, correctedPhrase, type SoundKey, soundKey } from './corrections';
import { useDoubles } from './doubles';
import { useHearChosen } from './hear-chosen';
import { KeptBefore } from './keep-caught';
import type { CaughtTake } from './messages';
import { SetAside } from './set-aside';
import { summary } from './summary';
import { OtherReading, type ReadAs } from './tempo-readings';
import type { Resumed } from './unkept-data';
import { useAnswers } from './use-answers';
import { useAsking } from './use-asking';
import { type Corrections, useCorrections } from './use-corrections';
import type { Sound, UseEar } from './use-ear';
import { useBackKeys, useKeys } from './use-keys';
import { useSteady } from './use-steady';
import type { UnkeptHere } from './use-unkept';
import { WithAll } from './with-all';
import { useKeepPlayed } from './with-recording';

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
  /** Writes it again in a key. */
  readonly inKey: (key: string) => void;
  /** Writes it again with the other rhythm of what is unsure. */
  readonly otherwise: (key: number) => void;
  /** Writes it again in another tempo in which it can be read. */
  readonly readAs: (as: ReadAs) => void;
  readonly route: RouteOf<'catch'>;
  /** As it stood when it was left, where it was caught before. */
  readonly resumed: Resumed | null;
  readonly unkept: UnkeptHere;
}

/** All that was caught: what is unsure and the phrases, with a key for each answer. */
export function Taken(props: TakenProps) {
  const { take, sound, out, again, route, resumed, unkept, render } = props;
  const { all: before = null } = resumed ?? {};
  const corrections = useCorrections(take, out, before);
  const { all, writers, chosen, point: choose, active } = corrections;
  const phrases = useMemo(() => all.map(correctedPhrase), [all]);
  const asked = useAsked(props, corrections);
  const { of, unsure, onKey } = asked;
  const kept = useSetAside(props, all, asked.right);
  const [heardLast, setHeardLast] = useState<number | null>(null);
  const keeping = useKeepPlayed(take, sound, out, (id) =>
    stepsOf(all.find((c) => c.state.phrase.id === id)),
  );
  const doubles = useDoubles(take.phrases, kept);
  const heading = useShown(resumed === null);
  const ofAll = { take, sound, kept, unsure, route, render, onKey, onChoose: choose };
  return (
    <section aria-labelledby="catch-result">
      <h2 id="catch-result" ref={heading}>
        What was played
      </h2>
      <p role="status">{summary(take)}</p>
      {take.remarks.length > 0 && <p>The sound: {take.remarks.join('; ')}.</p>}
      <Lost of={corrections} putBack={props.putBack} />
      <AskedFirst of={of} unsure={unsure.length} offers={asked.offers}>
        <OtherReading take={take} onRead={asked.readAs} />
        <Answers {...asked.answers} />
        <BackFromAnswer undo={asked.undo} redo={asked.redo} />
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
          keepPlayed={keeping.keepPlayed}
          double={doubles.get(p.phrase.id) ?? null}
          chosen={of.note !== undefined && liesIn(p, of.note) ? chosen : null}
          space={i === Math.min(heardLast ?? 0, phrases.length - 1)}
          onHear={setHeardLast}
        />
      ))}
    </section>
  );
}

/** What is asked, what can be answered, and the keys for it. */
function useAsked(props: TakenProps, corrections: Corrections) {
  const { take, out, again, over, inKey, otherwise, resumed } = props;
  const { writers, chosen, point: choose, active } = corrections;
  const asking = useAsking(take, out, corrections, resumed?.right ?? NONE);
  const { unsure, doubts, next, isRight } = asking;
  const { given, undo, redo } = useAnswers({ take, out }, corrections, props.putBack);
  const takeOut = () => {
    if (chosen === null) return;
    given(`take out ${written ?? 'a note'}`);
    again(new Set([...out, chosen]));
    choose(unsure.find((i) => i > chosen) ?? null);
  };
  const writer = active === null ? undefined : writers[active];
  const note = chosen === null ? undefined : take.notes[chosen];
  const written = writer === undefined ? null : nameOfChosen(writer);
  const of: AskedOf = { note, written, doubt: note && doubts.get(soundKey(note)) };
  const hear = useHearChosen();
  const offers = useOffers(take, of, writer, {
    over: (chord) => {
      given(`over ${typesetText(chord)}`);
      over(chord);
    },
    inKey: (key) => {
      given(`in the key of ${typesetText(key)}`);
      inKey(key);
    },
    otherwise: (key) => {
      given('another rhythm');
      otherwise(key);
    },
    takeOut,
    hear,
  });
  const readAs = (as: ReadAs) => {
    given('read it otherwise');
    props.readAs(as);
  };
  useKeys({
    n: next,
    y: isRight,
    x: takeOut,
    Enter: note === undefined ? null : () => toScore(active),
    ...Object.fromEntries(offers.map((o) => [String(o.digit), o.take])),
  });
  useBackKeys(undo?.run ?? writer?.undo ?? null, redo?.run ?? writer?.redo ?? null);
  const onKey = useSteady((index: number, name: string) =>
    takeKey(name, { index, writer: writers[index]!, next, isRight }),
  );
  const answers = {
    next: unsure.length === 0 ? null : next,
    right: note === undefined ? null : isRight,
    takeOut: note === undefined ? null : takeOut,
    correct: note === undefined || active === null ? null : () => toScore(active),
  };
  return { of, unsure, right: asking.right, offers, answers, onKey, readAs, undo, redo };
}

/** What the note is called on which the cursor is: as the score has it, which is spelled by key and chord. */
function nameOfChosen({ state }: Writer): string | null {
  const [one] = chosenNotes(state);
  return one?.note.kind === 'pitched' ? writtenAs(one.note) : null;
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

/** What Escape would let go of has been let go. */
function isLetGo({ state: { selection } }: Writer): boolean {
  return selection.corner === null && selection.fresh.length === 0;
}

/** What was changed of a phrase, in words. */
function stepsOf(c: Corrected | undefined): readonly string[] {
  return c === undefined ? [] : c.history.steps.slice(0, c.history.done).map((s) => s.label);
}

interface LostProps {
  readonly of: Pick<ReturnType<typeof useCorrections>, 'lost' | 'rhythms' | 'back'>;
  readonly putBack: TakenProps['putBack'];
}

/** Corrections that have no place in what is written now, and the way back; nothing where there are none. */
function Lost({ of: { lost, rhythms, back }, putBack }: LostProps) {
  if (back === null) return null;
  return (
    <p className="problem">
      {lost} {lost === 1 ? 'correction has' : 'corrections have'} no place in what is written now
      {rhythms > 0 && ': what was chosen of rhythms is asked again in another tempo or metre'}.{' '}
      <button type="button" onClick={() => putBack(back())}>
        Put back what was written before
      </button>
    </p>
  );
}

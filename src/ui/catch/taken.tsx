import { useState } from 'react';
import type { HeardNote } from '../../core/heard/types';
import { chordSign } from '../../core/theory/chord';
import type { ChordSymbol } from '../../core/theory/chord-model';
import { typesetText } from '../../io/text/signs';
import { useApp } from '../frame/app-context';
import { keepAllAsNew } from '../frame/keep-as-new';
import type { RouteOf } from '../frame/route';
import { Caught } from './caught-phrase';
import { useDoubles } from './doubles';
import type { CaughtTake } from './messages';
import { pitchName } from './pitch-name';
import type { Sound } from './use-ear';
import { useKeys } from './use-keys';
import { useKeepSound, useOnce, WithRecording } from './with-recording';

/** Notes of which the model is less sure than this are asked about. */
const SURE = 0.62;

/** All that was caught: what is unsure and the phrases, with a key for each answer. */
export function Taken(props: {
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly out: ReadonlySet<number>;
  readonly again: (without: ReadonlySet<number>) => void;
  /** Writes it again over a chord. */
  readonly over: (chord: string) => void;
  readonly route: RouteOf<'catch'>;
}) {
  const { take, sound, out, again, over, route } = props;
  const [right, setRight] = useState<ReadonlySet<number>>(new Set());
  const [chosen, setChosen] = useState<number | null>(null);
  const [heardLast, setHeardLast] = useState<number | null>(null);
  const unsure = take.notes.flatMap((n, i) =>
    n.confidence < SURE && !out.has(i) && !right.has(i) ? [i] : [],
  );
  const next = () => setChosen(unsure.find((i) => i > (chosen ?? -1)) ?? unsure[0] ?? null);
  const isRight = () => {
    if (chosen === null) return;
    setRight(new Set([...right, chosen]));
    setChosen(unsure.find((i) => i > chosen) ?? unsure.find((i) => i !== chosen) ?? null);
  };
  const takeOut = () => {
    if (chosen === null) return;
    again(new Set([...out, chosen]));
    setChosen(unsure.find((i) => i > chosen) ?? null);
  };
  const { withSound, setWithSound, keepSound } = useKeepSound(sound, out);
  const candidates = chordsOf(take);
  const choose = (i: number) => () => {
    const chord = candidates[i];
    if (chord !== undefined) over(chord);
  };
  useKeys({ n: next, y: isRight, x: takeOut, 1: choose(0), 2: choose(1), 3: choose(2) });
  const doubles = useDoubles(take.phrases);
  const note = chosen === null ? undefined : take.notes[chosen];
  return (
    <section aria-labelledby="catch-result">
      <h2 id="catch-result">What was played</h2>
      <p role="status">{summary(take)}</p>
      {take.remarks.length > 0 && <p>The sound: {take.remarks.join('; ')}.</p>}
      <p className="buttons">
        <Answers
          next={unsure.length === 0 ? null : next}
          right={note === undefined ? null : isRight}
          takeOut={note === undefined ? null : takeOut}
        />
        {out.size > 0 && (
          <button type="button" onClick={() => again(new Set())}>
            Put back what was taken out
          </button>
        )}
        <KeepAll phrases={take.phrases} keepSound={keepSound(take.phrases)} />
        {sound !== null && take.phrases.length > 0 && (
          <WithRecording phrases={take.phrases} on={withSound} onChange={setWithSound} />
        )}
      </p>
      <Asked note={note} unsure={unsure.length} />
      <Candidates chords={candidates} choose={choose} />
      {take.phrases.map((p, i) => (
        <Caught
          key={p.from}
          caught={p}
          keepSound={keepSound([p])}
          double={doubles.get(p.phrase.id) ?? null}
          take={take}
          sound={sound}
          unsure={unsure}
          chosen={chosen}
          onChoose={setChosen}
          space={i === Math.min(heardLast ?? 0, take.phrases.length - 1)}
          onHear={() => setHeardLast(i)}
          route={route}
        />
      ))}
    </section>
  );
}

/** What can be said of a note; null where there is nothing to say it of. */
function Answers(props: {
  readonly next: (() => void) | null;
  readonly right: (() => void) | null;
  readonly takeOut: (() => void) | null;
}) {
  const row = [
    ['Next unsure note (N)', props.next],
    ['It is right (Y)', props.right],
    ['Take it out (X)', props.takeOut],
  ] as const;
  return row.map(([words, act]) => (
    <button key={words} type="button" onClick={() => act?.()} disabled={act === null}>
      {words}
    </button>
  ));
}

function KeepAll(
  props: Pick<CaughtTake, 'phrases'> & { readonly keepSound: (() => Promise<void>) | null },
) {
  const { phrases, keepSound } = props;
  const app = useApp();
  const keep = useOnce(async () => {
    await keepSound?.();
    await keepAllAsNew(
      app,
      phrases.map((p) => p.phrase),
    );
  });
  if (phrases.length < 2) return null;
  return (
    <button type="button" className="strong" onClick={keep}>
      Keep all {phrases.length} phrases
    </button>
  );
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

/** Chords that are proposed, each with its key. */
function Candidates(props: {
  readonly chords: readonly ChordSymbol[];
  readonly choose: (index: number) => () => void;
}) {
  const { chords, choose } = props;
  if (chords.length === 0) return null;
  return (
    <p className="buttons">
      <span className="quiet">Perhaps over</span>
      {chords.map((chord, i) => (
        <button key={chord} type="button" onClick={choose(i)}>
          {chordSign(chord)} ({i + 1})
        </button>
      ))}
      <span className="quiet">or write chords above: then every note has its degree.</span>
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
  const { phrases, bpm, bpmFound, toClock, fits, key, keyFound, feel } = take;
  const count = `${phrases.length} ${phrases.length === 1 ? 'phrase' : 'phrases'}`;
  const tempo = `${bpm} beats a minute${bpmFound ? ' (found)' : toClock ? ' in the bars that it was played to' : ''}`;
  const doubt = fits ? '' : ' The beat does not fit well: say the tempo above.';
  const name = `${typesetText(key)}${keyFound ? ' (guessed)' : ''}`;
  return `${count}, ${tempo}, key of ${name}${feel === '' ? '' : `, ${feel}`}.${doubt}`;
}

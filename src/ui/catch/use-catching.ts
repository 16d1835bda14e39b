import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { lowestOpen } from '../../core/phrase/instrument';
import { useApp } from '../frame/app-context';
import type { CatchSaid, CaughtTake, WhatToKeep } from './messages';
import { soundOfFile } from './microphone';
import { lastRoundOf } from './part-to-keep';
import { problemOf } from './problem-of';
import { type Fields, fieldsOf, instrumentOf, saidOf, stillChosen, USUAL_INSTRUMENT } from './said';
import type { Resumed } from './unkept-data';
import type { UseEar } from './use-ear';
import { useUnkept } from './use-unkept';

/** What is said of a recording, what was taken out of it, and the ways to have it written. */
export function useCatching(ear: UseEar) {
  const { state, set, tell } = ear;
  const app = useApp();
  const [fields, setFields] = useState(() => fieldsOf({ lane: '', key: '' }));
  const [out, setOut] = useState<ReadonlySet<number>>(new Set());
  const [round, setRound] = useState(0);
  const said = useMemo(() => saidOf(fields), [fields]);
  /** Of a new recording nothing of its rhythm has been chosen. */
  const saidOfNew = useMemo(() => saidOf({ ...fields, otherwise: [] }), [fields]);
  const { instrument } = fields;
  /** What the worker heard its recording as. */
  const heardOn = useRef(USUAL_INSTRUMENT);
  const place = useCallback(({ said, without }: CaughtTake) => {
    heardOn.current = said.instrument ?? USUAL_INSTRUMENT;
    setFields(fieldsOf(said));
    setOut(new Set(without));
    setRound((n) => n + 1);
  }, []);
  const { resumed, unkept, begin: beginWork } = useResumed(ear, place);
  const { listening } = state;
  useEffect(() => {
    if (!listening) return;
    tell({ kind: 'lowest', midi: lowestOpen(instrumentOf({ lane: '', key: '', instrument })) });
  }, [instrument, listening, tell]);
  const begin = useCallback(() => {
    heardOn.current = instrument;
    beginWork();
    setOut(new Set());
    setFields((now) => ({ ...now, otherwise: [] }));
    setRound((n) => n + 1);
  }, [instrument, beginWork]);
  const keep = useKeep(ear, saidOfNew, begin);
  const openFile = async (file: File | undefined) => {
    if (file === undefined) return;
    begin();
    set({ share: 0, take: null, problems: [] });
    try {
      const sound = await soundOfFile(file);
      const title = file.name.replace(/\.[^.]*$/u, '');
      tell({ kind: 'file', ...sound, said: saidOfNew, title, now: app.now() }, [
        sound.samples.buffer,
      ]);
    } catch (e) {
      set({ share: null, problems: [problemOf(e)] });
    }
  };
  // What could not be written again leaves out what the last one did.
  const { problems, take } = state;
  useEffect(() => {
    if (problems.length > 0 && take !== null) setOut(new Set(take.without));
  }, [problems, take]);
  const write = writing(ear, heardOn, setOut);
  /** Writes it with all that the fields say. */
  const writeAll = () => {
    const now = asRead(fields);
    setFields(now);
    write(saidOf(now), out);
  };
  const asRead = (now: Fields): Fields =>
    take === null ? now : { ...now, otherwise: stillChosen(now, take) };
  // Whoever answers for a note or a chord means what was caught: another instrument is for the form to say.
  const asCaught = (fields: Fields) =>
    saidOf(take === null ? fields : { ...fields, instrument: fieldsOf(take.said).instrument });
  const again = (without: ReadonlySet<number>) => write(asCaught(fields), without);
  const rewrite = (part: Partial<Fields>) => {
    const now = asRead({ ...fields, ...part });
    setFields(now);
    write(asCaught(now), out);
  };
  const putBack = (before: { readonly take: CaughtTake; readonly out: ReadonlySet<number> }) => {
    setOut(before.out);
    // What is written next is written over the same chords again, else all would be lost anew.
    setFields(fieldsOf(before.take.said));
    set({ take: before.take });
  };
  const ways = { keep, openFile, writeAll, again, rewrite, putBack };
  return { fields, setFields, said, out, round, resumed, unkept, ...ways };
}

/** Keeps what is remembered, or a part of it. @param begin Makes room on the page for what comes. */
function useKeep({ set, tell, sounds, onFound }: UseEar, said: CatchSaid, begin: () => void) {
  const app = useApp();
  return useCallback(
    (what: WhatToKeep) => {
      const clock = sounds.clock();
      if (what === 'round') {
        // What stands here stays where nothing comes in its place.
        const round = lastRoundOf(clock?.ago ?? 0, clock);
        if (!round.ok) {
          set({ problems: round.problems });
          return;
        }
      }
      onFound.current = () => {};
      if (what === 'phrase') {
        // Whether there is one is known when it has been looked for.
        onFound.current = () => {
          begin();
          set({ take: null });
        };
        set({ share: 0, problems: [] });
      } else {
        begin();
        set({ share: 0, take: null, problems: [] });
      }
      const now = app.now();
      tell({ kind: 'keep', what, said, title: `Caught ${now.slice(0, 10)}`, now, clock });
    },
    [app, begin, said, set, tell, sounds, onFound],
  );
}

/** What was caught before, shown again in the place of what stands here. @param place Takes what was said of it. */
function useResumed({ state, set, tell }: UseEar, place: (take: CaughtTake) => void) {
  const [resumed, setResumed] = useState<Resumed | null>(null);
  /** When that was caught whose sound is still here. */
  const soundOf = useRef<string | null>(null);
  const show = useCallback(
    (what: Resumed) => {
      const { take } = what;
      const { recorded, notes, remarks } = take;
      place(take);
      setResumed(what);
      // The sound is kept nowhere; it is here only where this page has not been left.
      set({ take, problems: [], ...(soundOf.current === recorded.now ? {} : { sound: null }) });
      tell({ kind: 'heard before', notes, recorded, remarks });
    },
    [place, set, tell],
  );
  const clear = useCallback(() => set({ take: null }), [set]);
  const unkept = useUnkept(show, clear);
  useEffect(() => {
    if (state.take !== null) soundOf.current = state.take.recorded.now;
  }, [state.take]);
  const { begin: beginWork } = unkept;
  const begin = useCallback(() => {
    beginWork();
    setResumed(null);
    // What is heard now takes the place of the sound, also where nothing is found in it.
    soundOf.current = null;
  }, [beginWork]);
  return { resumed, unkept, begin };
}

/** Writes what was heard again, or has it heard again where other strings are listened for. */
function writing(
  { state, set, tell }: UseEar,
  heardOn: { current: string },
  setOut: (out: ReadonlySet<number>) => void,
) {
  return (said: CatchSaid, without: ReadonlySet<number>) => {
    const { sound, take } = state;
    const on = said.instrument ?? USUAL_INSTRUMENT;
    if (on === heardOn.current || sound === null) {
      setOut(without);
      tell({ kind: 'again', said, without: [...without] });
      return;
    }
    // Other strings are listened for elsewhere: the notes are others, and with them what is left out.
    const left = on === (take?.said.instrument ?? USUAL_INSTRUMENT) ? without : new Set<number>();
    heardOn.current = on;
    setOut(left);
    set({ share: 0 });
    const samples = sound.samples.slice();
    tell({ kind: 'anew', samples, rate: sound.rate, said, without: [...left] }, [samples.buffer]);
  };
}

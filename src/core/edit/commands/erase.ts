import { byString } from '../../phrase/rebuild';
import type { PhraseEvent } from '../../phrase/types';
import {
  dropSilentTuplets,
  endAt,
  reachTo,
  takeNotes,
  withEvents,
  withLength,
} from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { shiftFrom } from '../lengths';
import { cannot, done } from '../outcome';
import { chosenNotes, eventAt, moveCursor, tupletOver, voiceOf } from '../select';
import type { EditState } from '../state';
import { freshIds, goOn, makeRoom, writingTicks } from '../write';

/** Silence for the pen's value; the cursor goes on. */
export const rest = defineCommand<undefined>({
  id: 'write.rest',
  group: 'Writing notes',
  title: 'Write a rest',
  words: 'silence pause',
  ask: { kind: 'nothing' },
  keys: [
    { key: 'r', value: undefined, reading: ['fret', 'finger'] },
    { key: '0', value: undefined, reading: ['degree'] },
  ],
  apply: (s) => {
    const { cursor, voice } = s.selection;
    const ready = makeRoom(s, true);
    if (ready.kind === 'not applicable') return ready;
    const end = cursor.onset + writingTicks(ready.state);
    let taken = 0;
    const phrase = withEvents(reachTo(ready.state.phrase, end), voice, (events) =>
      events.flatMap((e) => {
        if (e.onset >= end) return [e];
        if (e.onset < cursor.onset) return [endAt(e, cursor.onset)];
        taken += e.notes.length;
        return [];
      }),
    );
    // A tuplet that begins with a rest stays for the notes that follow.
    const inTuplet = tupletOver(voiceOf(ready.state), cursor.onset) !== null;
    const silent = { ...s, phrase: inTuplet ? phrase : dropSilentTuplets(phrase, voice) };
    const gone = taken === 0 ? '' : `; ${taken === 1 ? 'a note' : `${taken} notes`} taken out`;
    return done(moveCursor(silent, { ...cursor, onset: end }), `rest${gone}`);
  },
});

/** Takes out what is chosen; the time it took stays silent. */
export const takeOut = defineCommand<undefined>({
  id: 'write.take-out',
  group: 'Writing notes',
  title: 'Take out what is chosen',
  words: 'delete remove erase clear',
  ask: { kind: 'nothing' },
  keys: [{ key: 'Delete', value: undefined }],
  apply: (s) => {
    const ids = new Set(chosenNotes(s).map((c) => c.note.id));
    if (ids.size === 0) return cannot('no note is chosen');
    return done(without(s, ids), ids.size === 1 ? 'taken out' : `${ids.size} notes taken out`);
  },
});

/** Takes out what was just written, or is under the cursor, or comes before it. */
export const takeBack = defineCommand<undefined>({
  id: 'write.take-back',
  group: 'Writing notes',
  title: 'Take out the last note and go back to it',
  words: 'delete backspace erase',
  ask: { kind: 'nothing' },
  keys: [{ key: 'Backspace', value: undefined }],
  apply: (s) => {
    const { cursor, fresh } = s.selection;
    const v = voiceOf(s);
    const event =
      v.events.find((e) => e.notes.some((n) => fresh.includes(n.id))) ??
      eventAt(v, cursor.onset)?.event ??
      v.events.filter((e) => e.onset < cursor.onset).at(-1);
    if (event === undefined) return cannot('there is no note here or before');
    const just = event.notes.filter((n) => fresh.includes(n.id));
    const own = event.notes.filter(
      (n) => event.onset === cursor.onset && n.string === cursor.string,
    );
    const taken = just.length > 0 ? just : own.length > 0 ? own : event.notes;
    const string = taken[0]!.string;
    return done(
      moveCursor(without(s, new Set(taken.map((n) => n.id))), { onset: event.onset, string }),
      taken.length === 1 ? 'taken out' : `${taken.length} notes taken out`,
    );
  },
});

/** Time for one value is put in at the cursor; what comes later moves on. */
export const putTime = defineCommand<undefined>({
  id: 'write.put-time',
  group: 'Writing notes',
  title: 'Put time in here, one value long',
  words: 'insert space push later',
  ask: { kind: 'nothing' },
  keys: [{ key: 'i', value: undefined }],
  apply: (s) => {
    const { cursor, voice } = s.selection;
    if (!voiceOf(s).events.some((e) => e.onset >= cursor.onset)) {
      return cannot('nothing comes after the cursor');
    }
    const cut = cutAt(s);
    return done({ ...cut, phrase: shiftFrom(cut.phrase, voice, cursor.onset, writingTicks(s)) });
  },
});

/** One value's time is taken out at the cursor; what comes later moves up. */
export const takeTime = defineCommand<undefined>({
  id: 'write.take-time',
  group: 'Writing notes',
  title: 'Take time out here, one value long',
  words: 'delete space pull earlier',
  ask: { kind: 'nothing' },
  keys: [{ key: 'I', value: undefined }],
  apply: (s) => {
    const { cursor, voice } = s.selection;
    const ticks = writingTicks(s);
    const end = cursor.onset + ticks;
    if (!voiceOf(s).events.some((e) => endOf(e) > cursor.onset)) {
      return cannot('nothing sounds here or later');
    }
    const gone = withEvents(cutAt(s).phrase, voice, (events) =>
      events.filter((e) => e.onset < cursor.onset || e.onset >= end),
    );
    return done({ ...s, phrase: shiftFrom(dropSilentTuplets(gone, voice), voice, end, -ticks) });
  },
});

/** What was struck last is struck once more, with how it was struck. */
export const again = defineCommand<undefined>({
  id: 'write.again',
  group: 'Writing notes',
  title: 'Write the last notes once more',
  words: 'repeat copy chord double stop',
  ask: { kind: 'nothing' },
  keys: [{ key: '=', value: undefined }],
  apply: (s) => {
    const { cursor, voice } = s.selection;
    const last = voiceOf(s)
      .events.filter((e) => e.onset < cursor.onset)
      .at(-1);
    if (last === undefined) return cannot('there is no note before the cursor');
    const ready = makeRoom(s, true);
    if (ready.kind === 'not applicable') return ready;
    const ids = freshIds(s, last.notes.length);
    const duration = writingTicks(ready.state);
    const next = voiceOf(ready.state).events.find((e) => e.onset > cursor.onset);
    const event: PhraseEvent = withLength(
      {
        ...last,
        onset: cursor.onset,
        notes: byString(last.notes.map((n, i) => ({ ...n, id: ids[i]! }))),
      },
      Math.min(duration, (next?.onset ?? Number.POSITIVE_INFINITY) - cursor.onset),
    );
    const long = reachTo(ready.state.phrase, cursor.onset + duration);
    const phrase = withEvents(long, voice, (all) => [
      ...all.filter((e) => e.onset < cursor.onset).map((e) => endAt(e, cursor.onset)),
      event,
      ...all.filter((e) => e.onset > cursor.onset),
    ]);
    const written = { ...s, phrase, selection: { ...s.selection, corner: null, fresh: [...ids] } };
    return done(goOn(written), 'once more');
  },
});

function without(s: EditState, ids: ReadonlySet<string>): EditState {
  const phrase = takeNotes(s.phrase, s.selection.voice, ids);
  return { ...s, phrase, selection: { ...s.selection, fresh: [], typed: '' } };
}

/** What sounds over the cursor ends there. */
function cutAt(s: EditState): EditState {
  const { cursor, voice } = s.selection;
  const phrase = withEvents(s.phrase, voice, (events) =>
    events.map((e) => (e.onset < cursor.onset ? endAt(e, cursor.onset) : e)),
  );
  return { ...s, phrase };
}

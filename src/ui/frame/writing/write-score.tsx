import {
  type KeyboardEvent,
  memo,
  type PointerEvent,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
} from 'react';
import type { Command } from '../../../core/edit/command';
import { goTo } from '../../../core/edit/commands/go';
import { writePitch } from '../../../core/edit/commands/point';
import { chooseAll } from '../../../core/edit/commands/taking';
import { boundTo } from '../../../core/edit/table';
import type { Phrase } from '../../../core/phrase/types';
import { noteAt } from '../../../engrave/hits';
import type { EngravedSystem } from '../../../engrave/page/system';
import type { DegreeView } from '../../../publish/degree-labels';
import { useEngraver } from '../../score/engraver';
import { followSvg } from '../../score/follow-svg';
import { NoEngraver, useEngraveOptions } from '../../score/score-view';
import '../../score/score.css';
import { ScoreWords } from '../../score/score-words';
import { SoundingMarks } from '../../score/sounding';
import { useWidth } from '../../score/use-width';
import { titleOf } from '../../shared/facts';
import { Overlay, Ruling, touches, WarningMarks } from './overlay';
import { cellAt, lineOf, momentAt, pitchAt } from './place';
import { strokeName } from './stroke';
import type { Warnings } from './warnings';
import './writing.css';
import type { Writer } from './writer';

interface WriteScoreProps {
  readonly writer: Writer;
  /** Keys of the page, which go before those of the table: whether it has taken this one. */
  readonly onKey: (name: string) => boolean;
  /** Asks for what a command has to be told, for a key of such a command. */
  readonly onAsk: (command: Command, value?: unknown) => void;
  /** Taps choose from where the cursor is, as with Shift. */
  readonly choosing: boolean;
  readonly warnings: Warnings;
  /** The phrase as the list of notes reads it, which may be a moment old. */
  readonly spoken: Phrase;
  readonly staves: 'both' | 'tab';
  readonly degrees: DegreeView;
  /** Id of the text that says where the cursor is. */
  readonly whereId: string;
  /** Id of the element, for bringing the focus back. */
  readonly id: string;
}

/**
 * The score that is written in. It is one stop of the Tab key and takes all other keys itself, hence
 * the role: a reader of the screen passes them on. The list of notes beside it is for reading.
 */
export function WriteScore(props: WriteScoreProps) {
  const { writer, onKey, onAsk, choosing, warnings, spoken, staves, degrees, whereId, id } = props;
  const { state } = writer;
  const { phrase } = state;
  const engraver = useEngraver();
  const [ref, width] = useWidth<HTMLDivElement>();
  const options = useEngraveOptions(phrase, { staves, degrees }, width);
  const drawing = useMemo(
    () => (engraver === null || engraver === 'failed' ? null : engraver.createEngraver()),
    [engraver],
  );
  const lines = useMemo(
    () => (drawing === null || options === null ? null : drawing.engrave(phrase, options).systems),
    [drawing, phrase, options],
  );
  const title = titleOf(phrase);
  const cursorLine = lines === null ? -1 : lineOf(lines, state.selection.cursor.onset);
  useCursorInView(ref, cursorLine, state.selection.cursor.onset);
  const pointer = usePointer(writer, lines, choosing);
  return (
    <>
      <div
        id={id}
        data-first-focus
        className="score write-score"
        role="application"
        aria-roledescription="score to write in"
        aria-label={title}
        aria-describedby={whereId}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: an application takes keys.
        tabIndex={0}
        onKeyDown={(e) => takeKey(e, writer, onKey, onAsk)}
        {...pointer}
      >
        <div ref={ref}>
          {engraver === 'failed' ? (
            <NoEngraver />
          ) : lines === null ? (
            <div className="score-waiting" aria-hidden="true" />
          ) : (
            <div aria-hidden="true">
              {lines.map((line, i) => (
                <div className="write-line" key={line.bars[0] ?? i} data-line={i}>
                  <Line svg={line.svg} />
                  {i === lines.length - 1 ? <Ruling line={line} /> : null}
                  <SoundingMarks line={line} />
                  <WarningMarks line={line} warnings={warnings} />
                  {i === cursorLine || touches(state, line) ? (
                    <Overlay state={state} line={line} hasCursor={i === cursorLine} />
                  ) : null}
                </div>
              ))}
            </div>
          )}
        </div>
      </div>
      <Words phrase={spoken} label={`Notes of ${title}`} />
    </>
  );
}

/** One line, drawn again only when its text changes. */
const Line = memo(function Line({ svg }: { readonly svg: string }) {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (ref.current !== null) followSvg(ref.current, svg);
  }, [svg]);
  return <div className="system" ref={ref} />;
});
const Words = memo(ScoreWords);

/** One key: what the table says, and the system's own keys for going back and forward. */
function takeKey(
  e: KeyboardEvent,
  writer: Writer,
  onKey: WriteScoreProps['onKey'],
  onAsk: WriteScoreProps['onAsk'],
): void {
  if (e.nativeEvent.isComposing) return;
  const name = strokeName(e);
  if (name === 'Ctrl+z' || name === 'Ctrl+Z') {
    e.preventDefault();
    if (e.shiftKey) writer.redo();
    else writer.undo();
    return;
  }
  if (name === 'Ctrl+y' || name === 'Ctrl+Y') {
    e.preventDefault();
    writer.redo();
    return;
  }
  if (onKey(name)) {
    e.preventDefault();
    return;
  }
  if (name === 'Ctrl+a' || name === 'Ctrl+A') {
    e.preventDefault();
    writer.run(chooseAll, 'all');
    return;
  }
  const bound = boundTo(name, writer.state.pen.reading);
  if (bound === null) return;
  e.preventDefault();
  if (bound.command.ask.kind === 'text') onAsk(bound.command, undefined);
  else writer.run(bound.command, bound.value);
}

/** The line of the cursor is kept on screen while the score is written in. */
function useCursorInView(
  ref: { readonly current: HTMLElement | null },
  line: number,
  onset: number,
): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: every move of the cursor counts.
  useEffect(() => {
    const score = ref.current;
    // Under a finger the focus is on the key that was tapped.
    const writing = ':focus, :has(~ .write-foot .touch :focus)';
    if (score === null || !score.parentElement?.matches(writing)) return;
    score.querySelector(`[data-line="${line}"]`)?.scrollIntoView({ block: 'nearest' });
  }, [ref, line, onset]);
}

/** Further than this is a stroke, in px; nearer a tap. */
const TAP = 8;

interface Pressed {
  readonly pointer: number;
  readonly x: number;
  readonly y: number;
  readonly drags: boolean;
}

/** A tap goes to a place or writes on the staff; a stroke along the strings chooses. */
function usePointer(writer: Writer, lines: readonly EngravedSystem[] | null, choosing: boolean) {
  const pressed = useRef<Pressed | null>(null);
  if (lines === null) return {};
  return {
    onPointerDown: (e: PointerEvent) => {
      if (e.button !== 0 || !e.isPrimary) return;
      pressed.current = { pointer: e.pointerId, x: e.clientX, y: e.clientY, drags: false };
    },
    onPointerMove: (e: PointerEvent<HTMLElement>) => {
      const from = pressed.current;
      if (from === null || from.pointer !== e.pointerId) return;
      const far = Math.hypot(e.clientX - from.x, e.clientY - from.y) > TAP;
      if (!from.drags && !far) return;
      if (!from.drags) {
        const cell = cellOf(writer, lines, placeIn(e.currentTarget, from.x, from.y));
        if (cell === null) {
          pressed.current = null;
          return;
        }
        e.currentTarget.setPointerCapture(e.pointerId);
        writer.run(goTo, cell);
        pressed.current = { ...from, drags: true };
      }
      const to = cellOf(writer, lines, placeIn(e.currentTarget, e.clientX, e.clientY));
      if (to !== null) writer.run(goTo, { ...to, extend: true });
    },
    onPointerUp: (e: PointerEvent<HTMLElement>) => {
      const from = pressed.current;
      pressed.current = null;
      if (from === null || from.drags || from.pointer !== e.pointerId) return;
      tap(writer, lines, placeIn(e.currentTarget, e.clientX, e.clientY), e.shiftKey || choosing);
    },
    onPointerCancel: () => {
      pressed.current = null;
    },
  };
}

/** A point in a line of music. */
interface InLine {
  readonly line: number;
  readonly x: number;
  readonly y: number;
}

/** The line at or nearest to a point of the window, and the point in it. */
function placeIn(score: HTMLElement, clientX: number, clientY: number): InLine | null {
  let best: InLine | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const element of score.querySelectorAll<HTMLElement>('[data-line]')) {
    const box = element.getBoundingClientRect();
    const distance = Math.max(box.top - clientY, clientY - box.bottom, 0);
    if (distance < least) {
      least = distance;
      const line = Number(element.dataset.line);
      best = { line, x: clientX - box.left, y: clientY - box.top };
    }
  }
  return best;
}

function cellOf(writer: Writer, lines: readonly EngravedSystem[], at: InLine | null) {
  const line = at === null ? undefined : lines[at.line];
  return at === null || line === undefined ? null : cellAt(writer.state, line, at);
}

function tap(
  writer: Writer,
  lines: readonly EngravedSystem[],
  at: InLine | null,
  extend: boolean,
): void {
  const line = at === null ? undefined : lines[at.line];
  if (at === null || line === undefined) return;
  const { state } = writer;
  const cell = cellAt(state, line, at);
  if (cell !== null) {
    writer.run(goTo, { ...cell, extend });
    return;
  }
  const hit = noteAt(line.hits, at.x, at.y);
  const note = hit === null ? null : findNote(state, hit.id);
  if (note !== null) {
    writer.run(goTo, { ...note, extend });
    return;
  }
  const onset = momentAt(state, line, at.x);
  const { cursor } = state.selection;
  const pitch = pitchAt(state.phrase, line, at.y);
  // The first tap goes to the moment, the next one writes there: nothing is written by mistake.
  if (pitch !== null && onset === cursor.onset) writer.run(writePitch, { pitch, on: false });
  else writer.run(goTo, { ...cursor, onset, extend });
}

function findNote(state: Writer['state'], id: string) {
  for (const v of state.phrase.voices) {
    for (const e of v.events) {
      const note = e.notes.find((n) => n.id === id);
      if (note !== undefined) return { onset: e.onset, string: note.string };
    }
  }
  return null;
}

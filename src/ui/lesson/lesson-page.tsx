import { useMemo, useRef, useState } from 'react';
import { changeMeta, removeItems, shiftItem } from '../../core/lesson/edit';
import type { Lesson, LessonItem } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { headingOf, itemHtml } from '../../publish/lesson/items';
import { MusicList } from '../../publish/lesson/music';
import type { PaperSize } from '../../publish/lesson/sizes';
import { useLibrary, usePageTitle } from '../frame/app-context';
import { useExport } from '../frame/export/use-export';
import { NotHere } from '../frame/not-here';
import { OpeningPage } from '../frame/opening-library';
import { RecordSaving } from '../frame/record-saving';
import { addressOf, type RouteOf } from '../frame/route';
import { AddItem } from './add-item';
import { type ChosenBars, useBarsByPointer } from './chosen-bars';
import { HeardWith, HearItem } from './hear-item';
import { ItemFields } from './item-fields';
import { lessonTitle } from './lessons-page';
import { PaperFields, useOnPaper } from './on-paper';
import { type LessonEdits, useLesson } from './use-lesson';
import { useLessonActions } from './use-lesson-actions';
import '../shared/pages.css';
import './lesson.css';

/** `#/lesson/ID`: a lesson as it will be on paper, put in order and written in. */
export function LessonPage({ route }: { readonly route: RouteOf<'lesson'> }) {
  const edits = useLesson(route.id);
  const { state } = useLibrary();
  if (edits === null) {
    if (state === 'opening') return <OpeningPage />;
    return (
      <NotHere kind={LESSONS} id={route.id}>
        <p>
          <a href={addressOf({ page: 'lessons', query: {} })}>See the lessons</a>
        </p>
      </NotHere>
    );
  }
  return <LessonSheet key={route.id} edits={edits} />;
}

function LessonSheet({ edits }: { readonly edits: LessonEdits }) {
  const { lesson, change } = edits;
  const title = lessonTitle(lesson);
  usePageTitle(title);
  const { open: openExport, dialog } = useExport();
  const [onPaper, setOnPaper] = useOnPaper(lesson.id);
  const printed = useRef<HTMLElement>(null);
  const actions = useLessonActions(edits, openExport, onPaper.size);
  const run = (id: string): void => actions.find((a) => a.id === id)?.run();
  return (
    <article className={`page lesson-page ${onPaper.paper}`} ref={printed}>
      <p className="way-back">
        <a href={addressOf({ page: 'lessons', query: {} })}>Lessons</a>
      </p>
      <div className="lesson-head">
        <label>
          <span>Title of the lesson</span>
          <input
            type="text"
            value={lesson.meta.title}
            maxLength={500}
            onChange={(e) => change(changeMeta(lesson, { title: e.target.value }), 'title')}
          />
        </label>
        <label>
          <span>What it is for</span>
          <textarea
            rows={2}
            value={lesson.meta.intro ?? ''}
            maxLength={20_000}
            onChange={(e) => change(changeMeta(lesson, { intro: e.target.value }), 'intro')}
          />
        </label>
        <Buttons edits={edits} run={run} />
        <PaperFields lesson={lesson} onPaper={onPaper} onChange={setOnPaper} printed={printed} />
        <HeardWith />
        <p>
          <a
            className="alone"
            href={addressOf({ page: 'past', of: 'lesson', id: lesson.id, query: {} })}
          >
            Earlier versions of this lesson
          </a>
        </p>
        <RecordSaving
          edits={edits}
          noun="lesson"
          addressOf={(l) => addressOf({ page: 'lesson', id: l.id, query: {} })}
          titleOf={lessonTitle}
        />
      </div>
      <Paper edits={edits} title={title} size={onPaper.size} />
      <AddItem edits={edits} />
      {dialog}
    </article>
  );
}

/** The sheets as they are printed, each item with what can be done to it. */
function Paper(props: {
  readonly edits: LessonEdits;
  readonly title: string;
  readonly size: PaperSize;
}) {
  const { edits, title, size } = props;
  const { lesson } = edits;
  return (
    <div className={`lesson-paper ${size}`}>
      <div className="lesson-running" aria-hidden="true">
        <p>{title}</p>
      </div>
      <div className="lesson-sheet">
        <h1>{title}</h1>
        {lesson.meta.intro === undefined ? null : (
          <p className="lesson-intro">{lesson.meta.intro}</p>
        )}
        {lesson.items.map((item, i) => (
          <Item key={item.id} edits={edits} item={item} place={i} size={size} />
        ))}
        <p className="lesson-caution">
          Warm up, take breaks, keep the volume moderate; stop when it hurts and ask a teacher or
          clinician.
        </p>
      </div>
    </div>
  );
}

function Buttons(props: { readonly edits: LessonEdits; readonly run: (id: string) => void }) {
  const { edits, run } = props;
  return (
    <p className="buttons">
      <button type="button" className="primary" onClick={() => run('lesson.page')}>
        Save it as a page that plays
      </button>
      <button type="button" onClick={() => run('lesson.practise')}>
        Practise this
      </button>
      <button type="button" onClick={() => run('lesson.print')}>
        Print
      </button>
      <button type="button" onClick={() => run('lesson.music')}>
        Export its music …
      </button>
      <button type="button" disabled={!edits.canUndo} onClick={edits.undo}>
        Undo
      </button>
      <button type="button" disabled={!edits.canRedo} onClick={edits.redo}>
        Do again
      </button>
    </p>
  );
}

interface ItemProps {
  readonly edits: LessonEdits;
  readonly item: LessonItem;
  /** From 0. */
  readonly place: number;
  readonly size: PaperSize;
}

/** An item as it is printed, with what can be done to it. */
function Item({ edits, item, place, size }: ItemProps) {
  const { lesson, change } = edits;
  const name = nameOf(lesson, item);
  const last = place === lesson.items.length - 1;
  const [chosen, setChosen] = useState<ChosenBars>({ sheet: 0, range: null });
  return (
    <section className="lesson-item" aria-label={`${place + 1}: ${name}`}>
      <div className="lesson-tools">
        <button
          type="button"
          disabled={place === 0}
          aria-label={`Up: ${name}`}
          onClick={() => change(shiftItem(lesson, item.id, -1))}
        >
          Up
        </button>
        <button
          type="button"
          disabled={last}
          aria-label={`Down: ${name}`}
          onClick={() => change(shiftItem(lesson, item.id, 1))}
        >
          Down
        </button>
        <button
          type="button"
          aria-label={`Take out: ${name}`}
          onClick={() => change(removeItems(lesson, item.id))}
        >
          Take out
        </button>
        <HearItem lesson={lesson} item={item} name={name} chosen={chosen} onChoose={setChosen} />
        <ItemFields edits={edits} item={item} name={name} />
      </div>
      <ItemView lesson={lesson} item={item} size={size} chosen={chosen} onChoose={setChosen} />
    </section>
  );
}

function nameOf(lesson: Lesson, item: LessonItem): string {
  const own = item.heading ?? headingOf(lesson, item);
  return own === '' ? 'the text' : own;
}

/** What is printed; all that was typed stands in it escaped (`publish/lesson`). */
function ItemView(props: {
  readonly lesson: Lesson;
  readonly item: LessonItem;
  readonly size: PaperSize;
  readonly chosen: ChosenBars;
  readonly onChoose: (chosen: ChosenBars) => void;
}) {
  const { item, size } = props;
  const { phrases } = props.lesson;
  const ref = useBarsByPointer(props.chosen, props.onChoose);
  const html = useMemo(() => {
    const carried = { phrases };
    return { __html: itemHtml(carried, item, new MusicList(carried, false, size)) };
  }, [phrases, item, size]);
  // biome-ignore lint/security/noDangerouslySetInnerHtml: written by us, with every text escaped
  return <div className="lesson-view" ref={ref} dangerouslySetInnerHTML={html} />;
}

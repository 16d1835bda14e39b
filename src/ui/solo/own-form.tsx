import { useId, useState } from 'react';
import {
  barCount,
  LONGEST_SECTION,
  MOST_FORM_BARS,
  numeralProblems,
  writtenOut,
} from '../../core/form/numerals';
import { ownFormOf, shiftSection, withoutSection, withSection } from '../../core/form/own';
import { formPlayed } from '../../core/form/played';
import { type Form, formOfOwn, type OwnForm } from '../../core/form/types';
import type { Problem } from '../../core/result';
import type { Mode } from '../../core/theory/key';
import { FORMS } from '../../io/kinds/kinds';
import { type App, useApp } from '../frame/app-context';
import { Choice } from '../frame/export/choice';
import { type RecordEdits, useRecord } from '../frame/record-edits';
import { RecordSaving } from '../frame/record-saving';
import { addressOf } from '../frame/route';
import { refusalInWords } from '../shared/save-words';
import { problemText } from '../shared/words';
import { CourseFields } from './course-fields';

/** Makes a form of one's own that begins as another; its id once it is on the disk. */
export async function makeOwnForm(app: App, from: Form): Promise<string | null> {
  const own = ownFormOf(from, { id: app.newId(), now: app.now() });
  const saved = await app.store.of(FORMS).save(own, null);
  if (saved.kind === 'saved') return own.id;
  const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
  app.notices.trouble('The form was not kept.', why);
  return null;
}

interface Props {
  readonly id: string;
  /** Where the solo goes when the form has gone. */
  readonly onRemoved: () => void;
  readonly onBack: (id: string) => void;
}

/** A form of the user's own, written in numerals. */
export function OwnFormFields({ id, onRemoved, onBack }: Props) {
  const app = useApp();
  const edits = useRecord(FORMS, id);
  if (edits === null) return null;
  const { value: form, change } = edits;
  const remove = async () => {
    const gone = await app.store.of(FORMS).remove([id]);
    if (gone.kind !== 'done') {
      app.notices.trouble('The form was not removed.', refusalInWords(gone));
      return;
    }
    onRemoved();
    app.notices.done(`“${titleOf(form)}” was removed.`, {
      label: 'Undo',
      run: () =>
        void app.store
          .of(FORMS)
          .restore([id])
          .then(() => onBack(id)),
    });
  };
  return (
    <section className="own-form" aria-label="The form">
      <div className="solo-fields">
        <label>
          <span>Title of the form</span>
          <input
            type="text"
            value={form.meta.title}
            maxLength={500}
            onChange={(e) =>
              change({ ...form, meta: { ...form.meta, title: e.target.value } }, 'title')
            }
          />
        </label>
        <Course edits={edits} />
      </div>
      <ol className="form-sections">
        {form.sections.map((_, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: sections have no name of their own
          <Section key={i} edits={edits} at={i} />
        ))}
      </ol>
      <p className="quiet">
        Numerals by bars: <code>I7 | IV7 | I7 V7</code>; several in a bar share its beats, and{' '}
        <code>%</code> is the bar before. A section called intro is played once, and one called
        ending takes the place of one called turnaround in the last chorus.
      </p>
      <p className="buttons">
        <button
          type="button"
          onClick={() =>
            change(withSection(form, form.sections.length, { name: '', bars: 'I7 | I7 | I7 | I7' }))
          }
        >
          Add a section
        </button>
        <button type="button" disabled={!edits.canUndo} onClick={edits.undo}>
          Undo in the form
        </button>
        <button type="button" disabled={!edits.canRedo} onClick={edits.redo}>
          Do again in the form
        </button>
        <button type="button" onClick={() => void remove()}>
          Remove the form
        </button>
      </p>
      <PastLink id={id} />
      <RecordSaving
        edits={edits}
        noun="form"
        addressOf={(f) => `#/solo?form=${encodeURIComponent(f.id)}`}
        titleOf={titleOf}
      />
    </section>
  );
}

function PastLink({ id }: { readonly id: string }) {
  return (
    <p>
      <a className="alone" href={addressOf({ page: 'past', of: 'form', id, query: {} })}>
        Earlier versions of this form
      </a>
    </p>
  );
}

const titleOf = ({ meta }: OwnForm) => (meta.title.trim() === '' ? 'Untitled form' : meta.title);

/** Mode, metre, feel and tempo. */
function Course({ edits }: { readonly edits: RecordEdits<OwnForm> }) {
  const { value: form, change } = edits;
  return (
    <>
      <Choice
        label="Numerals in"
        value={form.mode}
        values={['major', 'minor', 'blues'] satisfies Mode[]}
        words={{ major: 'major', minor: 'minor', blues: 'blues' }}
        onChange={(mode) => change({ ...form, mode })}
      />
      <CourseFields
        form={form}
        onChange={(wish) => {
          const { meter, feel, tempo } = formPlayed(formOfOwn(form), wish);
          change({ ...form, meter, feel, tempo }, wish.bpm === undefined ? undefined : 'tempo');
        }}
      />
    </>
  );
}

function tooLong(form: OwnForm, at: number, text: string): Problem | null {
  const { sections } = withSection(form, at, { name: '', bars: text });
  const bars = barCount({ sections });
  if (bars <= MOST_FORM_BARS) return null;
  return {
    message: `the form would have ${bars} bars, and at most ${MOST_FORM_BARS} are laid out`,
  };
}

function Section({ edits, at }: { readonly edits: RecordEdits<OwnForm>; readonly at: number }) {
  const { value: form, change } = edits;
  const section = form.sections[at]!;
  const [typed, setTyped] = useState<string | null>(null);
  const id = useId();
  const text = typed ?? section.bars;
  const problem = numeralProblems(text, form.mode, form.meter)[0] ?? tooLong(form, at, text);
  const name = section.name === '' ? `section ${at + 1}` : section.name;
  return (
    <li>
      <label>
        <span>Section</span>
        <input
          type="text"
          value={section.name}
          maxLength={100}
          placeholder="A, intro, ending"
          onChange={(e) =>
            change(withSection(form, at, { ...section, name: e.target.value }), `name ${at}`)
          }
        />
      </label>
      <label className="form-numerals">
        <span>Bars of {name}</span>
        <input
          type="text"
          value={text}
          maxLength={LONGEST_SECTION}
          spellCheck={false}
          autoComplete="off"
          aria-invalid={problem !== null}
          aria-describedby={id}
          onChange={(e) => {
            const next = e.target.value;
            const fine =
              numeralProblems(next, form.mode, form.meter).length === 0 &&
              tooLong(form, at, next) === null;
            // What makes no sense yet stays in the field; what does is kept, with every bar written out.
            const bars = writtenOut(next);
            setTyped(fine && bars === next ? null : next);
            if (fine) change(withSection(form, at, { ...section, bars }), `bars ${at}`);
          }}
          onBlur={() => {
            if (problem === null) setTyped(null);
          }}
        />
        <span id={id} role="status" className="form-wrong">
          {problem === null ? null : (
            <>
              <span className="form-caret" aria-hidden="true">
                {' '.repeat((problem.column ?? 1) - 1)}▲
              </span>
              {problemText(problem)} Until then these bars stay as they were.
            </>
          )}
        </span>
      </label>
      <span className="buttons">
        <button
          type="button"
          disabled={at === 0}
          onClick={() => change(shiftSection(form, at, -1))}
        >
          Up <span className="unseen">{name}</span>
        </button>
        <button
          type="button"
          disabled={form.sections.length === 1}
          onClick={() => change(withoutSection(form, at))}
        >
          Take out <span className="unseen">{name}</span>
        </button>
      </span>
    </li>
  );
}

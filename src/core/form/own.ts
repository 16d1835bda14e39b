import { headOf, type RecordBirth } from '../phrase/record';
import { FORM_VERSION, type Form, type OwnForm } from './types';

/** What makes a form a new one; its title comes from the form it begins as. */
export type FormBirth = Omit<RecordBirth, 'title'>;

/** A form of the user's own that begins as another. */
export function ownFormOf(form: Form, birth: FormBirth): OwnForm {
  const { mode, meter, feel, tempo, sections } = form;
  return {
    ...headOf('degreewise-form', FORM_VERSION, { ...birth, title: `My ${form.title}` }),
    mode,
    meter,
    feel,
    tempo,
    sections,
  };
}

/** A form that was taken along without its times, as a library keeps it: the other way round is `formOfOwn`. */
export function ownOfForm({ id, title, ...form }: Form, now: string): OwnForm {
  return { ...headOf('degreewise-form', FORM_VERSION, { id, now, title }), ...form };
}

/** The form with a section changed, or a new one at its end where there is none of that number. */
export function withSection(
  form: OwnForm,
  at: number,
  section: OwnForm['sections'][number],
): OwnForm {
  const [first, ...rest] = form.sections;
  if (at === 0) return { ...form, sections: [section, ...rest] };
  const changed = rest.map((s, i) => (i + 1 === at ? section : s));
  return { ...form, sections: [first, ...changed, ...(at > rest.length ? [section] : [])] };
}

/** The form without a section; the only one stays. */
export function withoutSection(form: OwnForm, at: number): OwnForm {
  const [first, ...rest] = form.sections.filter((_, i) => i !== at);
  return first === undefined ? form : { ...form, sections: [first, ...rest] };
}

/** The form with a section so many places further down, or up. */
export function shiftSection(form: OwnForm, at: number, by: number): OwnForm {
  const to = at + by;
  const moved = form.sections[at];
  if (moved === undefined || to < 0 || to >= form.sections.length) return form;
  const rest = form.sections.filter((_, i) => i !== at);
  const [first, ...more] = [...rest.slice(0, to), moved, ...rest.slice(to)];
  return { ...form, sections: [first!, ...more] };
}

import { formsNamed, formsOnce } from '../../core/form/named';
import { STANDARD_FORMS, standardFormCalled } from '../../core/form/standard';
import { type Form, formOfOwn, type OwnForm } from '../../core/form/types';
import { feelName } from '../../core/library/level-and-feel';
import type { Thing } from '../../io/kinds/kind';
import { FORMS } from '../../io/kinds/kinds';
import { typesetText } from '../../io/text/signs';
import { readSource, type Source } from '../input';
import { ofKind } from '../of-kind';
import type { Shell } from '../shell';
import { count, perhaps } from '../words';

/** The forms of the user's own in a file. */
export interface FormsOfFile {
  readonly file: string;
  readonly forms: readonly OwnForm[];
}

/** Prints the standard forms and those of files, four bars a line, or lists them as JSON. */
export function printForms(shell: Shell, json: boolean, files: readonly FormsOfFile[]): void {
  const own = files.flatMap(({ file, forms }) =>
    formsOnce(forms).map((f) => ({ file, ...formOfOwn(f) })),
  );
  if (json) {
    shell.print(`${JSON.stringify({ forms: [...STANDARD_FORMS, ...own] }, null, 2)}\n`);
    return;
  }
  const texts = [
    ...STANDARD_FORMS.map((f) => `${f.id}: ${f.title}, ${formText(f)}`),
    ...own.map((f) => `"${f.title.trim() === '' ? f.id : f.title}" in ${f.file}: ${formText(f)}`),
  ];
  shell.print(texts.join('\n'));
}

const BARS_A_LINE = 4;

function formText(f: Form): string {
  const meter = `${f.meter.beats}/${f.meter.beatType}`;
  const width = Math.max(2, ...f.sections.map((s) => s.name.length)) + 1;
  const rows = f.sections.flatMap(({ name, bars }) => {
    const cells = typesetText(bars)
      .split('|')
      .map((b) => b.trim().padEnd(10));
    return Array.from({ length: Math.ceil(cells.length / BARS_A_LINE) }, (_, i) => {
      const line = cells.slice(BARS_A_LINE * i, BARS_A_LINE * (i + 1)).join('| ');
      return `  ${(i === 0 ? name : '').padEnd(width)}${line.trimEnd()}\n`;
    });
  });
  return `${f.mode}, ${meter}, ${feelName(f.feel)}, ${f.tempo.bpm}\n${rows.join('')}`;
}

/** The form of a file; null where there is none, which is told. */
export async function readForm(shell: Shell, path: string): Promise<Form | null> {
  const source = await readSource(shell.io, path, {});
  if (!source.ok) {
    shell.refuse(path, source.problems);
    return null;
  }
  const found = formsOnce(ofKind(source.value.others ?? [], FORMS));
  const [form] = found;
  if (form !== undefined && found.length === 1) return formOfOwn(form);
  const message =
    form === undefined
      ? `there is no song form here${insteadIn(source.value)}`
      : 'there are several forms here';
  const fix =
    form === undefined
      ? "Name a file (.json) that holds one form, or a form that is listed by 'degreewise forms'; where phrases are is said by --from."
      : `Take the file with --from, and one of ${titlesOf(found)} with --form.`;
  shell.refuse(path, [{ message, fix }]);
  return null;
}

/** What a file holds that was to hold a form. */
function insteadIn({ phrases, others = [] }: Source): string {
  if (phrases.length > 0) return `, but ${count(phrases.length, 'phrase')}`;
  const [other] = others;
  return other === undefined ? '' : `, but a ${other.kind.noun}`;
}

/** The form that a name means among what files hold; null where it means none or several, which is told. */
export function ownFormNamed(shell: Shell, name: string, others: readonly Thing[]): Form | null {
  const forms = ofKind(others, FORMS);
  const found = formsNamed(forms, name);
  const [form] = found;
  if (form !== undefined && found.length === 1) return formOfOwn(form);
  const standard = form === undefined ? standardFormCalled(name) : undefined;
  if (standard !== undefined) return standard;
  const short = STANDARD_FORMS.map((f) => f.id);
  const names = short.join(', ');
  const ids = found.map((f) => f.id);
  shell.misuse(
    form === undefined
      ? {
          message: `there is no form '${name}'`,
          fix: `${perhaps(name, short)}Add --form and one of ${names}${forms.length === 0 ? '' : `, ${titlesOf(forms)}`}, or a .json file with a form; 'degreewise forms' shows them.`,
        }
      : new Set(ids).size < ids.length
        ? {
            message: `there are ${found.length} versions of the form '${name}'`,
            fix: 'Write the one that is meant into a file of its own (.json), and name that with --form.',
          }
        : {
            message: `${found.length} forms are called '${name}'`,
            fix: `Name it by its id: ${ids.join(', ')}.`,
          },
  );
  return null;
}

/** So many titles are told. */
const MOST_TITLES = 10;

function titlesOf(forms: readonly OwnForm[]): string {
  const titles = [...new Set(forms.map((f) => (f.meta.title.trim() === '' ? f.id : f.meta.title)))];
  const more = titles.length - MOST_TITLES;
  const shown = titles.slice(0, MOST_TITLES).map((t) => `'${t}'`);
  return `${shown.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

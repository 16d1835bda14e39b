import { useSyncExternalStore } from 'react';
import { barCount } from '../../core/form/numerals';
import type { OwnForm } from '../../core/form/types';
import { FORMS } from '../../io/kinds/kinds';
import { useApp } from '../frame/app-context';
import { restoreThings } from '../frame/keep-and-remove';
import { addressOf } from '../frame/route';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';
import { type RecordRow, RecordSection } from './record-list';

/** The song forms of the user's own, each on its way to the page of solos; nothing where there is none. */
export function FormList() {
  const { store, notices } = useApp();
  const all = store.of(FORMS);
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => all.all(),
  );
  const forms = stored.map((s) => s.value).sort((a, b) => titleOf(a).localeCompare(titleOf(b)));
  const remove = async (form: OwnForm) => {
    const gone = await all.remove([form.id]);
    if (gone.kind !== 'done') {
      notices.trouble('The form was not removed.', refusalInWords(gone));
      return false;
    }
    notices.done(`“${titleOf(form)}” was removed.`, {
      label: 'Undo',
      run: () => void restoreThings({ store, notices }, [{ kind: FORMS, id: form.id }]),
    });
    return true;
  };
  const rows = forms.map(
    (f): RecordRow => ({
      id: f.id,
      title: titleOf(f),
      href: addressOf({ page: 'solo', query: { form: f.id } }),
      facts: count(barCount(f), 'bar'),
      past: addressOf({ page: 'past', of: 'form', id: f.id, query: {} }),
      removes: titleOf(f),
      remove: () => remove(f),
    }),
  );
  return <RecordSection id="own-forms" title="Song forms of your own" rows={rows} />;
}

const titleOf = ({ meta }: OwnForm) => (meta.title.trim() === '' ? 'Untitled form' : meta.title);

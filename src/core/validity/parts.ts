import type { Phrase } from '../phrase/types';
import type { Findings } from './findings';

/** What a phrase was put together from: each part has a source of its own and notes that no other has. */
export function checkParts(p: Phrase, out: Findings): void {
  if (p.parts === undefined) return;
  p.parts.forEach((part, i) => {
    if (part.source !== p.id) return;
    out.add({
      pointer: `/parts/${i}/source`,
      message: 'the phrase is named as the source of its own part',
      fix: 'Write the id of the phrase that the part was made of.',
    });
  });
  // In this order what begins with another follows it, or follows what begins with it.
  const order = p.parts.map(({ notes }, i) => ({ notes, i })).sort(byNotes);
  order.forEach(({ notes, i }, k) => {
    const before = order[k - 1];
    if (before === undefined || !notes.startsWith(before.notes)) return;
    out.add({
      pointer: `/parts/${i}/notes`,
      message: `'${notes}' begins as '${before.notes}' of another part does`,
      fix: 'Give each part notes that begin otherwise.',
    });
  });
}

function byNotes(a: { readonly notes: string }, b: { readonly notes: string }): number {
  return a.notes < b.notes ? -1 : a.notes > b.notes ? 1 : 0;
}

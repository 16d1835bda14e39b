import type { Phrase } from '../../phrase/types';
import type { TextField } from '../query/types';

/** What one field of a phrase says, as it is written; none where it says nothing. */
export function textsOf({ meta }: Phrase, field: TextField): readonly string[] {
  switch (field) {
    case 'title':
      return [meta.title];
    case 'tag':
      return meta.tags;
    case 'style':
      return meta.styleOf === undefined ? [] : [meta.styleOf];
    case 'source':
      return meta.source === undefined ? [] : [meta.source];
    case 'remarks':
      return meta.notes === undefined ? [] : [meta.notes];
  }
}

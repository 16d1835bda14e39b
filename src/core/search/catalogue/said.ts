import { longs } from './column';
import type { Sheet } from './sheet';
import type { Words } from './words';

/**
 * The words of title, tags and notes of each phrase as numbers of the vocabulary, all phrases one after the other: what tells
 * how well a question fits looks at nothing else. Words of signs alone are left out.
 */
export class Said {
  readonly words = longs();
  /** Where the words of the title end, of tags and style, and of notes and source: three numbers a phrase. */
  readonly ends = longs();

  /** Nothing is said of a phrase that is gone. */
  add(entry: Pick<Sheet, 'said'> | null, vocabulary: Words): void {
    const { title, tag, style, remarks, source } = entry?.said ?? NOTHING;
    for (const texts of [title, [...tag, ...style], [...remarks, ...source]]) {
      for (const text of texts) {
        for (const word of text.split(' ')) {
          const n = vocabulary.numberOf(word);
          if (vocabulary.bare[n] !== '') this.words.push(n);
        }
      }
      this.ends.push(this.words.length);
    }
  }
}

const NOTHING: Sheet['said'] = { title: [], tag: [], style: [], remarks: [], source: [] };

import { distance } from 'fastest-levenshtein';
import { sheetOf } from '../../../core/search/catalogue/sheet';
import { Finder } from '../../../core/search/finder';
import type { Answers, FromIndex, Question, ToIndex } from './messages';

const finder = new Finder(distance);

self.addEventListener('message', ({ data }: MessageEvent<ToIndex>) => {
  switch (data.kind) {
    case 'holds':
      return tell({ kind: 'wants', ids: idsOf(data.lines) });
    case 'put':
      for (const { phrase } of data.phrases) finder.put(sheetOf(phrase));
      return tell({ kind: 'taken' });
    case 'drop':
      for (const id of data.ids.split(' ')) finder.delete(id);
      return;
    case 'in step':
      return;
    case 'ask':
      return tell({ kind: 'answer', number: data.number, answer: answerTo(data.question) });
  }
});

function tell(message: FromIndex): void {
  self.postMessage(message);
}

function answerTo(q: Question): Answers[Question['kind']] {
  switch (q.kind) {
    case 'find': {
      const found = finder.ask(q.text, q.order);
      if (!found.ok) return found;
      return { ok: true, value: { ...found.value, ids: found.value.ids.join(' ') } };
    }
    case 'like':
      return finder.like(q.id, q.most);
    case 'twins':
      return finder.twins(q.begin, q.many);
  }
}

function idsOf(lines: string): string {
  return lines
    .split('\n')
    .map((line) => line.slice(0, line.indexOf(' ')))
    .join(' ');
}

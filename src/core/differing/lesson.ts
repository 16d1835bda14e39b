import { type Lesson, type LessonItem, phrasesOfItem } from '../lesson/types';
import { sameData } from '../phrase/same';
import { formDifferences } from './form';
import { phraseDifferences } from './phrase';
import { both, differingFields, fieldOf, type Known, quoted, texts } from './words';

/** What differs between two versions of a lesson, but for its title and dates. */
export function lessonDifferences(a: Lesson, b: Lesson, { sides }: Known): readonly string[] {
  const [inA, inB] = [itemsOf(a), itemsOf(b)];
  const intro =
    a.meta.intro === b.meta.intro ? [] : [texts('what it is for', a.meta.intro, b.meta.intro)];
  const gone = a.items.flatMap((item, i) =>
    inB.has(item.id) ? [] : [`item ${i + 1}, ${nameOf(a, item)}: ${sides.onlyA}`],
  );
  const came = b.items.flatMap((item, i) =>
    inA.has(item.id) ? [] : [`item ${i + 1}, ${nameOf(b, item)}: ${sides.onlyB}`],
  );
  const order = (items: Lesson['items'], other: Items) =>
    items.filter((i) => other.has(i.id)).map((i) => i.id);
  const moved = sameData(order(a.items, inB), order(b.items, inA)) ? [] : ['order of the items'];
  const changed = a.items.flatMap((item, i) => {
    const next = inB.get(item.id);
    return next === undefined ? [] : itemDifferences(a, item, b, next, i + 1);
  });
  return [...intro, ...gone, ...came, ...moved, ...changed, ...phrasesOf(a, b, sides)];
}

type Items = ReadonlyMap<string, LessonItem>;

const itemsOf = (l: Lesson): Items => new Map(l.items.map((i) => [i.id, i]));

const KIND_WORDS: Readonly<Record<LessonItem['kind'], string>> = {
  text: 'text',
  phrase: 'phrase',
  pair: 'before and after a move',
  neck: 'neck',
  shapes: 'shapes of chords',
  form: 'song form',
  solo: 'solo',
  rounds: 'exercise through keys',
  gaps: 'exercise with gaps',
  degrees: 'exercise on degrees',
  answer: 'exercise in answering',
};

/** `text 'What for'`, `phrase 'Stair'`. */
function nameOf(lesson: Lesson, item: LessonItem): string {
  const title = 'phrase' in item ? titleIn(lesson, item.phrase) : null;
  const own = item.heading ?? title ?? (item.kind === 'form' ? item.form.title : null);
  return own === null ? KIND_WORDS[item.kind] : `${KIND_WORDS[item.kind]} ${quoted(own)}`;
}

function titleIn({ phrases }: Lesson, id: string): string {
  return phrases.find((p) => p.id === id)?.meta.title ?? '';
}

/** What fields of items are called; a place follows. */
const FIELDS: Readonly<Record<string, string>> = {
  todo: 'what to do',
  chords: 'chords',
  shape: 'kind of shape',
  near: 'fret',
  shows: 'what the neck shows',
  instrument: 'instrument',
  tonic: 'key',
  parts: 'where the parts come from',
  comping: 'accompaniment',
  cycle: 'keys',
  every: 'how many notes are left out',
  from: 'where degrees count from',
  move: 'move',
};

function itemDifferences(
  a: Lesson,
  x: LessonItem,
  b: Lesson,
  y: LessonItem,
  place: number,
): readonly string[] {
  const at = `of item ${place}`;
  const kind =
    x.kind === y.kind ? [] : [both(`kind ${at}`, KIND_WORDS[x.kind], KIND_WORDS[y.kind])];
  const rest = differingFields(x, y).flatMap((field): readonly string[] => {
    const [p, q] = [fieldOf(x, field), fieldOf(y, field)];
    switch (field) {
      case 'kind':
        return [];
      case 'heading':
      case 'text':
      case 'todo':
        return [texts(`${FIELDS[field] ?? field} ${at}`, text(p), text(q))];
      case 'phrase': {
        const [s, t] = [titleIn(a, String(p)), titleIn(b, String(q))];
        return [both(`phrase ${at} is another`, quoted(s), quoted(t))];
      }
      case 'form':
        if (x.kind !== 'form' || y.kind !== 'form') return [];
        return [
          ...(x.form.title === y.form.title
            ? []
            : [both(`form ${at}`, quoted(x.form.title), quoted(y.form.title))]),
          ...formDifferences(x.form, y.form).map((said) => `form ${at}: ${said}`),
        ];
      case 'near':
      case 'every':
      case 'from':
      case 'shape':
      case 'shows':
        return [both(`${FIELDS[field]} ${at}`, text(p) ?? 'none', text(q) ?? 'none')];
      default:
        return [`${FIELDS[field] ?? field} ${at}`];
    }
  });
  // Of another kind it has other fields: that it is of another kind says so.
  return kind.length > 0 ? kind : rest.length > 0 || sameData(x, y) ? rest : [`item ${place}`];
}

const text = (value: unknown): string | undefined =>
  value === undefined ? undefined : String(value);

/** What differs inside the phrases that both hold, and those that no item speaks of. */
function phrasesOf(a: Lesson, b: Lesson, sides: Known['sides']): readonly string[] {
  const other = new Map(b.phrases.map((p) => [p.id, p]));
  const inside = a.phrases.flatMap((p) => {
    const q = other.get(p.id);
    if (q === undefined || p === q) return [];
    const said = phraseDifferences(p, q);
    return said.length === 0 ? [] : [`in the phrase ${quoted(p.meta.title)}: ${said.join(', ')}`];
  });
  return [...inside, ...alone(a, b, sides.onlyA), ...alone(b, a, sides.onlyB)];
}

/** Where an item speaks of it, what became of the item says what became of it. */
function alone(from: Lesson, to: Lesson, word: string): readonly string[] {
  const named = new Set(from.items.flatMap(phrasesOfItem));
  const there = new Set(to.phrases.map((p) => p.id));
  return from.phrases.flatMap((p) =>
    there.has(p.id) || named.has(p.id) ? [] : [`phrase ${quoted(p.meta.title)}: ${word}`],
  );
}

import { distance } from 'fastest-levenshtein';
import { NOTHING_AROUND } from '../../../core/library/around';
import { ok, type Result } from '../../../core/result';
import { alikeLine } from '../../../core/search/alike/line';
import { sheetOf } from '../../../core/search/catalogue/sheet';
import { type Answered, type Begun, Finder } from '../../../core/search/finder';
import { keepCatalogue } from '../../../io/search-index/keep';
import { packIds } from './id-list';
import { readIndex, writeIndex } from './index-file';
import type { Answers, FromIndex, Question, ToIndex } from './messages';

let finder = new Finder(distance);
let around = NOTHING_AROUND;
/** What tells the states of the phrases apart that are in the index, by id. */
let stamps = new Map<string, string>();
/** Grows whenever phrases come, change or go. */
let edits = 0;
/** Changes since the index was written to the disk. */
let changes = 0;
let timer: ReturnType<typeof setTimeout> | undefined;

/** Milliseconds without a change before the index is written. */
const REST = 4000;
/** So many changes, and so large a part of the library, are sooner read anew than written. */
const FEW = 20;
const PART = 0.02;

/** What comes while the index is being read has to wait. */
let turn: Promise<void> = Promise.resolve();

self.addEventListener('message', ({ data }: MessageEvent<ToIndex>) => {
  inTurn(() => take(data));
});

/** Does one thing after the other; what throws is told to the page (`Worker.onerror`), and the next has its turn. */
function inTurn(work: () => void | Promise<void>): void {
  turn = turn.then(work).catch(reportError);
}

async function take(data: ToIndex): Promise<void> {
  switch (data.kind) {
    case 'holds':
      return tell({ kind: 'wants', ids: (await begin(data.lines)).join(' ') });
    case 'around':
      around = data.around;
      finder.setAround(around);
      return;
    case 'put':
      for (const { phrase, stamp } of data.phrases) {
        finder.put(sheetOf(phrase));
        stamps.set(phrase.id, stamp);
      }
      changed(data.phrases.length);
      return tell({ kind: 'taken' });
    case 'drop': {
      const ids = data.ids.split(' ');
      for (const id of ids) {
        finder.delete(id);
        stamps.delete(id);
      }
      return changed(ids.length);
    }
    case 'ask': {
      const { number, question } = data;
      if (question.kind === 'find') {
        find(number, question);
        return;
      }
      const answer = () => tell({ kind: 'answer', number, answer: answerTo(question) });
      if (finder.readLikeness(0)) return answer();
      // What is typed meanwhile is answered meanwhile.
      likenessRead().then(() => inTurn(answer), reportError);
    }
  }
}

/** Milliseconds of reading likeness between two chances for other questions, so many phrases at a time. */
const SLICE = 20;
const AT_A_TIME = 32;

let reading: Promise<void> | null = null;

/** How every phrase goes has been read, in slices. */
function likenessRead(): Promise<void> {
  reading ??= (async () => {
    for (;;) {
      const end = performance.now() + SLICE;
      while (performance.now() < end) {
        if (!finder.readLikeness(AT_A_TIME)) continue;
        reading = null;
        return;
      }
      await new Promise((resolve) => setTimeout(resolve));
    }
  })();
  return reading;
}

function tell(message: FromIndex): void {
  self.postMessage(message);
}

type Find = Question & { readonly kind: 'find' };

/** Milliseconds in which most questions are answered; of the others the beginning is told first. */
const AT_ONCE = 12;
/** So many fill a screen of lines and some more. */
const FIRST = 120;

/** Answers what is asked in the field: what takes long in slices, so that what is typed meanwhile is answered meanwhile. */
function find(number: number, q: Find): void {
  const begun = finder.begin(q.text, q.order);
  const found = begun.ok ? findAll(number, q, begun.value) : Promise.resolve(begun);
  found.then((all) => tell({ kind: 'answer', number, answer: packed(all) }), reportError);
}

async function findAll(number: number, q: Find, begun: Begun): Promise<Result<Answered>> {
  const before = edits;
  let whole = goOn(begun, AT_ONCE);
  if (whole === null) {
    tell({ kind: 'first', number, answer: packed(ok(begun.first(FIRST))) });
  }
  while (whole === null) {
    await new Promise((resolve) => setTimeout(resolve));
    // Phrases came or went: what was found so far may be wrong.
    if (edits !== before) return finder.ask(q.text, q.order);
    whole = goOn(begun, SLICE);
  }
  return ok(whole);
}

function goOn(begun: Begun, time: number): Answered | null {
  const end = performance.now() + time;
  return begun.goOn(() => performance.now() > end);
}

function packed(found: Result<Answered>): Answers['find'] {
  return found.ok ? ok({ ...found.value, ids: packIds(found.value.ids) }) : found;
}

function answerTo(q: Exclude<Question, Find>): Answers[Exclude<Question['kind'], 'find'>] {
  switch (q.kind) {
    case 'like':
      return finder.like(q.id, q.most);
    case 'likeThis':
      return finder.likeLine(alikeLine(sheetOf(q.phrase)), q.most);
    case 'twins':
      return finder.twins(q.begin, q.many);
  }
}

/** Takes the index from the disk as far as it is still right. @returns ids of what it lacks. */
async function begin(lines: string): Promise<readonly string[]> {
  const kept = await readIndex();
  edits++;
  if (kept !== null) {
    finder = new Finder(distance, kept.catalogue);
    finder.setAround(around);
    stamps = new Map(kept.stamps);
    // What an older program kept costs seconds at each start of a large library: it is kept anew once.
    if (!kept.whole) changed(stamps.size);
  }
  const here = new Map(
    (lines === '' ? [] : lines.split('\n')).map((line) => {
      const [id = '', stamp = ''] = line.split(' ');
      return [id, stamp];
    }),
  );
  for (const [id, stamp] of [...stamps]) {
    if (here.get(id) === stamp) continue;
    finder.delete(id);
    stamps.delete(id);
    changes++;
  }
  return [...here.keys()].filter((id) => !stamps.has(id));
}

function changed(many: number): void {
  edits++;
  changes += many;
  clearTimeout(timer);
  timer = setTimeout(() => void keep(), REST);
}

async function keep(): Promise<void> {
  if (changes < Math.max(FEW, PART * stamps.size)) return;
  changes = 0;
  const fits = await writeIndex(() => keepCatalogue(finder.catalogue, stamps));
  tell({ kind: 'kept', fits });
}

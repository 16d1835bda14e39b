import type { NoteId, Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import type { Box } from '../../engrave/ink/box';
import { degreeLabels, usualView } from '../../publish/degree-labels';
import { loadEngraver } from '../score/engraver';
import { noScoreAwaited } from '../score/first-score';

/** Width in px for which first lines are engraved; cards scale them to their own. */
const WIDTH = 340;
/** Height of a staff space in px at that width. */
const SIZE = 7.4;
/** Milliseconds of engraving between two chances for the page to answer. */
const SLICE = 10;

const lines = new WeakMap<Phrase, string>();

/** The first line of a phrase as SVG text, if it was engraved before. */
export function cardLineIfKnown(p: Phrase): string | null {
  return lines.get(p) ?? null;
}

/** One line of a phrase with what is marked in it. */
export interface MarkedLine {
  readonly svg: string;
  /** In px of the line. */
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Box[];
}

interface Job {
  readonly phrase: Phrase;
  readonly draw: (engraver: Engraver) => void;
  readonly failed: () => void;
}

const queue = new Set<Job>();
let working = false;

/**
 * Engraves the first line of a phrase when its turn comes.
 * @param failed The engraver could not be fetched, or the phrase not be drawn.
 * @returns takes the order back.
 */
export function orderCardLine(
  phrase: Phrase,
  done: (svg: string) => void,
  failed: () => void,
): () => void {
  return order({ phrase, draw: (engraver) => done(firstLine(phrase, engraver)), failed });
}

/** Likewise the line in which the first of some notes stands, with the places of those notes. */
export function orderMarkedLine(
  phrase: Phrase,
  notes: ReadonlySet<NoteId>,
  done: (line: MarkedLine) => void,
  failed: () => void,
): () => void {
  return order({
    phrase,
    draw: (engraver) => done(markedLine(linesOf(phrase, engraver), notes, engraver)),
    failed,
  });
}

function order(job: Job): () => void {
  queue.add(job);
  if (!working) {
    working = true;
    void work();
  }
  return () => queue.delete(job);
}

async function work(): Promise<void> {
  try {
    const engraver = await loadEngraver();
    while (queue.size > 0) {
      const end = performance.now() + SLICE;
      for (const job of queue) {
        queue.delete(job);
        drawOne(job, engraver);
        if (performance.now() > end) break;
      }
      await new Promise((resolve) => setTimeout(resolve));
    }
  } catch {
    for (const job of queue) job.failed();
    noScoreAwaited();
    queue.clear();
  } finally {
    working = false;
  }
}

/** What cannot be drawn says so itself, and keeps nothing else from being drawn. */
function drawOne(job: Job, engraver: Engraver): void {
  try {
    job.draw(engraver);
  } catch {
    job.failed();
    noScoreAwaited();
  }
}

type Engraver = Awaited<ReturnType<typeof loadEngraver>>;
type Drawn = ReturnType<Engraver['engrave']>;

function firstLine(phrase: Phrase, engraver: Engraver): string {
  const before = lines.get(phrase);
  if (before !== undefined) return before;
  const [first] = drawn(phrase, engraver);
  if (first === undefined) throw new RangeError('a phrase has at least one line');
  const svg = engraver.flat(first.svg);
  lines.set(phrase, svg);
  return svg;
}

function drawn(phrase: Phrase, engraver: Engraver): Drawn {
  const analysis = analyse(phrase);
  const degrees = degreeLabels(analysis, usualView(analysis));
  return engraver.engrave(phrase, {
    width: WIDTH,
    size: SIZE,
    tempo: false,
    barNumbers: false,
    ...(degrees === null ? {} : { degrees }),
  });
}

/** Phrases whose lines are kept with their places: those that are marked anew with each key typed. */
const MOST_KEPT = 48;
const kept = new Map<Phrase, Drawn>();

function linesOf(phrase: Phrase, engraver: Engraver): Drawn {
  const found = kept.get(phrase) ?? drawn(phrase, engraver);
  // The last used is the last to go.
  kept.delete(phrase);
  kept.set(phrase, found);
  for (const oldest of kept.keys()) {
    if (kept.size <= MOST_KEPT) break;
    kept.delete(oldest);
  }
  return found;
}

function markedLine(all: Drawn, notes: ReadonlySet<NoteId>, engraver: Engraver): MarkedLine {
  const has = (line: (typeof all)[number]) => line.hits.notes.some((n) => notes.has(n.id));
  const line = all.find(has) ?? all[0];
  if (line === undefined) throw new RangeError('a phrase has at least one line');
  const { svg, width, height, hits } = line;
  return {
    svg: engraver.flat(svg),
    width,
    height,
    marks: hits.notes.filter((n) => notes.has(n.id)),
  };
}

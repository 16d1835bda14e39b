import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import { degreeLabels, usualView } from '../../publish/degree-labels';
import { loadEngraver } from '../score/engraver';

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

interface Job {
  readonly phrase: Phrase;
  readonly done: (svg: string) => void;
  readonly failed: () => void;
}

const queue = new Set<Job>();
let working = false;

/**
 * Engraves the first line of a phrase when its turn comes.
 * @param failed The engraver could not be fetched.
 * @returns takes the order back.
 */
export function orderCardLine(
  phrase: Phrase,
  done: (svg: string) => void,
  failed: () => void,
): () => void {
  const job: Job = { phrase, done, failed };
  queue.add(job);
  if (!working) {
    working = true;
    void work();
  }
  return () => queue.delete(job);
}

async function work(): Promise<void> {
  try {
    const { engrave } = await loadEngraver();
    while (queue.size > 0) {
      const end = performance.now() + SLICE;
      for (const job of queue) {
        queue.delete(job);
        job.done(firstLine(job.phrase, engrave));
        if (performance.now() > end) break;
      }
      await new Promise((resolve) => setTimeout(resolve));
    }
  } catch {
    for (const job of queue) job.failed();
    queue.clear();
  } finally {
    working = false;
  }
}

type Engrave = Awaited<ReturnType<typeof loadEngraver>>['engrave'];

function firstLine(phrase: Phrase, engrave: Engrave): string {
  const before = lines.get(phrase);
  if (before !== undefined) return before;
  const analysis = analyse(phrase);
  const degrees = degreeLabels(analysis, usualView(analysis));
  const [first] = engrave(phrase, {
    width: WIDTH,
    size: SIZE,
    tempo: false,
    barNumbers: false,
    ...(degrees === null ? {} : { degrees }),
  });
  if (first === undefined) throw new RangeError('a phrase has at least one line');
  lines.set(phrase, first.svg);
  return first.svg;
}

import { type RefObject, useCallback, useEffect, useState } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { isPaperSize, PAPER_SIZES, type PaperSize } from '../../publish/lesson/sizes';
import { Choice } from '../frame/export/choice';
import { PAPER_NAMES, type Paper, readPaper } from '../shared/paper';
import { count } from '../shared/words';
import { countPages } from './page-count';

/** How a lesson is set on paper. */
export interface OnPaper {
  readonly paper: Paper;
  readonly size: PaperSize;
}

/** Milliseconds without a change after which pages are counted again. */
const REST = 300;
const PAPERS = Object.keys(PAPER_NAMES) as readonly Paper[];
const SIZES = Object.keys(PAPER_SIZES) as readonly PaperSize[];
const SIZE_WORDS = { large: 'large', middle: 'middle', small: 'small, most on a page' } as const;

/** How a lesson is set on paper: this device remembers the paper for all, and the size for each. */
export function useOnPaper(id: string): readonly [OnPaper, (next: OnPaper) => void] {
  const [now, setNow] = useState<OnPaper>(() => {
    const size = kept(sizeKey(id));
    return { paper: readPaper(kept(PAPER_KEY)), size: isPaperSize(size) ? size : 'large' };
  });
  const set = useCallback(
    (next: OnPaper) => {
      setNow(next);
      keep(PAPER_KEY, next.paper);
      keep(sizeKey(id), next.size);
    },
    [id],
  );
  return [now, set];
}

const PAPER_KEY = 'degreewise.lesson.paper';
const sizeKey = (id: string) => `degreewise.lesson.size.${id}`;

function kept(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    // Storage is switched off for this address: the choice lasts as long as the page.
    return null;
  }
}

function keep(key: string, text: string): void {
  try {
    localStorage.setItem(key, text);
  } catch {
    // As above.
  }
}

interface Props {
  readonly lesson: Lesson;
  readonly onPaper: OnPaper;
  readonly onChange: (next: OnPaper) => void;
  /** What is printed. */
  readonly printed: RefObject<HTMLElement | null>;
}

/** The paper, how large the lesson is set on it, and how many pages that makes. */
export function PaperFields({ lesson, onPaper, onChange, printed }: Props) {
  const { paper, size } = onPaper;
  const [pages, setPages] = useState<number | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: with what is printed, its pages change
  useEffect(() => {
    let gone = false;
    const timer = setTimeout(async () => {
      // In another type, lines would break elsewhere.
      await document.fonts.ready;
      if (!gone && printed.current !== null) setPages(countPages(printed.current, paper));
    }, REST);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [lesson, paper, size, printed]);
  const choose = (next: OnPaper) => {
    // What is chosen again is counted already.
    if (next.paper === paper && next.size === size) return;
    setPages(null);
    onChange(next);
  };
  return (
    <fieldset className="lesson-on-paper">
      <legend>On paper</legend>
      <Choice
        label="Paper"
        value={paper}
        values={PAPERS}
        words={PAPER_NAMES}
        onChange={(next) => choose({ paper: next, size })}
      />
      <Choice
        label="Size"
        value={size}
        values={SIZES}
        words={SIZE_WORDS}
        onChange={(next) => choose({ paper, size: next })}
      />
      <output>{pages === null ? 'Counting pages …' : `${count(pages, 'page')}.`}</output>
    </fieldset>
  );
}

import { useMemo } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { type RecordEdits, useRecord } from '../frame/record-edits';

export interface LessonEdits extends Omit<RecordEdits<Lesson>, 'value'> {
  readonly lesson: Lesson;
}

/** A lesson with its edits, each saved as it is made; null where the library has none. */
export function useLesson(id: string): LessonEdits | null {
  const edits = useRecord(LESSONS, id);
  return useMemo(() => (edits === null ? null : { ...edits, lesson: edits.value }), [edits]);
}

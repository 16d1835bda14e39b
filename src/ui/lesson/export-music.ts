import { musicOf } from '../../core/lesson/music';
import type { Lesson } from '../../core/lesson/types';
import { fileStem } from '../../publish/file-names';
import type { useExport } from '../frame/export/use-export';
import type { Notices } from '../frame/notices';

/** Asks how the music of a lesson is to be written; where there is none, says so, with why. */
export function exportMusic(
  lesson: Lesson,
  notices: Pick<Notices, 'trouble'>,
  open: ReturnType<typeof useExport>['open'],
): void {
  const { music, along, left } = musicOf(lesson);
  if (music.length > 0) open(music, { along, left, inOrder: fileStem(lesson.meta.title) });
  else
    notices.trouble('There is no music in the lesson that could be exported.', left.map(stopped));
}

const stopped = (line: string) => `${line}.`;

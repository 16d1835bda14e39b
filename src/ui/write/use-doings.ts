import { type ReactNode, useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { editsOf } from '../frame/edits';
import { useExport } from '../frame/export/use-export';
import { writeCopy } from '../frame/new-phrase';
import { navigate } from '../frame/use-route';

/** What the page can do with the phrase as a whole. */
export interface PageDoings {
  readonly onTitle: () => void;
  readonly toPrint: () => void;
  readonly toMove: () => void;
  readonly toVary: () => void;
  readonly toPage: () => void;
  readonly onExport: () => void;
  readonly onCopy: () => void;
}

/** What the page can do with its phrase, and the dialog of the export while it is open. */
export function useDoings(
  id: string,
  onTitle: () => void,
): { readonly doings: PageDoings; readonly exporting: ReactNode } {
  const { open, dialog } = useExport();
  const app = useApp();
  const doings = useMemo((): PageDoings => {
    /** As it stands at that moment, saved or not. */
    const withPhrase = (use: (p: Phrase) => void) => () => {
      const now = editsOf(app).phrase(id);
      if (now !== null) use(now);
    };
    return {
      onTitle,
      toPrint: () => navigate({ page: 'print', id, query: {} }),
      toMove: () => navigate({ page: 'move', id, query: {} }),
      toVary: () => navigate({ page: 'vary', id, query: {} }),
      toPage: () => navigate({ page: 'phrase', id, query: {} }),
      onExport: withPhrase((p) => open([p])),
      onCopy: withPhrase((p) => void writeCopy(app, p)),
    };
  }, [app, id, open, onTitle]);
  return { doings, exporting: dialog };
}

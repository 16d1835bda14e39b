import type { FileToRead, Importer, ImportState } from './importer';

/**
 * An importer that comes when the first file does: no page needs it before. Where it does not come,
 * the report says so.
 */
export function laterImporter<F extends FileToRead>(get: () => Promise<Importer<F>>): Importer<F> {
  let importer: Importer<F> | null = null;
  let state: ImportState = { kind: 'idle' };
  let stopped = false;
  const listeners = new Set<() => void>();
  const tell = () => {
    for (const changed of listeners) changed();
  };
  const set = (next: ImportState) => {
    state = next;
    tell();
  };
  const come = async (name: string, total: number): Promise<Importer<F> | null> => {
    if (importer !== null) return importer;
    if (state.kind === 'reading') return null;
    stopped = false;
    set({ kind: 'reading', name, done: 0, total, library: null });
    try {
      const come = await get();
      if (stopped) {
        set({ kind: 'idle' });
        return null;
      }
      importer = come;
      importer.subscribe(tell);
      state = { kind: 'idle' };
      return importer;
    } catch (reason) {
      const reasons = [reason instanceof Error ? reason.message : String(reason)];
      set({ kind: 'done', files: [{ kind: 'out', name, reasons }] });
      return null;
    }
  };
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    state: () => importer?.state() ?? state,
    take: async (files, choice) => {
      const [first] = files;
      if (first === undefined) return;
      await (await come(first.name, files.length))?.take(files, choice);
    },
    again: async (index, choice) => importer?.again(index, choice),
    stop: () => {
      stopped = true;
      importer?.stop();
    },
    dismiss: () => {
      if (importer === null) set({ kind: 'idle' });
      else importer.dismiss();
    },
  };
}

import { useEffect, useState } from 'react';
import { type App, useApp } from '../../frame/app-context';
import { navigate } from '../../frame/use-route';
import { onDemand } from '../../shared/on-demand';

const looking = onDemand('What looks into folders', () => import('./dropped-files'));

/** Takes files that are dropped anywhere; without it the browser would leave the app to show them. */
export function DropZone() {
  const app = useApp();
  const [over, setOver] = useState(false);
  useEffect(() => {
    const { importer } = app;
    const holdsFiles = (e: DragEvent) => e.dataTransfer?.types.includes('Files') ?? false;
    const onOver = (e: DragEvent) => {
      if (!holdsFiles(e)) return;
      e.preventDefault();
      setOver(true);
    };
    const onLeave = (e: DragEvent) => {
      if (e.relatedTarget === null) setOver(false);
    };
    const onDrop = (e: DragEvent) => {
      setOver(false);
      if (!holdsFiles(e)) return;
      e.preventDefault();
      navigate({ page: 'library', query: {} });
      // They are known only while the event is handled.
      const entries = [...(e.dataTransfer?.items ?? [])].flatMap((i) => i.webkitGetAsEntry() ?? []);
      const files = [...(e.dataTransfer?.files ?? [])];
      if (!entries.some((entry) => entry.isDirectory)) void importer.take(files);
      else void takeFolders(app, entries);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('dragleave', onLeave);
    window.addEventListener('drop', onDrop);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('dragleave', onLeave);
      window.removeEventListener('drop', onDrop);
    };
  }, [app]);
  return over ? <p className="drop-here">Let go to bring the phrases in</p> : null;
}

/** Brings in what is in folders that were dropped. */
async function takeFolders({ importer, notices }: App, entries: readonly FileSystemEntry[]) {
  try {
    const files = await (await looking.get()).droppedFiles(entries);
    if (files.length > 0) await importer.take(files);
    else notices.trouble('No file in the folder has an ending that is read here.');
  } catch (reason) {
    notices.trouble(reason instanceof Error ? reason.message : String(reason));
  }
}

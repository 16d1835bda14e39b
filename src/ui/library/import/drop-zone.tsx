import { useEffect, useState } from 'react';
import { useApp } from '../../frame/app-context';
import { navigate } from '../../frame/use-route';

/** Takes files that are dropped anywhere; without it the browser would leave the app to show them. */
export function DropZone() {
  const { importer } = useApp();
  const [over, setOver] = useState(false);
  useEffect(() => {
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
      void importer.take([...(e.dataTransfer?.files ?? [])]);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('dragleave', onLeave);
    window.addEventListener('drop', onDrop);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('dragleave', onLeave);
      window.removeEventListener('drop', onDrop);
    };
  }, [importer]);
  return over ? <p className="drop-here">Let go to bring the phrases in</p> : null;
}

import type { LibraryOut, OutFile } from '../../publish/publish';

/** Hands a file to the browser to save. */
export function saveFile(file: OutFile | LibraryOut<Blob>): void {
  const parts = 'parts' in file ? [...file.parts] : [file.content];
  const url = URL.createObjectURL(new Blob(parts, { type: file.type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = file.name;
  link.click();
  // The download has begun by then; the browser keeps what it needs.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

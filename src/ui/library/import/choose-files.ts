/** What the picker offers first; what a file really is, its content says. */
const ACCEPT =
  '.json,.html,.musicxml,.xml,.mxl,.mid,.midi,.quick,.txt,application/json,application/vnd.recordare.musicxml+xml';

/** Opens the system's file picker; resolves with nothing when it is put away. */
export function chooseFiles(): Promise<readonly File[]> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.multiple = true;
    input.accept = ACCEPT;
    input.addEventListener('change', () => resolve([...(input.files ?? [])]));
    input.addEventListener('cancel', () => resolve([]));
    input.click();
  });
}

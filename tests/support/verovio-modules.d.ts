/** The parts of verovio 6.3.0 that the tests call; the package carries no types. */
declare module 'verovio/wasm' {
  const createModule: () => Promise<object>;
  export default createModule;
}

declare module 'verovio/esm' {
  export const LOG_OFF: number;
  export function enableLog(level: number, module: object): void;
  export class VerovioToolkit {
    constructor(module: object);
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(data: string): boolean;
    getMEI(options?: Readonly<Record<string, unknown>>): string;
    renderToMIDI(): string;
    getMIDIValuesForElement(id: string): { readonly pitch?: number };
  }
}

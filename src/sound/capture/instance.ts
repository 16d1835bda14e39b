/** What every module of ours exports. */
export interface Instance {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
}

/** The part of the standard that is used; not every place that compiles this knows its types. */
interface WasmApi {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: unknown };
}

/**
 * A WebAssembly module made ready; null where it is too old for SIMD, or the policy of the page forbids it. Nothing is
 * lost then: there is TypeScript that does the same.
 * @param base64 The module.
 */
export function instanceOf<T extends Instance>(base64: string): T | null {
  const api = (globalThis as { readonly WebAssembly?: WasmApi }).WebAssembly;
  if (api === undefined) return null;
  try {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    return new api.Instance(new api.Module(bytes)).exports as T;
  } catch {
    return null;
  }
}

/** Made by `src/build/samples.ts`. */
declare module 'virtual:samples' {
  /** The files of `samples/` in the order of their names, without the white space between their tokens. */
  export const texts: readonly string[];
}

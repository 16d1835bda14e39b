/** Made by `src/build/lesson-page.ts`. */
declare module 'virtual:lesson-page' {
  /** What plays, without the tags around it, and its hash as a policy names it. */
  export const script: string;
  export const scriptHash: string;
  export const style: string;
  export const styleHash: string;
}

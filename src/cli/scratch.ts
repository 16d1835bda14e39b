/** Room for texts of which only their numbers are held, such as the phrases of large libraries. */
export interface Scratch {
  /** @returns the number under which the text is given back. */
  put(text: string): number;
  get(number: number): string;
  /** Nothing is given back after that. */
  end(): void;
}

/** In memory: for what is small, and where there is no disk. */
export function memoryScratch(): Scratch {
  const texts: string[] = [];
  return {
    put: (text) => texts.push(text) - 1,
    get: (number) => texts[number] ?? '',
    end: () => {
      texts.length = 0;
    },
  };
}

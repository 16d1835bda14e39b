import type { FontFile, Tools } from '../format';

/** A font of ours as it is declared inside a picture. */
export interface Font {
  readonly family: string;
  readonly weight: number;
  readonly file: FontFile;
}

export const FONTS: readonly Font[] = [
  { family: 'Degreewise Music', weight: 400, file: 'degreewise-music.woff2' },
  { family: 'Degreewise Text', weight: 400, file: 'degreewise-text.woff2' },
  { family: 'Degreewise Text', weight: 700, file: 'degreewise-text-bold.woff2' },
];

/** The fonts as style rules with the files inside, so that a picture looks the same anywhere. */
export async function fontRules(tools: Tools): Promise<string> {
  const rules = FONTS.map(
    async ({ family, weight, file }) =>
      `@font-face{font-family:'${family}';font-weight:${weight};` +
      `src:url(data:font/woff2;base64,${await tools.font(file)}) format('woff2')}`,
  );
  return (await Promise.all(rules)).join('');
}

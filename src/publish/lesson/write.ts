/// <reference path="./virtual-page.d.ts" />
import type { Lesson } from '../../core/lesson/types';
import { escapeXml } from '../svg/escape';
import { itemHtml, paragraphs } from './items';
import { MusicList } from './music';
import type { PaperSheet, PaperSize } from './sizes';

/** How a lesson is set. */
export interface PageLook {
  /** How large it is on paper. */
  readonly size?: PaperSize;
  /** The sheet it is printed on; what the printer has where absent. */
  readonly sheet?: PaperSheet;
  /** Whether it plays, and shows music for a phone as well; else it is for paper alone, with no script in it. */
  readonly plays?: boolean;
}

/**
 * A lesson as one HTML file that needs nothing else: engraving, necks, texts, and a script that plays. Its
 * policy allows that script, that style and the fonts inside, and no request. The lesson stands in it as
 * data, for a library to take it in again (`io/file`).
 */
export async function lessonPage(
  lesson: Lesson,
  { size = 'large', sheet, plays = true }: PageLook = {},
): Promise<string> {
  const { script, scriptHash, style, styleHash } = await import('virtual:lesson-page');
  const list = new MusicList(lesson, plays, size);
  const items = lesson.items.map((i) => itemHtml(lesson, i, list)).join('\n');
  const title = escapeXml(lesson.meta.title.trim() === '' ? 'Lesson' : lesson.meta.title);
  const intro = lesson.meta.intro === undefined ? '' : paragraphs(lesson.meta.intro);
  const policy = [
    "default-src 'none'",
    ...(plays ? [`script-src '${scriptHash}'`] : []),
    `style-src '${styleHash}'`,
    'font-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${style}</style>
</head>
<body${sheet === undefined ? '' : ` class="${sheet}"`}>
<div class="paper ${size}">
<div class="running" aria-hidden="true"><p>${title}</p></div>
<main>
<h1>${title}</h1>
${intro}${items.includes('data-music=') ? HINTS : ''}
<p id="trouble" role="alert"></p>
${items}
<footer><p>Warm up, take breaks, keep the volume moderate; stop when it hurts and ask a teacher or clinician.</p></footer>
</main>
</div>
<script type="application/json" id="degreewise-lesson">${dataText(lesson)}</script>
${plays ? playing(list, script) : ''}</body>
</html>
`;
}

/** What is heard, and the script that plays it. */
function playing(list: MusicList, script: string): string {
  return `${CONTROLS}
<script type="application/json" id="degreewise-moved">${dataText(list.moved)}</script>
<script>${script}</script>
`;
}

const CONTROLS = `<div class="controls" role="region" aria-label="How it is played">
<label for="speed">Speed <input type="range" id="speed" min="40" max="120" step="5" value="100"></label>
<output id="percent" for="speed">100 %</output>
<label><input type="checkbox" id="loop"> Over and over</label>
<label><input type="checkbox" id="click"> Metronome</label>
<label><input type="checkbox" id="count"> Count in</label>
</div>`;

/** The second is taken away by the script: a mail program that shows the page may run none. */
const HINTS = `
<p class="quiet on-screen">Press a note to hear it and to see what it is. Some bars can be played alone: choose them beside Play, or press and drag over them.</p>
<p class="on-screen" id="silent">Nothing can be played where this is shown. Save the page, and open it in a browser.</p>`;

/** JSON that does not end the element it stands in. */
function dataText(value: unknown): string {
  return JSON.stringify(value).replaceAll('<', '\\u003c');
}

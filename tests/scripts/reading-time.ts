/**
 * How the time of reading grows: CPU time at 1,000 and 10,000 bars, and voices, and their ratio. Ten
 * times as much may take about ten times as long: `npx tsx tests/scripts/reading-time.ts`.
 */
import { readMusicXml } from '../../src/io/musicxml/read/read-musicxml';
import { readQuick } from '../../src/io/quick/read';
import { readTextTab } from '../../src/io/text-tab/read/read-text-tab';

const NOW = '2026-11-27T10:00:00Z';

const note = (voice: number, step: string) =>
  `<note><pitch><step>${step}</step><octave>4</octave></pitch><duration>1</duration><voice>${voice}</voice></note>`;
const score = (measures: string) =>
  `<score-partwise><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list><part id="P1">${measures}</part></score-partwise>`;
const ATTRIBUTES = '<attributes><divisions>1</divisions></attributes>';
const repeat = (n: number, of: (i: number) => string) =>
  Array.from({ length: n }, (_, i) => of(i)).join('');

const musicXmlBars = (n: number) =>
  score(
    repeat(
      n,
      (i) =>
        `<measure>${i === 0 ? ATTRIBUTES : ''}${['C', 'E', 'G', 'E'].map((s) => note(1, s)).join('')}</measure>`,
    ),
  );
const musicXmlVoices = (n: number) =>
  score(
    `<measure>${ATTRIBUTES}${repeat(n, (v) => `${v === 0 ? '' : '<backup><duration>1</duration></backup>'}${note(v + 1, 'CDEFGAB'[v % 7]!)}`)}</measure>`,
  );
const readXml = (text: string) => {
  let ids = 0;
  readMusicXml(text, { newId: () => `i${++ids}`, now: NOW });
};
const quickBars = (n: number) => repeat(n, (i) => `{${'CFG'[i % 3]}7} q 3:5 7 2:5 7 | `);
const tabBars = (n: number) =>
  ['e', 'B', 'G', 'D', 'A', 'E']
    .map((s, k) => `${s}|${(k === 2 ? '-5-7-8-7-|' : '---------|').repeat(n)}`)
    .join('\n');

const SUBJECTS: readonly (readonly [
  string,
  number,
  (n: number) => string,
  (text: string) => unknown,
])[] = [
  ['MusicXML, bars', 1_000, musicXmlBars, readXml],
  ['MusicXML, voices at one moment', 1_000, musicXmlVoices, readXml],
  ['quick text, bars', 500, quickBars, (t) => readQuick(t, { id: 'x', now: NOW })],
  ['tablature, bars', 500, tabBars, (t) => readTextTab(t, { id: 'x', now: NOW })],
];

for (const [name, few, make, read] of SUBJECTS) {
  read(make(few));
  const times = [few, few * 10].map((n) => {
    const text = make(n);
    const before = process.cpuUsage().user;
    read(text);
    return (process.cpuUsage().user - before) / 1_000;
  });
  const [short = 0, long = 0] = times;
  console.log(
    `${name}: ${few} in ${short.toFixed(0)} ms, ${few * 10} in ${long.toFixed(0)} ms, ratio ${(long / short).toFixed(1)}`,
  );
}

/**
 * Writes everything the program makes of the samples into a folder, for comparing two states of the
 * program byte by byte: `npx tsx tests/scripts/all-output.ts FOLDER` in each, then `diff -rq`.
 * Listings, reports of moves and positions, every written format, and the score on every choice of staves.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { run } from '../../src/cli/run';
import { engrave } from '../../src/engrave/engraver';
import { degreesOf } from '../support/engraving';
import { memoryIo } from '../support/memory-io';
import { readSamples } from '../support/samples';

const folder = process.argv[2];
if (folder === undefined) throw new Error('which folder is it to be written to?');
mkdirSync(folder, { recursive: true });

/** One command on one sample: what it prints, or the bytes of the file it writes. */
const COMMANDS: readonly (readonly [name: string, args: readonly string[]])[] = [
  ['show.txt', ['show', 'S']],
  ['show.json', ['show', 'S', '--json']],
  ['check.txt', ['check', 'S']],
  ['positions.txt', ['positions', 'S', '--count', '3']],
  ...['json', 'musicxml', 'mxl', 'txt', 'quick'].map(
    (f) => [`out.${f}`, ['convert', 'S', '-o', `OUT.${f}`]] as const,
  ),
  ...['I7', 'IV7', 'V7', 'ii7', 'Imaj7', 'ivm7'].flatMap((chord) =>
    ['shape', 'strings', 'area'].map(
      (hand) =>
        [`to-${chord}-${hand}.txt`, ['move', 'S', '--chord', chord, '--hand', hand]] as const,
    ),
  ),
  ['to-IV7-up.txt', ['move', 'S', '--chord', 'IV7', '--octave', 'up']],
  [
    'to-IV7-down.musicxml',
    ['move', 'S', '--chord', 'IV7', '--octave', 'down', '-o', 'OUT.musicxml'],
  ],
  ['held-IV7.txt', ['move', 'S', '--chord', 'IV7', '--way', 'hold', '--adapt']],
  ...['Ab', 'E', 'F# minor'].map((key) => [`in-${key}.txt`, ['move', 'S', '--key', key]] as const),
  ['steps.txt', ['move', 'S', '--steps', '-2']],
];

for (const { name, text, phrase } of readSamples()) {
  for (const [file, args] of COMMANDS) {
    const io = memoryIo({ files: { S: text } });
    const code = await run(args, io);
    const out = [...io.disk].find(([key]) => key.startsWith('OUT'))?.[1];
    const said = `${io.stdout()}\n--- ${code}\n${io.stderr()}`;
    writeFileSync(path.join(folder, `${name}.${file.replaceAll(' ', '-')}`), out ?? said);
    if (out !== undefined) writeFileSync(path.join(folder, `${name}.${file}.said`), said);
  }
  for (const staves of ['both', 'staff', 'tab', 'degrees'] as const) {
    const { systems } = engrave(phrase, {
      staves,
      width: 900,
      degrees: degreesOf(phrase),
    });
    writeFileSync(path.join(folder, `${name}.${staves}.svg`), systems.map((s) => s.svg).join('\n'));
  }
}

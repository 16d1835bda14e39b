import { BACKING_FEELS } from '../core/backing/types';
import { wrapText } from '../io/text/char-width';
import { formatRow, PUBLISH_FORMATS, type PublishFormat } from '../publish/formats';
import { PAGE_WIDTH } from './shell';

/** Column in which the words of a list begin. */
const INDENT = 22;

/** The options of every command that reads scores. */
export const READ = `  --part N            of a score with several parts the one to read, counted from 1;
                      the first with pitches when absent
  --staff N           of a part on several staves the one to read, counted from the top;
                      all of them together when absent; of a MIDI file 1 is what
                      lies from middle C up, 2 what is below
  --octave N          read a score N octaves higher, lower when negative
`;

/** Those of every command that writes files. */
export const OUTPUT = `  -o, --out OUT       file to write; the ending decides (see below); with several files
                      or phrases a folder (or one .json for the phrases of one library)
  --format FORMAT     one of the endings, for the files in a folder
  --force             replace files that are there
  --staves S          both (usual), staff or tab: in scores and drawings
  --degrees D         chord, key or off: what the degrees count from
  --legend L          on (usual) or off: the signs explained under a drawing
  --speed PERCENT     25 to 200, of the tempo: in MIDI and sound; the pitch stays
  --swing S           heard (usual) or written: in MIDI and sound
  --tone T            clean, driven, steel, nylon, bass or ukulele; the instrument's own if absent
  --backing FEEL      a band plays along in MIDI and sound, over the chords:
                      ${listOf(BACKING_FEELS)}
  --seed N            another band of the same feel, 0 to 1000000; 1 when absent
  --comping FILE      with --backing: a rhythm of yours in place of the band's chords, moved
                      onto every chord with its strokes and techniques
  --beneath FILE      a rhythm of yours written out beneath the phrase, in grips of its chords: on
                      its lines in drawings, a second part in MusicXML, a track in MIDI, in sound
  --rounds LIST       in MIDI and sound the phrase in one key or over one chord after the
                      other: fourths, semitones, or a list such as "I IV V" or C,F,Bb
  --apart             each round of --rounds in a file of its own: OUT-01-C.wav, OUT-02-F.wav
  --bits N            16 (usual) or 24, of a sample of sound

${PUBLISH_FORMATS.map(formatHelp).join('')}`;

/** `a, b or c` */
function listOf(words: readonly string[]): string {
  return words.join(', ').replace(/, ([^,]*)$/u, ' or $1');
}

/** An ending, what it is for, and what it does not keep. */
function formatHelp(format: PublishFormat): string {
  const { name, purpose, loses, made } = formatRow(format);
  const words = `${name}: ${purpose}.${loses === null ? '' : ` ${loses}`}${
    made === 'anywhere' ? '' : ' The app in the browser writes it, this program cannot.'
  }`;
  const [first = '', ...more] = wrapText(words, PAGE_WIDTH - INDENT);
  const pad = ' '.repeat(INDENT);
  return [`  .${format}`.padEnd(INDENT) + first, ...more.map((l) => pad + l), ''].join('\n');
}

/** Those of a command whose `--seed` is one of its own. */
export const OUTPUT_WITHOUT_SEED = OUTPUT.replace(/^ {2}--seed .*\n/mu, '');

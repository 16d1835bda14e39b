import { wrapText } from '../io/text/char-width';
import { formatRow, PUBLISH_FORMATS, type PublishFormat } from '../publish/formats';
import type { CommandName } from './args';
import { PAGE_WIDTH } from './shell';

const GENERAL = `degreewise - guitar phrases kept with their degrees, moved to any chord, key and place

  degreewise check FILE...                     say whether files can be read and played
  degreewise show FILE... [--json]             print as text tab, or list the notes as JSON
  degreewise convert FILE... -o OUT            write in another format
  degreewise move FILE... --key|--chord|--lane|--steps|--octaves|--beat ... [-o OUT]
                                               move to another key, chord, lane, scale step,
                                               octave or beat
  degreewise positions FILE... [--count N] [--parts] [--json]
                                               the best places for a phrase on the neck
  degreewise help COMMAND                      the options of a command
  degreewise --version

Reads phrases and libraries (.json) and MusicXML (.musicxml, .xml, .mxl) by what is in them, and
from .quick and .txt files quick text, a phrase in one line, or plain tablature; - is the standard
input. Exit code 0: done; 1: something in a file is wrong; 2: the command line is wrong.
`;

/** Column in which the words of a list begin. */
const INDENT = 22;

const READ = `  --part N            of a score with several parts the one to read, counted from 1;
                      the first with pitches when absent
  --octave N          read a score N octaves higher, lower when negative
`;

const OUTPUT = `  -o, --out OUT       file to write; the ending decides (see below); with several files
                      or phrases a folder (or one .json for the phrases of one library)
  --format FORMAT     one of the endings, for the files in a folder
  --force             replace files that are there
  --staves S          both (usual), staff or tab: in scores and drawings
  --degrees D         chord, key or off: what the degrees count from
  --legend L          on (usual) or off: the signs explained under a drawing
  --speed PERCENT     25 to 200, of the tempo: in MIDI and sound; the pitch stays
  --swing S           heard (usual) or written: in MIDI and sound
  --tone T            clean, driven, steel, nylon, bass or ukulele; the instrument's own if absent

${PUBLISH_FORMATS.map(formatHelp).join('')}`;

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

const TOPICS: Readonly<Record<CommandName, string>> = {
  check: `degreewise check FILE...

Says of each file whether it is a phrase, library or score that can be read, where something is
wrong, what of a MusicXML file was not understood, and what a hand could not play as written.

${READ}`,
  show: `degreewise show FILE... [--json]

Prints each phrase as text tab: chord symbols above, degrees below.

${READ}  --json              list the notes: { "notes": [ ... ] }; for several phrases a list of
                      such objects, each with its "file" and "title"
`,
  convert: `degreewise convert FILE... -o OUT [--format FORMAT] [--force]

Writes phrases in another format.

${READ}${OUTPUT}`,
  move: `degreewise move FILE... (--key K | --chord C | --lane L | --steps N | --octaves N | --beat B)
                        [options]

Moves phrases. Without -o it prints before, after and the report of every note. Several
destinations are joined in the order they are written, with nothing kept of what lies between:
--key F --chord IV7 --octaves 1. A list makes several phrases of one: --chord I7,IV7,V7.

  --key K             to a key, spelled as typed: Bb, F#m, "G blues"; a tonic alone
                      means major, or blues where the phrase is one; a list with commas,
                      or all for every other key round the circle of fourths
  --chord C           the whole phrase over one chord, a symbol or a numeral: F7, IV7, ii7;
                      or a list with commas
  --lane L            over a lane of chords: "I7 | IV7 | I7 V7"; without | one symbol a bar
  --steps N           by scale steps inside the key, negative down (way tonal)
  --octaves N         over the same chords, whole octaves higher, or lower (negative)
  --beat BAR:BEAT     the first note starts there, 2:1.5; bar 0 is the pickup
  --way WAY           real    every interval stays (default with --key)
                      chord   every note keeps its role (default with --chord, --lane)
                      tonal   moves by steps of the scale (with --steps)
                      hold    the pitches stay, degrees are read anew
  --adapt             with hold: make the changes that the report would suggest
  --octave O          nearest (default), up or down
  --hand H            shape (default), strings or area: what the hand keeps
  --without N:SIGN    leave a sign out, as the report offers it: n3:vibrato
${READ.replace('--octave N     ', '--read-octave N')}${OUTPUT}`,
  positions: `degreewise positions FILE... [--count N] [--parts] [--json]

Prints the phrase at the places of the neck where it lies best, each in another area, with what
makes it hard there. Pinned notes keep their strings.

${READ}  --count N           how many areas to look for, 3 when absent
  --parts             a phrase of more than six bars part by part, about four bars each
  --json              list them: { "positions": [ ... ] }, with --parts { "parts": [ ... ] };
                      for several phrases a list, each with its "file" and "title"
`,
};

/** The help of a command, or of all. */
export function helpText(topic: CommandName | null): string {
  return topic === null ? GENERAL : TOPICS[topic];
}

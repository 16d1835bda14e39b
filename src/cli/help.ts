import type { CommandName } from './args';
import { OUTPUT, READ } from './help-options';
import { SOLO_TOPICS } from './help-solo';
import { quickHelp } from './quick-help';

const GENERAL = `degreewise - guitar phrases kept with their degrees, moved to any chord, key and place

  degreewise check FILE...                     say whether files can be read and played
  degreewise show FILE... [--json]             print as text tab, or list the notes as JSON
  degreewise convert FILE... -o OUT            write in another format
  degreewise move FILE... --key|--chord|--lane|--steps|--octaves|--instrument|--beat ...
                                               move to another key, chord, lane, scale step,
                                               octave or beat
  degreewise vary FILE... --how NAME[,NAME...] [-o OUT]
                                               the same phrase played another way
  degreewise positions FILE... [--count N] [--parts] [--easier] [--json]
                                               the best places for a phrase on the neck
  degreewise shapes CHORD... [--tuning NAME] [--strings 2,3] [--near FRET] [--json]
                                               the shapes of a chord on the neck
  degreewise neck FILE... -o OUT [--show phrase|chord|scale]
                                               a picture of the neck
  degreewise find "QUERY" FILE... [--like FILE] [--fits LANE] [--count N] [--json]
                                               phrases by words and by music, in files and folders
  degreewise stats FILE... [--json]            what files and folders hold
  degreewise merge FILE FILE... -o OUT.json    several libraries in one, nothing lost
  degreewise carry LIBRARY.json FOLDER [--dry] a library and a folder in step, a file a phrase
  degreewise cut FILE... -o DIR [--bars N]     a long piece as phrases, at its rests or every N bars
  degreewise forms [FILE...] [--json]          song forms with their chords, and those of files
  degreewise solo --form NAME --from LIBRARY [--key K] [--seed N] [--count N] [-o OUT]
                                               phrases of a library laid over a form
  degreewise lesson FILE... -o OUT.html         phrases as one page that plays, for students
  degreewise plan FILE... [--student NAME] [--day DAY] [--json]
                                               what is to be practised today
  degreewise catch FILE.wav [--chords LANE] [--key K] [--tempo N] [--json] [-o OUT]
                                               the phrases in a recording
  degreewise help COMMAND                      the options of a command
  degreewise help quick                        how a phrase is written as quick text
  degreewise --version

Reads phrases and libraries (.json), MusicXML (.musicxml, .xml, .mxl) and MIDI files (.mid) by what is in them, and
from .quick and .txt files quick text, a phrase in one line, or plain tablature; - is the standard
input. Exit code 0: done; 1: something in a file is wrong; 2: the command line is wrong.
`;

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

Writes phrases in another format; of a lesson its music, a numbered file for each piece, in a folder.

${READ}${OUTPUT}`,
  move: `degreewise move FILE... (--key K | --chord C | --lane L | --steps N | --octaves N |
                        --instrument I | --beat B)
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
  --instrument I      the same pitches on guitar, guitar7, bass4, bass5, ukulele, in a tuning
                      such as dropD, or on open strings from the first on; "dropD capo 2"
  --beat BAR:BEAT     the first note starts there, 2:1.5 or '2:1 and'; bar 0 is the pickup
  --way WAY           real    every interval stays (default with --key)
                      chord   every note keeps its role (default with --chord, --lane)
                      tonal   moves by steps of the scale (with --steps)
                      hold    the pitches stay, degrees are read anew
  --adapt             with hold: make the changes that the report would suggest
  --octave O          nearest (default), up or down
  --hand H            shape (default), strings or area: what the hand keeps
  --without N:SIGN    leave a sign out, as the report offers it: n3:vibrato
${READ.replace('--octave N     ', '--read-octave N')}${OUTPUT}`,
  vary: `degreewise vary FILE... --how NAME[,NAME...] [--seed N] [--count N] [--json] [-o OUT]
degreewise vary --list [--json]

Plays phrases another way: double stops, approaches, fewer notes, another ending and so on. Several
names are joined, each going on from what the one before has made. Chords, key and tempo stay, and
every result can be played. Without -o it prints the phrase and what was made of it, the best
first, with the reason; with -o it writes the results as phrases of their own.

  --list              the variations by name, with what each promises
  --how NAMES         which ones, with commas: sixths,slide-in
  --seed N            0 (usual): the best by rule; another number also makes choices of its own,
                      the same each time
  --count N           how many results, 3 when absent; 1 with -o
  --json              list them: { "variations": [ ... ] }; for several phrases a list, each with
                      its "file" and "title"
${READ}${OUTPUT}`,
  ...SOLO_TOPICS,
  plan: `degreewise plan FILE... [--student NAME] [--day DAY] [--minutes N] [--json]

Tells what the practice plans in library files, saved plans and their logs ask for on a day: which items
of the lesson, at which tempo and in which key, in which order; what was done already, and what
comes on other days. Plans are made and practised in the app.

  --student NAME      only the plans of this student
  --day DAY           2026-11-27; today when absent
  --minutes N         another length of practice than the plan's, 3 to 120
  --json              { "plans": [ { "title", "student", "day", "turns": [ ... ] } ] }

${READ}`,
  catch: `degreewise catch FILE.wav [--chords LANE] [--key K] [--tempo N] [--meter M] [--instrument I]
                 [--whole] [--json] [-o OUT]

Hears one instrument played alone and writes what was played: notes with bends, slides, vibrato and slurs,
double stops, rhythm, strings and frets, cut into phrases at rests. What is not said is found, and
told. WAV of 16 or 24 bits or floats, any rate, one channel or more, up to 12 minutes. Nothing
leaves the machine. In JSON the phrases are a library, with how each was played beside it: the player's own
times and pitches.

  --chords LANE       the chords it was played over, going round from the first bar on:
                      "I7 | IV7 | I7 V7"; without it some are proposed
  --key K             A, F#m, "Bb blues"; guessed from the notes when absent
  --tempo N           beats a minute (of dotted beats in 6/8, 9/8, 12/8); found when absent
  --meter M           4/4 (usual), 3/4, 12/8 ...
  --instrument I      what it was played on: guitar (usual), guitar7, bass4, bass5, a tuning such as
                      dropD, or open strings from the first on; a low one is listened for lower
  --whole             one phrase of all of it
  --json              everything as data: each note as it was played, in seconds and cents, beside
                      what it is written as
${OUTPUT}`,
  positions: `degreewise positions FILE... [--count N] [--parts] [--keep-first] [--easier] [--json]

Prints the phrase at the places of the neck where it lies best, each in another area, with what
makes it hard there. Pinned notes keep their strings. With --easier it stays where it is: what is
hard in it and why, and easier ways, each with what it keeps and what it changes.

${READ}  --count N           how many areas to look for, 3 when absent
  --parts             a phrase of more than six bars part by part, about four bars each
  --keep-first        the first note stays where it is
  --easier            what is hard and what would be easier, in five steps of difficulty
  --json              list them: { "positions": [ ... ] }, with --parts { "parts": [ ... ] },
                      with --easier { "step", "hard": [ ... ], "elsewhere": [ ... ] };
                      for several phrases a list, each with its "file" and "title"
`,
  shapes: `degreewise shapes CHORD... [--tuning NAME] [--strings 2,3] [--near FRET] [--json]

The ways to lay a chord's tones under one hand: double stops, triads and their inversions, shells
(root, third, seventh) and four-note voicings, on strings next to each other with one at most left
out. Several chords, as G7,C7,D7, get the same set each. Frets and degrees are printed from the
lowest string on; behind them what lies next to a tone, as string/fret.

  --tuning NAME       dropD, openG and so on, ukulele, bass4, or the strings from the first on
  --capo N            the capo's fret; frets count from it
  --kind KIND         double-stops, triads, shells, four-note; with commas for several
  --strings 2,3       shapes on exactly these strings
  --near FRET         in the area of an index finger there: a fret below to four above
  --json              list all: [ { "chord", "shapes": [ ... ] } ]
`,
  neck: `degreewise neck FILE... -o OUT [--show phrase|chord|scale] [options]

Draws the neck to the proportions of the instrument, as .svg with its fonts inside. Degrees differ
by their text, their outline and their colour.

${READ}  -o, --out OUT       file to write, ending in .svg; with several phrases a folder
  --force             replace files that are there
  --show WHAT         phrase  (usual) the notes with degrees and the order played, bar by bar,
                              the hand and the fewest frets that hold them
                      chord   the tones of each chord of the lane
                      scale   the scale of the key
  --chord C           the tones of these chords instead, symbols or numerals: C7,IV7
  --scale NAME        this scale, over the tonic or another root: blues, "D dorian"
  --own DEGREES       degrees of your own over the tonic: "R b3 4 5 b7"
  --degrees D         chord (usual) or key: what the degrees of a phrase count from
  --frets A-B         these frets only, as in 5-12, counted from the capo
  --left-handed       the nut on the right
`,
  find: `degreewise find "QUERY" FILE... [--like FILE] [--fits LANE [--key K] [--tempo N]
                    [--after NOTE] [--before NOTE]] [--count N] [--json]

Finds phrases in files and in folders with the folders in them. What stands side by side must all
hold; 'or', 'not' and parentheses join; words are looked for in everything that is said of a phrase.

  5 6 b7              degrees in a row; 5 .. b7 with others between, 5 ? b7 with one
  5 >6 <R             higher, lower than the one before; b7+bend with a technique
  5 6 b7 over IV      all of them over that chord; tonic:5-6-b7 counts from the key
  IV7  I7>IV7         a chord of the lane; chords that follow each other
  fits:IV7 fits:V>I   all of it can be moved to that chord, its end to that change, by chord
  with:slide          bend, slide, vibrato, double-stop ...; role:blue-note
  rhythm:q.-e-re-q3   note values, r before a rest; contour:>>< and intervals:+2-3
  level:1..2 bars:2   also tempo: notes: span: frets: strings:, a number or a range
  key:G-blues         also chord: feel: meter: first: last: title: tag: style: since: before:
  in:"Week 3"         in a collection of a library; used:2026-11, used:never; idle:30.. days unused
  order:-level        title, begin, changed, level, key, bars, used or match; - the other way round

Where words are asked for, those that they fit best come first: title, its beginning, its words, then
tags, notes and the rest.

${READ}  --like FILE         those most like the phrase in this file first, in any key, with notes
                      changed or ornamented; the rest is left out
  --fits LANE         those that can be moved to this lane and played there, the best first, with
                      the reasons: IV7, "I7 | IV7"; one symbol stands for any number of bars, and
                      what is shorter than several leaves room behind it
    --key K           the key of the place, each phrase's own when absent
    --tempo N         what the hand must manage, in quarters a minute; each phrase's own when absent
    --after NOTE      the note before it, as it sounds or as string and fret: E4, 2:5
    --before NOTE     the note behind it
  --count N           how many to tell, 20 when absent
  --json              { "query", "total", "found": [ ... ] } with the notes that were matched and,
                      with --fits, "octaves" and "why"; "total" counts those that are told then
`,
  stats: `degreewise stats FILE... [--json]

Tells how many phrases, bars and notes files and folders hold, in which keys, levels and feels, with
which degrees, techniques and tags, and which phrases are nearly the same in whatever key.

${READ}  --json              the same as one JSON object
`,
  cut: `degreewise cut FILE... -o DIR [--bars N | --rest VALUE] [--force]

Cuts long pieces into phrases, each with its bars and chords: where all voices rest, or behind every
so many bars. Every note stands in one of them; signs of repetition are left out.

${READ}  -o, --out DIR       folder for a .json file a phrase; a name ending in .json for one library
  --rest LENGTH       the shortest rest at which to cut: eighth, 1/8, 'dotted quarter'; a quarter when absent
  --bars N            cut behind every N bars instead
  --force             replace files that are there
`,
  carry: `degreewise carry LIBRARY.json FOLDER [--dry] [--all] [--json]

Brings a library and a folder in step: a file for each phrase, lesson, form, collection and so on.
What is new, changed or removed on one side comes to the other. Of what changed on both sides both
are kept. A file service, or a stick, carries the folder to another machine or teacher, and the app
keeps in step with the same folder. A library that is not there yet is made. What is removed from
the folder by hand comes back: remove it in the library. Files of others are never touched.

What was in step last is remembered in a hidden file beside the library.

  --dry               say what would be done, and do nothing
  --all               read every file, whatever its size and times say
  --removals          what is missing in the library was removed, also where it is much of it
  --json              list as JSON what was done
`,
  merge: `degreewise merge FILE FILE... -o OUT.json|FOLDER [--force]

Makes one library of several files and folders. Phrases that are equal stand in it once; of a phrase
that differs every version is kept: the one changed last under its id, the others under their own,
and what they have otherwise is said (of values first that of the one changed last).

${READ}  -o, --out OUT       file to write, ending in .json; or a new or empty folder for a file a phrase,
                      as 'carry' writes it
  --force             replace a file that is there
`,
};

/** What help can be had about: a command, or quick text. */
export type HelpTopic = CommandName | 'quick';

/** The help of a topic, or of all. */
export function helpText(topic: HelpTopic | null): string {
  if (topic === null) return GENERAL;
  return topic === 'quick' ? quickHelp() : TOPICS[topic];
}

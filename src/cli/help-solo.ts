import { OUTPUT_WITHOUT_SEED, READ } from './help-options';

/** Help of what has to do with forms, solos and lessons. */
export const SOLO_TOPICS = {
  forms: `degreewise forms [FILE...] [--json]

The song forms that solos are laid over, in numerals, four bars a line; then the forms of your own
in files and folders, each with the name that 'solo --form' takes.

  --json              list them: { "forms": [ ... ] }; one of a file with its "file"
`,
  solo: `degreewise solo --form NAME --from LIBRARY... [--key K] [--seed N] [--count N] [--level N]
                [--json] [-o OUT]

Lays phrases over a form: each is moved to the chords it stands over, its roles kept, and chosen for
how it joins the one before, as phrases of real solos do. The result is a phrase like any other.
Phrases of up to four bars in the form's metre, without repeats, for the instrument that most are
for; none stands more often than needed. Prints the chorus with where each part is from and why.

  --form NAME         see 'degreewise forms'; the title or the id of a form of your own that lies in
                      what --from names; or a file (.json) with one
  --from LIBRARY      a library file or a folder; more of them may be named without an option
  --key K             A, F#, Bbm ...; the form has its own mode; C when absent
  --tempo N           beats a minute, 10 to 500; the form's own when absent
  --feel WORD         straight, shuffle, light (3:2) or sixteenths (swung); the form's own when absent
  --meter M           3/4, 12/8 ...: the same bars counted otherwise; the form's own when absent
  --seed N            draws choruses that are likely instead of the best one, the same each time
  --count N           so many different choruses, 1 when absent
  --choruses N        the form so many times in a row as one solo, 1 to 8
  --pin BAR=PHRASE    a phrase that stands at a bar, by id or title; several divided by ';'
  --leave BAR,BAR     bars that stay empty
  --course WORD       build (denser and higher towards the end), answer (two bars ask, two answer), free
  --variety WORD      one-idea (takes up what was heard), new (does not), usual
  --near              prefers what lies near on the neck
  --wish SIGN,SIGN    prefers phrases with bends, slides, legato, vibrato, double-stops
  --level N           leaves out phrases of a higher level, 1 to 5
  --with-chords       takes what accompanies as well: chords, strums, dead strokes
  --json              list them: { "choruses": [ ... ] }
${READ}${OUTPUT_WITHOUT_SEED}`,
  lesson: `degreewise lesson FILE... -o OUT.html [--title TITLE] [--key K] [--size S] [--paper P] [--force]

Writes phrases, or a lesson made in the app, as one page for students: engraving, degrees, sound, speed,
loop and metronome in one file that works from a mail attachment, on a phone and without a network. It
asks for nothing over the network, can be printed on A4 or Letter, and can be brought into a library again.

A file with a form of your own alone shows its chords; a file with a collection alone takes the phrases
it names out of the other files, in its order. A solo is a phrase; one that was made of phrases
brings its form.

  --title TITLE       what stands over it; the title of the first item when absent
  --size S            how large it is on paper: large (usual), middle, small
  --paper P           the sheet it is printed on: a4 or letter; what the printer has when absent
                      OUT.pdf-ready.html is for paper alone: no script, no music for a phone; any
                      browser makes a PDF of it by printing it to a file
  --key K             the key of forms; that of the first phrase when absent, or C
  -o, --out OUT       a name that ends in .html; in .json for the lesson as data
  --force             replaces a file that is there
${READ}`,
} as const;

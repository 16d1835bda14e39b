import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { type Chord, chordSign } from '../../core/theory/chord';
import { parsePitchClass, pitchClassSign } from '../../core/theory/pitch';
import { parseChordOrRoman } from '../../core/theory/roman';
import { scaleNamed } from '../../core/theory/scales';
import { stemOf } from '../../io/file/formats';
import { type NeckContent, neckSheet } from '../../publish/neck/sheet';
import type { Source } from '../input';
import { type NeckOptions, scaleOf } from '../neck-flags';
import { NODE_TOOLS } from '../output';
import type { Shell } from '../shell';

/** Draws the neck for every phrase of a file, each into a picture of its own. */
export async function drawNecks(
  shell: Shell,
  source: Source,
  options: NeckOptions,
  several: boolean,
): Promise<void> {
  const many = several || source.phrases.length > 1;
  const folder =
    /[/\\]$/u.test(options.out) || (await shell.io.files.kindOf(options.out)) === 'folder';
  if (many && !folder && /\.svg$/iu.test(options.out)) {
    shell.misuse({
      message: `'${options.out}' is the name of a file, and there are several phrases`,
      fix: 'Let -o name a folder.',
    });
    return;
  }
  if (!many && !folder && !/\.svg$/iu.test(options.out)) {
    shell.misuse({ message: `the neck is written as .svg, and not as '${options.out}'` });
    return;
  }
  const digits = String(source.phrases.length).length;
  for (const [i, p] of source.phrases.entries()) {
    const content = contentFor(p, options);
    if (!content.ok) {
      shell.refuse(source.path, content.problems);
      continue;
    }
    const { frets, leftHanded } = options;
    const sheet = { content: content.value, leftHanded, ...(frets === undefined ? {} : { frets }) };
    const svg = await neckSheet(p, sheet, NODE_TOOLS);
    const number = source.phrases.length > 1 ? `-${String(i + 1).padStart(digits, '0')}` : '';
    const path =
      many || folder
        ? `${options.out.replace(/[/\\]+$/u, '')}/${stemOf(source.path)}${number}-neck.svg`
        : options.out;
    const written = await shell.io.files.write(path, new TextEncoder().encode(svg), options.force);
    if (!written.ok) shell.refuse(path, written.problems);
    else if (written.value === 'taken') {
      shell.misuse({
        message: `there is a file '${path}' already`,
        fix: 'Add --force to replace it.',
      });
    } else shell.print(`wrote ${path}\n`);
  }
}

/** What is asked for, read in the key of the phrase. */
function contentFor(p: Phrase, o: NeckOptions): Result<NeckContent> {
  if (o.show === 'phrase') return ok({ kind: 'phrase', degrees: o.degrees });
  if (o.show === 'chord') return chordsFor(p, o.chords);
  if (o.own !== undefined) {
    const name = `over ${pitchClassSign(p.key.tonic)}`;
    return ok({ kind: 'scale', name, root: p.key.tonic, degrees: o.own });
  }
  const asked = scaleOf(o.scale ?? p.key.mode) ?? { root: null, scale: scaleNamed('major')! };
  const root = asked.root === null ? p.key.tonic : parsePitchClass(asked.root);
  if (root === null) {
    return fail({
      message: `'${asked.root}' is no note`,
      fix: 'Write a letter A to G, with # or b.',
    });
  }
  const name = `${pitchClassSign(root)} ${asked.scale.name}`;
  return ok({ kind: 'scale', name, root, degrees: asked.scale.degrees });
}

function chordsFor(p: Phrase, texts: readonly string[] | undefined): Result<NeckContent> {
  if (texts === undefined) {
    if (p.chords.some((c) => c.symbol !== null)) return ok({ kind: 'chord' });
    return fail({
      message: 'the phrase has no chords',
      fix: 'Name some with --chord, as in C7,F7.',
    });
  }
  const chords: Chord[] = [];
  for (const text of texts) {
    const chord = parseChordOrRoman(text, p.key);
    if (!chord.ok) return chord;
    if (!chords.some((c) => chordSign(c) === chordSign(chord.value))) chords.push(chord.value);
  }
  return ok({ kind: 'chord', chords });
}

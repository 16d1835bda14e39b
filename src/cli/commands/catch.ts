import { lowestOpen, STANDARD_GUITAR } from '../../core/phrase/instrument';
import { isCompound } from '../../core/phrase/time';
import type { Problem } from '../../core/result';
import { chordSign } from '../../core/theory/chord';
import { formatKey } from '../../core/theory/key';
import { keySign } from '../../core/theory/key-sign';
import { type CaughtPhrase, phrasesOf } from '../../io/heard/phrases';
import { barsOf, playedFor } from '../../io/heard/played-for';
import { reportOf } from '../../io/heard/report';
import { type Take, takeOf } from '../../io/heard/take';
import { besideAsThings } from '../../io/kinds/file-kinds';
import { wrapText } from '../../io/text/char-width';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import { readWav } from '../../io/wav/read';
import { Listener } from '../../sound/capture/listen';
import { soundRemarks } from '../../sound/capture/sound-remarks';
import { steadyRemarks } from '../../sound/capture/steady';
import type { CatchCommand } from '../catch-flags';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';

const MOST_BYTES = 600 * 1024 * 1024;
/** Minutes of sound that are heard at once. */
const MOST_MINUTES = 12;

const FOLDER: Problem = {
  message: 'this is a folder',
  fix: 'Name one recording in it, for example take.wav.',
};

/** Hears a recording and prints, lists or writes the phrases in it. */
export async function catchPhrases(
  shell: Shell,
  wish: CatchCommand,
  plan: OutputPlan | null,
): Promise<void> {
  const { file } = wish;
  if ((await shell.io.files.kindOf(file)) === 'folder') return shell.refuse(file, [FOLDER]);
  const bytes = await shell.io.files.read(file, () => MOST_BYTES);
  if (!bytes.ok) return shell.refuse(file, bytes.problems);
  const sound = readWav(bytes.value);
  if (!sound.ok) return shell.refuse(file, sound.problems);
  const { samples, rate, remarks } = sound.value;
  if (samples.length / rate > MOST_MINUTES * 60) {
    return shell.refuse(file, [
      {
        message: `the recording is longer than ${MOST_MINUTES} minutes`,
        fix: 'Cut it in pieces.',
      },
    ]);
  }
  const weights = await shell.io.captureWeights();
  if (!weights.ok) return shell.refuse(file, weights.problems);
  const { lane, key, bpm, meter, instrument = STANDARD_GUITAR } = wish;
  const heard = new Listener(weights.value).hear(samples, rate, undefined, lowestOpen(instrument));
  const ofSound = [...remarks, ...soundRemarks(samples), ...steadyRemarks(heard)];
  for (const r of ofSound) shell.remark(`${file}: ${r}\n`);
  const take = takeOf(heard, {
    instrument,
    ...(lane === undefined ? {} : { lane }),
    ...(key === undefined ? {} : { key }),
    ...(bpm === undefined ? {} : { bpm }),
    ...(meter === undefined ? {} : { meter }),
  });
  if (!take.ok) return shell.refuse(file, take.problems);
  const names = {
    newId: shell.io.newId,
    now: shell.io.now().toISOString(),
    title: titleOf(file),
  };
  const made = phrasesOf(take.value, names, wish.whole ? 'whole' : 'cut');
  if (!made.ok) return shell.refuse(file, made.problems);
  const caught = made.value;
  if (wish.json) {
    const report = { file, ...reportOf(take.value, caught, heard) };
    return shell.print(`${JSON.stringify(report, null, 2)}\n`);
  }
  for (const line of found(take.value)) shell.remark(`${file}: ${line}\n`);
  if (plan !== null) {
    const phrases = caught.map((c) => c.phrase);
    // A phrase by itself has no place for how it was played: in JSON even one comes in a library.
    const library = phrases.length > 1 || plan.format === 'json';
    return writeOutput(
      shell,
      plan,
      { path: file, format: 'json', phrases, remarks: [], library },
      phrases,
      asPlayed(take.value, caught, heard.seconds, names.now),
    );
  }
  shell.print(caught.map((c) => page(shell, c)).join('\n'));
}

/** How each phrase was played, as things of a library. */
function asPlayed(take: Take, caught: readonly CaughtPhrase[], seconds: number, now: string) {
  const bars = barsOf(take, seconds);
  const played = caught.map((c) => playedFor(c, c.phrase.id, bars, now, []));
  return besideAsThings({ versions: [], played });
}

/** The name of the file without folder and ending. */
function titleOf(file: string): string {
  const name = file.split(/[/\\]/u).at(-1) ?? '';
  return name.replace(/\.[^.]*$/u, '') || 'Caught';
}

/**
 * How the likeliest other reading is asked for. Beats are those of the metre, which is only said where those it has
 * are not dotted as they should be.
 */
export function otherTempo({ meter, readings }: Pick<Take, 'meter' | 'readings'>): string | null {
  const [other] = readings;
  if (other === undefined) return null;
  const fits = other.threes === isCompound(meter);
  return `--tempo ${other.bpm}${fits ? '' : other.threes ? ' --meter 12/8' : ' --meter 4/4'}`;
}

/** What was found and not said. */
function found(take: Take): readonly string[] {
  const out: string[] = [];
  const { bpm } = take.tempo;
  if (take.found) {
    const sure = take.fit > 0.62 ? '' : '; it does not fit well, so say it with --tempo';
    out.push(`the tempo is found: ${bpm} beats a minute${sure}`);
    const other = otherTempo(take);
    if (other !== null) out.push(`it may also be ${other}`);
  }
  if (take.keyFound) {
    out.push(`the key is guessed: ${keySign(take.key)}`);
    const others = take.keys.slice(1).map((k) => `--key ${formatKey(k.key)}`);
    if (others.length > 0) out.push(`it may also be ${others.join(' or ')}`);
  }
  if (take.feel.kind === 'swing') {
    out.push(`${take.feel.unit}s swing ${take.feel.first} to ${take.feel.second}`);
  }
  const cents = Math.round(100 * take.off);
  if (Math.abs(cents) >= 8) {
    out.push(
      `the ${take.instrument === STANDARD_GUITAR ? 'guitar' : 'instrument'} is tuned ${Math.abs(cents)} cents ${cents > 0 ? 'high' : 'low'}`,
    );
  }
  return out;
}

function page(shell: Shell, { phrase, chords, from, to }: CaughtPhrase): string {
  const { width, ascii } = shell;
  const tab = writeTextTabs([{ phrase, caption: phrase.meta.title }], {
    width,
    ascii,
    degrees: degreeView(phrase),
  });
  const over =
    chords.length === 0
      ? ''
      : ` Perhaps over ${chords.map((c) => chordSign(c.symbol)).join(' or ')}.`;
  const line = `From ${clock(from)} to ${clock(to)} of the recording.${over}`;
  return `${tab}\n${wrapText(line, width).join('\n')}\n`;
}

/** `1:04.5`: minutes and seconds. */
function clock(seconds: number): string {
  const tenths = Math.round(seconds * 10);
  const rest = (tenths % 600) / 10;
  return `${Math.floor(tenths / 600)}:${rest < 10 ? '0' : ''}${rest.toFixed(1)}`;
}

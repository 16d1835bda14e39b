import { layForm } from '../../core/form/lay';
import { repeatForm } from '../../core/form/repeat';
import type { Form } from '../../core/form/types';
import { shownTitle } from '../../core/phrase/record';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { barsInWords, faultsOf, proposeSolos } from '../../core/solo/propose';
import type { Pin, Solo } from '../../core/solo/types';
import { formatKey, type Key, settleKey, signatureFifths } from '../../core/theory/key';
import { keySign } from '../../core/theory/key-sign';
import { wrapText } from '../../io/text/char-width';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';
import type { SoloCommand } from '../solo-flags';

const C: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** Lays phrases over a form; prints the choruses, lists them as data or writes them. */
export async function proposeChoruses(
  shell: Shell,
  wish: SoloCommand,
  form: Form,
  plan: OutputPlan | null,
  phrases: readonly Phrase[],
): Promise<void> {
  const { count, seed, level, chords, taste } = wish;
  const tonic = { ...(wish.key ?? C), mode: form.mode };
  if (Math.abs(signatureFifths(tonic)) > 7) {
    return shell.refuse('--key', [
      {
        message: `${formatKey(tonic)} has no key signature: it would need more than seven accidentals`,
        fix: `Use ${formatKey(settleKey(tonic, tonic))}, which sounds the same.`,
      },
    ]);
  }
  const laid = layForm(form, tonic.tonic);
  if (!laid.ok) return shell.refuse(form.id, laid.problems);
  const pins = pinsOf(wish, phrases);
  if (!pins.ok) return shell.refuse('--pin', pins.problems);
  const now = shell.io.now().toISOString();
  const { key } = laid.value;
  const named = keySign(key.mode === 'blues' ? { ...key, mode: 'major' } : key);
  if (wish.key?.mode === 'minor' && key.mode !== 'minor') {
    shell.remark(`the form is not in minor: of ${keySign(wish.key)} only the tonic is taken\n`);
  }
  const title = `Solo over ${form.title} in ${named}`;
  const made = proposeSolos(
    {
      form: repeatForm(laid.value, wish.choruses),
      phrases,
      options: {
        count,
        chords,
        taste,
        pins: pins.value,
        ...(seed === undefined ? {} : { seed }),
        ...(level === undefined ? {} : { level }),
      },
    },
    (n) => ({
      id: shell.io.newId(),
      tempo: form.tempo,
      meta: {
        title: count === 1 ? title : `${title}, ${n}`,
        tags: [],
        created: now,
        modified: now,
      },
    }),
  );
  if (!made.ok) return shell.refuse(wish.files.join(', '), made.problems);
  const solos = made.value;
  if (solos.length < count) {
    shell.remark(`only ${solos.length} of ${count} different choruses were found\n`);
  }
  for (const s of solos) {
    for (const fault of faultsOf(s.phrase)) shell.remark(`${s.phrase.meta.title}: ${fault}\n`);
  }
  if (plan !== null) {
    const library = solos.length > 1;
    const source: Source = { path: form.id, format: 'json', phrases, remarks: [], library };
    return writeOutput(
      shell,
      plan,
      source,
      solos.map((s) => s.phrase),
    );
  }
  if (wish.json) {
    shell.print(`${JSON.stringify({ choruses: solos.map(listed) }, null, 2)}\n`);
    return;
  }
  shell.print(solos.map((s) => page(shell, s)).join('\n'));
}

/** The phrases that were named, where they stand. */
function pinsOf({ pins, rests }: SoloCommand, phrases: readonly Phrase[]): Result<readonly Pin[]> {
  const found: Pin[] = rests.map((bar) => ({ start: bar - 1, index: null }));
  for (const { bar, phrase } of pins) {
    const where = (is: (p: Phrase) => boolean) => phrases.flatMap((p, i) => (is(p) ? [i] : []));
    const exactly = where((p) => p.id === phrase || p.meta.title === phrase);
    const plain = phrase.trim().toLowerCase();
    const named =
      exactly.length > 0 ? exactly : where((p) => p.meta.title.trim().toLowerCase() === plain);
    const [index] = named;
    if (index === undefined || named.length > 1) {
      const message =
        index === undefined
          ? `there is no phrase '${phrase}'`
          : `${named.length} phrases are called '${phrase}'`;
      return fail({
        message,
        fix: 'Name it by its id; \'degreewise find "" FILE... --json\' shows it.',
      });
    }
    found.push({ start: bar - 1, index });
  }
  return ok(found);
}

function page(shell: Shell, { phrase, parts, empty }: Solo): string {
  const { width, ascii } = shell;
  const tab = writeTextTabs([{ phrase, caption: phrase.meta.title }], {
    width,
    ascii,
    degrees: degreeView(phrase),
  });
  const lines = parts.map((p) => {
    const why = p.why.length === 0 ? '' : `: ${p.why.join('; ')}`;
    return `${barsInWords(p)}, “${shownTitle(p.phrase.meta)}”${why}`;
  });
  const rests = empty.map((e) => `Bar ${e.bar} is empty: ${e.why}`);
  const said = [...lines, ...rests].flatMap((l) =>
    wrapText(l, width - 3).map((t, i) => (i === 0 ? t : `   ${t}`)),
  );
  return `${tab}\n${said.join('\n')}\n`;
}

function listed({ phrase, parts, empty }: Solo) {
  return {
    title: phrase.meta.title,
    parts: parts.map((p) => ({
      firstBar: p.firstBar,
      lastBar: p.lastBar,
      phrase: p.phrase.meta.title,
      id: p.phrase.id,
      octaves: p.octaves,
      why: p.why,
    })),
    empty,
    phrase,
  };
}
